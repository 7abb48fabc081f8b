"""A picture of cells on the screen: rows of runs in this theme's colours.

Paints only the lines that changed: at 30 frames a second a moving leaf costs a few rows, a gate at rest
nothing.
"""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from simgate.tui.canvas import Ink, Row


class Drawn(Widget):
    """Shows rows of runs. Every ink has a component class, `drawn--INK`."""

    DEFAULT_CSS = """
    Drawn {
        height: 1fr;
        & > .drawn--ground { color: $text-muted; }
        & > .drawn--arc { color: $text-disabled; }
        & > .drawn--post { color: $text-muted; }
        & > .drawn--stop { color: $secondary; }
        & > .drawn--beam { color: $success; }
        & > .drawn--broken { color: $error; text-style: bold; }
        & > .drawn--leaf { color: $foreground; text-style: bold; }
        & > .drawn--body { color: $warning; text-style: bold; }
        & > .drawn--person { color: $accent; text-style: bold; }
        & > .drawn--lamp { color: $accent; text-style: bold; }
        & > .drawn--word { color: $text-muted; }
        & > .drawn--picked { color: $background; background: $accent; text-style: bold; }
    }
    """
    COMPONENT_CLASSES = {f"drawn--{ink.value}" for ink in Ink}  # noqa: RUF012  (Textual declares it a ClassVar)

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[Row, ...] = ()
        self._styles: dict[Ink, Style] = {}

    def paint(self, rows: tuple[Row, ...]) -> None:
        """Show `rows`; only what differs from before is painted."""
        before, self._rows = self._rows, rows
        if len(before) != len(rows):
            self.refresh()
            return
        changed = [y for y, (old, new) in enumerate(zip(before, rows, strict=True)) if old != new]
        if changed:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in changed))

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
            styles.update({ink: self.get_component_rich_style(f"drawn--{ink.value}") for ink in Ink})
        return Strip([Segment(run.text, styles[run.ink]) for run in self._rows[y]], self.size.width)
