"""The board on the whole bench: what it takes for a stop, for a body, and when it may say 'shut'.

The board feels pulses and current only. A real drive's spring, coasting and gearing decide whether its
tolerances tell a stop from a body close to it, so these cases run on the shipped sites' own iron.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.bench.setup import Value
from simgate.board.stimuli import Condition, Stimulus
from tests.bench.made import setup, touch

C = Condition
NOTHING: Mapping[str, Value] = {}
SITES = ("farm-double", "yard-single")
NEARLY = math.radians(0.5)  # rad from shut that still looks shut


def gate(site: str = "farm-double", mode: str = "Latch", given: Mapping[str, Value] = NOTHING) -> Bench:
    """A gate that has learned, shut; `given` are settings by key."""
    made = setup(mode, site=site)
    return Bench(replace(made, settings=(*made.settings, *given.items())))


def until(bench: Bench, *conditions: Condition, seconds: int = 150) -> Condition:
    """Run until the gate is in one of `conditions`; fails when it is not in time."""
    for _ in range(seconds * 10):
        if bench.board.condition in conditions:
            return bench.board.condition
        bench.run(100)
    raise AssertionError(f"still {bench.board.condition} after {seconds} s: {bench.board.display}")


def call(bench: Bench) -> None:
    """Press the call button, and wait for it to act."""
    touch(bench, "call-button")
    bench.run(100)


def after_call(bench: Bench) -> Condition:
    """Where the next call leaves the gate."""
    call(bench)
    return until(bench, C.SHUT, C.OPEN, C.STOPPED_OPENING, C.STOPPED_CLOSING)


def opened(bench: Bench) -> Bench:
    """The gate, called open."""
    assert after_call(bench) is C.OPEN
    bench.run(1_000)
    return bench


def blink(bench: Bench) -> None:
    """Cut the power for a second."""
    bench.act(do.Mains(False))
    bench.run(1_000)
    bench.act(do.Mains(True))
    bench.run(1_000)


def move_by_hand(bench: Bench, angles: dict[str, float]) -> None:
    """Uncouple the leaves named, stand them at `angles` (degrees), couple them again."""
    for name in angles:
        bench.act(do.Release(name, True))
    for name in sorted(angles, key=lambda one: -angles[one]):
        leaf = bench.plant.leaves["AB".index(name)]
        leaf.put(math.radians(angles[name]))
    bench.run(1_000)
    for name in angles:
        bench.act(do.Release(name, False))
    bench.run(1_000)


def said_shut_untruly(bench: Bench) -> bool:
    """Whether the gate is said to be shut with a leaf standing open."""
    return bench.board.condition is C.SHUT and any(leaf.angle > NEARLY for leaf in bench.plant.leaves)


def obstacles(bench: Bench) -> int:
    """How often the board took something for an obstacle."""
    return sum(cell.stimulus is Stimulus.OBSTACLE for record in bench.records for cell in record.acted)


# A body near the end of the travel ----------------------------------------------------------------


@pytest.mark.parametrize("gap_mm", [50, 100, 200])
@pytest.mark.parametrize(("site", "name"), [("farm-double", "A"), ("farm-double", "B"), ("yard-single", "A")])
def test_a_body_at_the_closing_edge_turns_the_gate_round(site: str, name: str, gap_mm: int) -> None:
    """Gaps from 50 mm up, where force is measured on closing edges (EN 12453, EN 12445; from memory)."""
    bench = opened(gate(site))
    n = "AB".index(name)
    width = bench.setup.site.plant.leaves[n][0].width
    bench.act(do.PlaceBody(name, width, math.degrees(gap_mm / 1000.0 / width)))
    call(bench)
    assert until(bench, C.OPENING, C.SHUT) is C.OPENING
    bench.run(3_000)
    assert bench.plant.leaves[n].body_force == 0.0


@pytest.mark.parametrize("gap_mm", [50, 200])
@pytest.mark.parametrize(("site", "name"), [("farm-double", "A"), ("farm-double", "B"), ("yard-single", "A")])
def test_a_body_before_the_open_stop_makes_the_gate_give_way(site: str, name: str, gap_mm: int) -> None:
    bench = gate(site)
    n = "AB".index(name)
    spec = bench.setup.site.plant.leaves[n][0]
    width = spec.width
    angle = spec.reach - gap_mm / 1000.0 / width
    bench.act(do.PlaceBody(name, width, math.degrees(angle)))
    assert after_call(bench) is C.STOPPED_OPENING
    bench.run(3_000)
    assert bench.plant.leaves[n].body_force == 0.0


def both(**each: Value) -> dict[str, Value]:
    """Settings that exist per leaf, alike for both."""
    return {f"{key.replace('_', '-')}-{leaf}": value for key, value in each.items() for leaf in "ab"}


FAST: dict[str, Value] = {"speed-opening": 100, "speed-closing": 100}
WHOLE_RANGE: tuple[tuple[float, dict[str, Value]], ...] = (
    (-8.0, {}),
    (8.0, {}),
    (0.0, FAST),
    (-8.0, {"speed-opening": 40, "speed-closing": 40, **both(slow_speed=20, slow_length=5)}),
    (8.0, {**FAST, **both(slow_speed=60, slow_length=5), "soft-start": 0}),
    (-8.0, {**FAST, **both(slow_speed=60, slow_length=5), "soft-start": 0}),
    (8.0, {**both(slow_speed=20, slow_length=40), "soft-start": 2}),
    (0.0, {**both(force_opening=100, force_closing=100), "sensitivity": "high"}),
)


@pytest.mark.parametrize(("wind", "given"), WHOLE_RANGE)
@pytest.mark.parametrize("site", SITES)
def test_no_stop_is_taken_for_a_body(site: str, wind: float, given: dict[str, Value]) -> None:
    """Wind in m/s, steady; the ends of the settings' ranges."""
    bench = gate(site, given=given)
    bench.plant.wind = wind
    assert [after_call(bench), after_call(bench)] == [C.OPEN, C.SHUT]
    assert obstacles(bench) == 0
    assert bench.board.display == ("Gate shut", "Ready: Latch")


