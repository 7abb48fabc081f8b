"""Every cell that hands can bring about, in every shipped mode, in the running bench: answer, leaves, pause.

The tables to compare with are those that tests/board/test_modes.py holds by hand; the chart alone is tested
there. What hands cannot bring about (a leaf at rest that meets something, the end of a pause that does not
run) is named by `Ways.reach`, and its number is held here.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup, Value
from simgate.bench.site import load_site
from simgate.board.modes import common, shipped_modes
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response, Stimulus
from simgate.practice.rehearse import rehearsal
from simgate.practice.ways import Ways
from tests.board.test_modes import GOLDEN, GOLDEN_COMMON, table
from tests.practice.tour import make, walk

C, S = Condition, Stimulus

CELLS = {  # that hands can bring about at the farm gate, of the 170 of a card
    "Close-behind": 105,
    "Four-step": 103,
    "Hold-to-run": 72,
    "Latch": 103,
    "Self-close": 105,
    "Shared drive": 105,
    "Two-call": 103,
}
EDGE_STIMULI = (S.EDGE_AMISS, S.EDGE_HEALTHY)


def golden(title: str, **uses: str) -> Mapping[Condition, Mapping[Stimulus, Response]]:
    """The whole card as the board's tests hold it; with a guard used otherwise, the variant of it."""
    own = table(GOLDEN[title], MODE_STIMULI)
    always = common().when({key.replace("_", "-"): use for key, use in uses.items()})
    plain = table(GOLDEN_COMMON, COMMON_STIMULI)
    return {c: {**own[c], **(always[c] if uses else plain[c])} for c in Condition}


def gate(site: str, title: str, **settings: Value) -> Bench:
    """A learned gate at `site`; gates of one site and mode share what their board has learned."""
    chosen = tuple((key.replace("_", "-"), value) for key, value in settings.items())
    return Bench(Setup("test", load_site(site), (("mode", title), ("pause", 10), *chosen), learned=True))


def bring(bench: Bench, there: Condition) -> None:
    """Bring the gate to a condition."""
    ways = Ways(bench.snapshot())
    while bench.board.condition is not there:
        route = ways.find(ways.stand(bench.snapshot()), lambda cell: cell.condition is there)
        assert route is not None
        make(bench, route.moves[0])


def test_every_shipped_mode_is_walked() -> None:
    assert sorted(CELLS) == sorted(shipped_modes())


@pytest.mark.parametrize("title", CELLS)
def test_every_cell_does_in_the_bench_what_its_table_says(title: str) -> None:
    tour = walk(rehearsal(title).bench(), golden(title))
    assert tour.wrong == []
    assert tour.seen == tour.reach
    assert len(tour.seen) == CELLS[title]


@pytest.mark.parametrize("title", CELLS)
def test_without_part_opening_every_cell_still_does_what_its_table_says(title: str) -> None:
    bench = gate("farm-double", title, part_opening="not in use")
    whole, without = golden(title), shipped_modes()[title].without_part().cells
    tour = walk(bench, {c: {**whole[c], **without[c]} for c in Condition})
    assert tour.wrong == []
    assert tour.seen == tour.reach
    assert not any(C.PART_OPEN is cell.condition for cell in tour.seen)
    assert len(tour.seen) > 50


@pytest.mark.parametrize("title", ["Self-close", "Latch"])
def test_a_guard_c_that_also_protects_opening_holds_and_lets_go_on_in_the_bench(title: str) -> None:
    tour = walk(gate("farm-double", title, guard_c_use="both"), golden(title, guard_c_use="both"))
    assert tour.wrong == []
    assert tour.seen == tour.reach
    acted = {(cell.condition, cell.stimulus) for cell in tour.seen}
    assert (C.OPENING, S.GUARD_C_BROKEN) in acted
    assert (C.HELD, S.GUARD_C_CLEAR) in acted


@pytest.mark.parametrize(("use", "guard_c"), [("closing", "closing"), ("opening", "both")])
@pytest.mark.parametrize("title", ["Latch", "Self-close"])
def test_an_edge_that_is_pressed_does_in_the_bench_what_the_common_table_says(
    title: str, use: str, guard_c: str
) -> None:
    bench = gate("depot-double", title, edge_use=use, guard_c_use=guard_c)
    tour = walk(bench, golden(title, edge_use=use, guard_c_use=guard_c))
    assert tour.wrong == []
    pressed = {cell for cell in tour.reach if cell.stimulus in EDGE_STIMULI}
    assert pressed <= tour.seen
    assert len(pressed) >= 10
    held = C.HELD in {cell.condition for cell in pressed}  # a GUARD-C for both is what holds it there
    assert held is (guard_c == "both")


@pytest.mark.parametrize("title", CELLS)
@pytest.mark.parametrize("condition", [C.OPENING, C.CLOSING])
def test_a_motor_without_current_stops_a_gate_that_moves(title: str, condition: Condition) -> None:
    bench = rehearsal(title).bench()
    for there in (condition,) if condition is C.OPENING else (C.OPEN, condition):
        bring(bench, there)
    bench.run(5_000)  # past the delay of the leaf that follows
    for wire in ("motor-a-brown", "motor-b-brown"):
        bench.act(do.PartWire(wire))
    before = len(bench.records)
    bench.run(3_000)
    faults = [
        acted for record in bench.records[before:] for acted in record.acted if acted.stimulus is S.FAULT
    ]
    assert [(one.condition, one.response) for one in faults] == [(condition, Response.STOP)]
    assert not any(bench.board.outputs.duty)
    assert not any(leaf.speed for leaf in bench.snapshot().leaves)
