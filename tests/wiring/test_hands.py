"""What hands can do to the copper, what it changes, and what is refused."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from simgate.files import UserError
from simgate.wiring.harness import Harness
from tests.wiring.site import SITE


def potentials(harness: Harness) -> tuple[float, ...]:
    return harness.solve(harness.word_at_rest()).potentials


def stop_volts(harness: Harness) -> float:
    return harness.solve(harness.word_at_rest()).inputs[0]


def test_undoing_a_stop_wire_opens_the_input_and_remaking_it_restores_everything() -> None:
    harness = Harness(SITE)
    before = potentials(harness)
    harness.part_wire("stop-on")
    assert stop_volts(harness) == 0.0
    assert [wire.name for wire in harness.wires() if wire.undone] == ["stop-on"]
    harness.remake_wire("stop-on")
    assert potentials(harness) == before
    assert not [wire for wire in harness.wires() if wire.undone]


def test_a_link_round_an_undone_wire_makes_the_input_again() -> None:
    harness = Harness(SITE)
    harness.part_wire("stop-on")
    harness.add_link("board.STOP", "board.COM")
    assert stop_volts(harness) > 15.0
    assert ("board.COM", "board.STOP") in harness.links()
    harness.remove_link("board.COM", "board.STOP")
    assert stop_volts(harness) == 0.0


def test_links_stand_in_one_order_however_they_were_put_in() -> None:
    one, other = Harness(SITE), Harness(SITE)
    pairs = [("board.COM", "board.STOP"), ("beam.nc1", "beam.nc2")]
    for a, b in pairs:
        one.add_link(a, b)
    for a, b in reversed(pairs):
        other.add_link(b, a)
    assert one.links() == other.links()
    assert potentials(one) == potentials(other)


def test_swapping_twice_restores() -> None:
    harness = Harness(SITE)
    before, wires = potentials(harness), harness.wires()
    harness.swap_wires("stop-back", "call-back")
    assert harness.wires() != wires
    harness.swap_wires("stop-back", "call-back")
    assert harness.wires() == wires
    assert potentials(harness) == before


def test_a_moved_wire_carries_its_circuit_to_another_terminal() -> None:
    harness = Harness(SITE)
    harness.move_wire("stop-back", "from", "board.PART")
    solution = harness.solve(harness.word_at_rest())
    assert solution.inputs[0] == 0.0
    assert solution.inputs[4] > 15.0
    harness.remake_wire("stop-back")
    assert solution is not harness.solve(harness.word_at_rest())
    assert stop_volts(harness) > 15.0


def test_moving_the_undone_end_makes_the_wire_and_moving_the_other_does_not() -> None:
    harness = Harness(SITE)
    harness.part_wire("stop-back")
    harness.move_wire("stop-back", "to", "stop-button.1")
    assert stop_volts(harness) == 0.0
    harness.move_wire("stop-back", "from", "board.STOP")
    assert stop_volts(harness) > 15.0


def test_a_new_fuse_in_place_of_a_whole_one_changes_nothing() -> None:
    harness = Harness(SITE)
    before = potentials(harness)
    harness.replace_fuse("aux")
    assert potentials(harness) == before


@pytest.mark.parametrize(
    ("act", "found", "allowed"),
    [
        (lambda h: h.part_wire("stop-of"), "'stop-of'", "did you mean 'stop-on'"),
        (lambda h: h.part_wire("cut") or h.part_wire("cut"), "'cut'", "stop-on"),
        (lambda h: h.part_wire("stop-on") or h.part_wire("stop-on"), "undone already", "a wire that is made"),
        (lambda h: h.remake_wire("x"), "'x'", "stop-on"),
        (lambda h: h.move_wire("stop-on", "middle", "board.COM"), "'middle'", "from, to"),
        (lambda h: h.move_wire("stop-on", "from", "board.CON"), "'board.CON'", "board.COM"),
        (lambda h: h.move_wire("stop-on", "from", "board.bus"), "'board.bus'", "did you mean"),
        (lambda h: h.move_wire("stop-on", "from", "stop-button.1"), "its other end", "away from"),
        (lambda h: h.swap_wires("stop-on", "stop-on"), "twice", "two different wires"),
        (lambda h: h.swap_wires("stop-on", "stop-out"), "end to end", "side by side"),
        (lambda h: h.add_link("board.COM", "board.COM"), "twice", "two different points"),
        (lambda h: h.add_link("board.GUARD-O", "board.COM"), "already", "without a link"),
        (lambda h: h.remove_link("board.STOP", "board.COM"), "no link", "board.COM to board.GUARD-O"),
        (lambda h: h.remove_link("board.STOP", "nowhere"), "'nowhere'", "board.COM"),
        (lambda h: h.replace_fuse("main"), "'main'", "did you mean 'mains'"),
    ],
)
def test_what_cannot_be_done_is_refused_with_what_can(
    act: Callable[[Harness], object], found: str, allowed: str
) -> None:
    harness = Harness(SITE)
    with pytest.raises(UserError) as error:
        act(harness)
    (problem,) = error.value.problems
    assert found in problem.found
    assert allowed in problem.allowed


def test_a_refused_act_leaves_the_copper_alone() -> None:
    harness = Harness(SITE)
    before, version = harness.wires(), harness.version
    with pytest.raises(UserError):
        harness.swap_wires("stop-on", "stop-out")
    assert (harness.wires(), harness.version) == (before, version)
