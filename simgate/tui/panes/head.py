"""The line over the Bench (job, whether it is marked, speed, time) and the bar that a caution lights up."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.reactive import var
from textual.widgets import Static

from simgate.bench.record import Snapshot
from simgate.tui.captions import clock


class Head(Horizontal):
    """What run this is and how time passes. pace: the pacer's caption."""

    DEFAULT_CSS = """
    Head { dock: top; height: 1; padding: 0 1; background: $panel; }
    Head > #head-title { width: 1fr; text-style: bold; text-wrap: nowrap; text-overflow: ellipsis; }
    Head > #head-state { width: 32; color: $text-muted; }
    """

    snapshot: var[Snapshot | None] = var(None, always_update=True)
    pace: var[str] = var("")

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title
        self._state = ""

    def compose(self) -> ComposeResult:
        yield Static(self._title, id="head-title", markup=False)
        yield Static("", id="head-state", markup=False)

    def watch_pace(self) -> None:
        """Speed or pause changed."""
        self.watch_snapshot(self.snapshot)

    def watch_snapshot(self, shot: Snapshot | None) -> None:
        """Ten times a second of simulated time at most."""
        if shot is None or not self.is_mounted:
            return
        state = f"{'' if shot.marked else 'not marked · '}{self.pace} · {clock(shot.tick)}"
        if state != self._state:
            self._state = state
            self.query_one("#head-state", Static).update(f"{state:>32}", layout=False)


class CautionBar(Static):
    """What must be heard now, over the footer; gone when there is nothing."""

    DEFAULT_CSS = """
    CautionBar {
        dock: bottom; height: auto; margin: 0 0 1 0; padding: 0 1; display: none;
        background: $panel; color: $warning; text-style: bold;
    }
    """

    snapshot: var[Snapshot | None] = var(None, always_update=True)

    def __init__(self) -> None:
        super().__init__("", markup=False)
        self._caution = ""

    def watch_snapshot(self, shot: Snapshot | None) -> None:
        """Follow the meter's caution."""
        caution = shot.meter.caution if shot is not None and shot.meter is not None else ""
        if caution != self._caution:
            self._caution = caution
            self.update(f"! Caution: {caution}")
            self.display = bool(caution)
