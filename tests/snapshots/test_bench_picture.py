"""The one exactly pinned picture: the Bench as the README shows it, the real bench at a fixed tick.

Regenerate with `pytest tests/snapshots --snapshot-update` after a change that is meant, and look at
the picture before it is committed.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from textual.pilot import Pilot

from simgate.tui.app import SimgateApp
from simgate.tui.screens.bench import BenchScreen
from tests.tui.stage import LARGE, still


def test_the_picture_of_the_bench(snap_compare: Callable[..., bool], tmp_path: Path) -> None:
    """A double gate opens after a call; the meter is on the STOP chain, the card shows what acted."""

    async def play(pilot: Pilot[None]) -> None:
        await pilot.press("enter", "m", *"volts", "enter")
        await pilot.press(*"board stop", "enter", *"board com", "enter", "c")
        bench = pilot.app.screen
        assert isinstance(bench, BenchScreen)
        bench.advance(7000)
        await pilot.pause()

    app = SimgateApp("rehearse:Self-close", tapes=tmp_path, pacer=still)
    assert snap_compare(app, terminal_size=LARGE, run_before=play)