@pytest.mark.parametrize(("site", "mode"), [("farm-double", "Self-close"), ("yard-single", "Latch")])
def test_no_stop_is_taken_for_a_body_in_twenty_cycles(site: str, mode: str) -> None:
    pause: dict[str, Value] = {"pause": 1} if mode == "Self-close" else {}
    bench = gate(site, mode, {**pause, **FAST})
    for _ in range(20):
        call(bench)
        until(bench, C.OPEN)
        if mode == "Latch":
            call(bench)
        until(bench, C.SHUT)
    assert obstacles(bench) == 0


@pytest.mark.parametrize("site", SITES)
def test_a_stop_is_still_a_stop_when_force_was_changed_after_the_learn_cycle(site: str) -> None:
    """A stop springs: more force presses the leaf further into it than when it was learned."""
    bench = gate(site)
    for force in (100, 30):
        for key in both(force_opening=0, force_closing=0):
            bench.board.settings.change(key, force)
        assert [after_call(bench), after_call(bench)] == [C.OPEN, C.SHUT]
    assert obstacles(bench) == 0


# A place that is not what the board believes ------------------------------------------------------


@pytest.mark.parametrize("mode", ["Latch", "Self-close"])
@pytest.mark.parametrize("angles", [
    {"A": 11.0, "B": 88.0}, {"A": 40.0, "B": 88.0}, {"B": 90.0}, {"A": 90.0, "B": 90.0}, {"A": 45.0},
], ids=str)  # fmt: skip
def test_a_gate_that_was_moved_by_hand_finds_its_place_again(mode: str, angles: dict[str, float]) -> None:
    """Nothing tells the board that an uncoupled leaf is moved; what the leaves meet afterwards does."""
    pause: dict[str, Value] = {"pause": 5} if mode == "Self-close" else {}
    bench = gate(mode=mode, given=pause)
    move_by_hand(bench, angles)
    for _ in range(4):
        call(bench)
        bench.run(150_000)
        assert not said_shut_untruly(bench)
    before = obstacles(bench)
    call(bench)
    bench.run(150_000)
    assert obstacles(bench) == before
    assert bench.board.display[1] == f"Ready: {mode}"


