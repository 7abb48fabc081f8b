"""The strip chart: position, motor current and inputs over the last minute."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.events import Resize

from simgate.bench.record import Snapshot
from simgate.tui.panes.drawn import Drawn
from simgate.tui.panes.pane import Pane
from simgate.tui.strip import Recorder, draw, reading

EVERY_MS = 200  # of simulated time between two drawings; a column is seldom narrower
LEGEND = " travel in %, motor in A; inputs: ━ made  · open  ╏ both "


class StripPicture(Drawn):
    """The chart itself."""

    def __init__(self, recorder: Recorder) -> None:
        super().__init__()
        self._recorder = recorder
        self._shot: Snapshot | None = None

    def show(self, shot: Snapshot) -> None:
        """Draw the minute before `shot`."""
        self._shot = shot
        self.paint(draw(self._recorder, shot, *self.size))

    def on_resize(self, event: Resize) -> None:
        """A new size is a new drawing."""
        if self._shot is not None:
            self.show(self._shot)


class StripChart(Pane):
    """Draws what `recorder` has seen. Something else feeds that; here it is only read."""

    BORDER_TITLE = " Strip chart "
    BORDER_SUBTITLE = LEGEND

    def __init__(self, recorder: Recorder, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._recorder = recorder
        self._drawn = -1

    def compose(self) -> ComposeResult:
        yield StripPicture(self._recorder)

    def watch_snapshot(self, shot: Snapshot | None) -> None:
        """A few times in a second of simulated time, and only where somebody sees it."""
        if shot is None or not self.is_mounted or not self.display:
            return
        if shot.tick // EVERY_MS != self._drawn:
            self._drawn = shot.tick // EVERY_MS
            self.query_one(StripPicture).show(shot)
            title = f"Strip chart · last minute · {reading(shot)}"
            self.border_title = title if self.has_class("card") else f" {title} "  # a frame brings its spaces
