"""The strip chart over the Bench, for screens that are too small to have it beside the Yard."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from simgate.bench.record import Snapshot
from simgate.board.signals import Acted
from simgate.tui.panes.strip import StripChart
from simgate.tui.screens.modal import Over
from simgate.tui.strip import Recorder


class StripOver(Over[None]):
    """The chart, as large as the screen. It follows the gate while it lies there."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("r", "close", "Close", show=False, id="strip")]
    clock_stands = False

    def __init__(self, recorder: Recorder, shot: Snapshot) -> None:
        super().__init__()
        self._recorder, self._shot = recorder, shot

    def compose(self) -> ComposeResult:
        chart = StripChart(self._recorder)
        chart.add_class("card")
        yield chart

    def on_mount(self) -> None:
        self.follow(self._shot, None)

    def follow(self, shot: Snapshot, acted: Acted | None) -> None:
        """Draw up to now."""
        self.query_one(StripChart).snapshot = shot
