"""The line over the Bench: which job, whether the run is marked, how fast time goes, and how late it is."""

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