def test_an_open_gate_that_was_pushed_shut_by_hand_finds_its_place_again() -> None:
    bench = opened(gate())
    move_by_hand(bench, {"B": 0.5, "A": 1.0})
    for _ in range(4):
        call(bench)
        bench.run(150_000)
        assert not said_shut_untruly(bench)
    assert bench.board.display[1] == "Ready: Latch"


# A place that was lost ----------------------------------------------------------------------------


@pytest.mark.parametrize("site", SITES)
def test_after_a_power_cut_one_slow_cycle_finds_both_stops(site: str) -> None:
    bench = opened(gate(site))
    blink(bench)
    at = [leaf.angle for leaf in bench.plant.leaves]
    bench.run(20_000)
    assert [leaf.angle for leaf in bench.plant.leaves] == at
    assert after_call(bench) is C.OPEN
    assert bench.board.display == ("Taken to be open", "Place not known: moves slowly")
    assert after_call(bench) is C.SHUT
    assert not said_shut_untruly(bench)
    assert bench.board.display == ("Gate shut", "Ready: Latch")
    assert obstacles(bench) == 0


@pytest.mark.parametrize("site", SITES)
def test_a_body_that_stops_the_search_for_shut_is_never_taken_for_the_stop(site: str) -> None:
    bench = gate(site)
    call(bench)
    bench.run(12_000)
    blink(bench)
    call(bench)
    bench.run(1_500)
    call(bench)  # opening slowly, and turned round
    assert bench.board.condition is C.CLOSING
    for name, angle in zip("AB", (20.0, 12.0), strict=False):
        if name == "A" or site == "farm-double":
            bench.act(do.PlaceBody(name, 2.0, angle))
    assert until(bench, C.OPENING, C.SHUT) is C.OPENING
    assert bench.board.display[1].endswith("met a stop or a body")
    until(bench, C.OPEN)
    for name in "AB"[: len(bench.plant.leaves)]:
        bench.act(do.RemoveBody(name))
    assert after_call(bench) is C.SHUT
    assert not said_shut_untruly(bench)


@pytest.mark.parametrize("site", SITES)
def test_a_body_that_stops_the_search_for_open_does_not_make_shut_of_half_way(site: str) -> None:
    """The open stop was not where the search took it to be: the way back is too short to be true."""
    bench = gate(site)
    blink(bench)
    bench.act(do.PlaceBody("A", 2.0, 40.0))
    assert after_call(bench) is C.OPEN  # as far as the board can tell
    assert bench.board.display == ("Taken to be open", "Place not known: moves slowly")
    bench.act(do.RemoveBody("A"))
    call(bench)
    assert until(bench, C.OPENING, C.SHUT) is C.OPENING
    until(bench, C.OPEN)
    assert bench.plant.leaves[0].angle > math.radians(85.0)
    assert after_call(bench) is C.SHUT
    assert not said_shut_untruly(bench)
    assert bench.board.display == ("Gate shut", "Ready: Latch")


# What stops a gate that moves ---------------------------------------------------------------------


def test_another_number_of_leaves_stops_a_gate_that_moves() -> None:
    bench = gate()
    call(bench)
    bench.run(5_000)
    bench.board.settings.change("leaves", 1)
    bench.run(100)
    assert bench.board.outputs.duty == [0.0, 0.0]
    assert bench.board.condition is C.STOPPED_OPENING
    bench.run(2_000)
    assert [leaf.speed for leaf in bench.plant.leaves] == [0.0, 0.0]


def test_a_learn_cycle_that_the_power_cut_ended_says_so_when_the_power_returns() -> None:
    bench = gate("yard-single")
    assert bench.board.start_learn(bench.tick) == ""
    bench.run(3_000)
    blink(bench)
    assert bench.board.display == (
        "Stopped",
        "The power went: learn cycle stopped",
    ) or bench.board.display == (
        "The power went: learn cycle",
        "stopped",
    )
    assert after_call(bench) is C.OPEN
    assert bench.board.display == ("Taken to be open", "Place not known: moves slowly")
