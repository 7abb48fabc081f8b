"""Invariants of the whole bench under random hands."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.scan import SCAN, Bench
from simgate.board.stimuli import INPUTS, Input
from tests.bench.made import RUNS, play, setup, try_to

MODES = st.sampled_from(["Latch", "Self-close", "Hold-to-run"])


class Stepping(Bench):
    """A bench that never skips idle time."""

    def _skip(self, target: int) -> None:
        """Step instead."""


@settings(max_examples=60, deadline=None)
@given(MODES, st.booleans(), RUNS)
def test_skipping_idle_time_gives_the_same_run_as_stepping_through_it(
    mode: str, learned: bool, run: list[tuple[int, a.Action]]
) -> None:
    start = setup(mode, learned=learned, pause=3)
    skipping, stepping = Bench(start), Stepping(start)
    play(skipping, run)
    play(stepping, run)
    assert skipping.records == stepping.records
    assert skipping.digest() == stepping.digest()


@settings(max_examples=60, deadline=None)
@given(MODES, RUNS)
def test_no_drive_with_stop_parted_and_leaves_stay_within_their_stops(
    mode: str, run: list[tuple[int, a.Action]]
) -> None:
    bench = Bench(setup(mode, pause=3))
    grace = round(bench.board.settings.number("input-filter")) + 2 * SCAN
    parted_for = 0
    for wait, action in [*run, (1000, a.PutAway())]:
        for _ in range(wait // SCAN):
            bench.run(SCAN)
            made = bench.solution.inputs[INPUTS.index(Input.STOP)] >= 15
            parted_for = 0 if made else parted_for + SCAN
            if parted_for > grace:
                assert not any(bench.board.outputs.duty)
            for n, leaf in enumerate(bench.plant.leaves):
                spec, _ = bench.setup.site.plant.leaves[n]
                assert -0.05 < leaf.angle < spec.reach + 0.05
                assert math.isfinite(leaf.speed)
        try_to(bench, action)
        grace = round(bench.board.settings.number("input-filter")) + 2 * SCAN
