"""The Yard: the gate from above, and its state in a line of words.

Paints only the lines of the picture that changed: at 30 frames a second a moving leaf costs a few rows,
a gate at rest nothing.
"""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual.app import ComposeResult
from textual.events import Resize
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Static

from simgate.bench.record import Snapshot
from simgate.tui.canvas import Ink, Row
from simgate.tui.panes.pane import Pane
from simgate.tui.picture import Stage


class YardPicture(Widget):
    """The drawing itself."""

    DEFAULT_CSS = """
    YardPicture {
        height: 1fr;
        & > .yard--ground { color: $text-muted; }
        & > .yard--arc { color: $text-disabled; }
        & > .yard--post { color: $text-muted; }
        & > .yard--stop { color: $secondary; }
        & > .yard--beam { color: $success; }
        & > .yard--broken { color: $error; text-style: bold; }
        & > .yard--leaf { color: $foreground; text-style: bold; }
        & > .yard--body { color: $warning; text-style: bold; }
        & > .yard--person { color: $accent; text-style: bold; }
        & > .yard--lamp { color: $accent; text-style: bold; }
        & > .yard--word { color: $text-muted; }
    }
    """
    COMPONENT_CLASSES = {f"yard--{ink.value}" for ink in Ink}  # noqa: RUF012  (Textual declares it a ClassVar)

    def __init__(self) -> None:
        super().__init__()
        self._stage = Stage(1, 1)
        self._rows: tuple[Row, ...] = ()
        self._styles: dict[Ink, Style] = {}
        self._shot: Snapshot | None = None

    def show(self, snapshot: Snapshot) -> str:
        """Paint what changed; returns the picture in words."""
        self._shot = snapshot
        if (self._stage.width, self._stage.height) != self.size:
            self._stage = Stage(*self.size)
            self._rows = ()
        if not self.size:
            return ""
        picture = self._stage.paint(snapshot)
        before, self._rows = self._rows, picture.rows
        if len(before) != len(self._rows):
            self.refresh()
        else:
            changed = [y for y, (old, new) in enumerate(zip(before, self._rows, strict=True)) if old != new]
            if changed:
                self.refresh(*(Region(0, y, self.size.width, 1) for y in changed))
        return picture.words

    def on_resize(self, event: Resize) -> None:
        """A new size is a new drawing."""
        if self._shot is not None:
            self.show(self._shot)

    def notify_style_update(self) -> None:
        """Colours are looked up once per theme, not once per cell."""
        self._styles.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        """One line of cells in this theme's colours."""
        if y >= len(self._rows):
            return Strip.blank(self.size.width, self.rich_style)
        styles = self._styles
        if not styles:
            styles.update({ink: self.get_component_rich_style(f"yard--{ink.value}") for ink in Ink})
        return Strip([Segment(run.text, styles[run.ink]) for run in self._rows[y]], self.size.width)


class Yard(Pane):
    """Picture and words."""

    DEFAULT_CSS = """
    Yard { min-width: 40; }
    Yard > #yard-words { height: 2; color: $foreground; }
    """
    BORDER_TITLE = " Yard "

    def compose(self) -> ComposeResult:
        yield YardPicture()
        yield Static("", id="yard-words", markup=False)

    def on_mount(self) -> None:
        self._words = ""

    def watch_snapshot(self, snapshot: Snapshot | None) -> None:
        """Draw the gate as it stands now."""
        if snapshot is None or not self.is_mounted:
            return
        words = self.query_one(YardPicture).show(snapshot)
        if words and words != self._words:
            self._words = words
            self.query_one("#yard-words", Static).update(words, layout=False)
