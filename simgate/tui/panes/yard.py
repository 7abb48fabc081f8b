"""The Yard: the gate from above, and its state in a line of words."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.events import Resize
from textual.widgets import Static

from simgate.bench.record import Snapshot
from simgate.tui.panes.drawn import Drawn
from simgate.tui.panes.pane import Pane
from simgate.tui.picture import Stage
from simgate.tui.yard_words import described_within, hazards

ROWS = 2  # of words under the picture
SHORT = " Yard · ! HAZARD "


class YardPicture(Drawn):
    """The drawing itself."""

    def __init__(self) -> None:
        super().__init__()
        self._stage = Stage(1, 1)
        self._shot: Snapshot | None = None

    def show(self, snapshot: Snapshot) -> None:
        """Paint what changed."""
        self._shot = snapshot
        if (self._stage.width, self._stage.height) != self.size:
            self._stage = Stage(*self.size)
            self._rows = ()
        if self.size:
            self.paint(self._stage.paint(snapshot).rows)

    def on_resize(self, event: Resize) -> None:
        """A new size is a new drawing."""
        if self._shot is not None:
            self.show(self._shot)


class Yard(Pane):
    """Picture and words."""

    DEFAULT_CSS = """
    Yard { min-width: 40; }
    Yard.-hazard { border-top: heavy $error; border-title-color: $error; }
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
        danger = hazards(snapshot)
        self.set_class(bool(danger), "-hazard")
        self.border_title = self._title(danger)
        self.query_one(YardPicture).show(snapshot)
        place = self.query_one("#yard-words", Static)
        if not place.size.width:
            return
        words = described_within(snapshot, place.size.width, ROWS)
        if words != self._words:
            self._words = words
            place.update(words, layout=False)

    def _title(self, danger: list[str]) -> str:
        """The first danger, or its one word where that is too long for the rule."""
        told = f" Yard · ! {danger[0]} " if danger else self.BORDER_TITLE
        return told if len(told) < self.size.width else SHORT

    def on_resize(self, event: Resize) -> None:
        """Another width may hold more or fewer words."""
        self.call_after_refresh(self.watch_snapshot, self.snapshot)
