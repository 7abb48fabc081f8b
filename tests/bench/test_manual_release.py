"""Manual release at the bench: what the board notices of it, and no more.

A leaf whose pulses come from the motor shaft gives none while it is uncoupled; one with a ring on its hinge
gives them all. The board never sees the release itself. Expected from what each sensor can tell.
"""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.board.stimuli import Condition
from tests.bench.kinds import KINDS, call, gate, obstacles, pushed, seen

SHAFT = [name for name in KINDS if name != "park-oil"]  # pulses from the motor
LOST = "Place not known"
LONG = 170_000  # ms, beyond the longest movement


def lost(bench: Bench) -> bool:
    """Whether the board says that it does not know where a leaf is."""
    return bench.board.display[1].startswith(LOST)


def shuts_again(bench: Bench) -> None:
    """Whatever was believed: within three calls the gate is open, then really shut, and knows its place."""
    for _ in range(3):
        if call(bench, LONG) is Condition.OPEN:
            break
    assert call(bench, LONG) is Condition.SHUT
    leaf = bench.snapshot().leaves[0]
    assert abs(leaf.place * leaf.lever) < 0.01
    assert bench.board.display == ("Gate shut", "Ready: Latch")


@pytest.mark.parametrize("site", SHAFT)
def test_an_uncoupled_leaf_that_is_moved_gives_no_pulse_and_the_board_believes_it_shut(site: str) -> None:
    bench = gate(site)
    assert pushed(bench, 150.0, 2_000) > 0.1
    assert bench.board.display == ("Gate shut", "Ready: Latch")
    assert bench.board.place(0) == 0
    call(bench, LONG)
    assert obstacles(bench) == 1  # the open stop, where by its count none should be yet
    shuts_again(bench)


def test_a_ring_on_the_hinge_tells_of_a_leaf_that_is_moved_while_powered() -> None:
    bench = gate("park-oil")
    assert pushed(bench, 150.0, 2_000) > 0.1
    assert lost(bench)
    shuts_again(bench)
    assert obstacles(bench) == 0


@pytest.mark.parametrize("site", KINDS)
def test_a_leaf_moved_while_the_power_was_off_is_not_known_after_it(site: str) -> None:
    bench = gate(site)
    bench.act(do.Mains(False))
    bench.run(1_000)
    assert pushed(bench, 150.0, 2_000) > 0.1
    bench.act(do.Mains(True))
    bench.run(2_000)
    assert lost(bench)
    shuts_again(bench)


@pytest.mark.parametrize("site", SHAFT)
def test_an_uncoupled_drive_turns_alone_and_the_board_counts_what_no_leaf_did(site: str) -> None:
    """It meets no stop where the leaf should be open: that is all there is to notice, and it is noticed."""
    bench = gate(site)
    bench.act(do.Release("A", True))
    at = bench.tick
    assert call(bench, 8_000) is Condition.OPENING
    assert bench.board.place(0) > 100
    assert bench.plant.leaves[0].place == 0.0
    bench.run(LONG)
    assert bench.board.display == ("Stopped", "Leaf A took too long")
    assert seen(bench, at) == []
    bench.act(do.Release("A", False))
    shuts_again(bench)


def test_a_pump_that_is_bypassed_turns_without_its_ring_and_draws_next_to_nothing() -> None:
    """Next to no current, yet its circuit is closed: to the board, a motor whose pulses are missing."""
    bench = gate("park-oil")
    bench.act(do.Release("A", True))
    call(bench, 20_000)
    assert bench.board.display == ("Stopped", "No pulses from motor A")
    assert bench.plant.leaves[0].turns > 30.0
    assert bench.plant.leaves[0].place == 0.0
    bench.act(do.Release("A", False))
    shuts_again(bench)


@pytest.mark.parametrize(
    ("site", "blown"), [("garden-arm", True), ("park-oil", True), ("works-slide", False)]
)
def test_wind_takes_a_released_leaf_that_swings_and_no_other(site: str, blown: bool) -> None:
    for released in (False, True):
        bench = gate(site)
        bench.act(do.Release("A", released))
        bench.plant.wind = 15.0
        bench.run(5_000)
        assert (bench.plant.leaves[0].place > 0.05) is (blown and released)
    moves = "Leaf A swings open"
    assert (moves in seen(bench)) is blown
