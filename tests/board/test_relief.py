"""Whoever a gate may press when it turns round is let go, whatever happens in the rest before it opens.

Reversing is there to take the force away (EN 12453: what was met is let go; from memory): a beam that breaks
then, an edge, a call, must not leave the leaf standing against somebody. STOP and a guard of opening do: the
one overrides all, the other says that somebody stands where the leaf would go.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from simgate.board.drive import GIVE_WAY_MS
from simgate.board.leaf import REVERSE_MS
from simgate.board.stimuli import Condition
from tests.board.rig import EDGE_AT_REST, Rig

C = Condition
PRESSED = 0.1  # V: an edge whose contact strip is pressed together


def in_the_rest(mode: str = "Latch", passed: int = 100, **given: Any) -> tuple[Rig, float]:
    """A gate that met something while it shut, `passed` ms into its rest, and where it met it."""
    rig = Rig(mode, leaves=1, **given)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(500)
    rig.tap("CALL" if mode != "Two-call" else "PART")
    rig.run(6_000)
    leaf = rig.leaves[0]
    leaf.block(leaf.place - 20)
    rig.until(C.OPENING, 2_000)
    rig.run(passed - 10)
    assert rig.board.outputs.duty[0] == 0.0
    return rig, leaf.place


def terminal(name: str, volts: float) -> Callable[[Rig], None]:
    """A terminal that changes and stays so."""
    return lambda rig: rig.terminals(**{name: volts})


def backs_off(rig: Rig, met: float) -> None:
    """It is driven off within the rest and the filter, by some counts, and then stands."""
    rig.run(REVERSE_MS + 50)
    assert rig.board.outputs.duty[0] > 0.0
    rig.run(GIVE_WAY_MS + 1_000)
    assert rig.board.outputs.duty[0] == 0.0
    assert 3 < rig.leaves[0].place - met < 60


@pytest.mark.parametrize("passed", [20, 150, 280])
def test_a_beam_of_both_that_breaks_in_the_rest_does_not_hold_it_on_whom_it_presses(
    passed: int,
) -> None:
    rig, met = in_the_rest(passed=passed, guard_c_use="both")
    rig.terminals(GUARD_C=0.0)
    backs_off(rig, met)
    assert rig.now() is C.HELD
    rig.terminals(GUARD_C=24.0)
    rig.until(C.OPEN)


def test_an_edge_of_both_that_is_pressed_in_the_rest_does_not_either() -> None:
    rig, met = in_the_rest(edge_use="both")
    rig.terminals(EDGE=PRESSED)
    backs_off(rig, met)
    rig.terminals(EDGE=EDGE_AT_REST)
    rig.tap("CALL")
    rig.run(500)
    assert rig.now() in (C.OPENING, C.CLOSING)


@pytest.mark.parametrize(("mode", "call"), [("Four-step", "CALL"), ("Two-call", "PART"), ("Latch", "CALL")])
def test_a_call_in_the_rest_neither_leaves_it_there_nor_shuts_it_on(mode: str, call: str) -> None:
    rig, met = in_the_rest(mode)
    rig.tap(call)
    rig.run(REVERSE_MS - 100)
    assert rig.board.outputs.duty[0] > 0.0
    rig.run(GIVE_WAY_MS - 200)
    assert rig.leaves[0].place > met + 3


@pytest.mark.parametrize("do", [terminal("STOP", 0.0), terminal("GUARD_O", 0.0)], ids=["STOP", "GUARD-O"])
def test_stop_and_a_guard_of_opening_drive_nothing(do: Callable[[Rig], None]) -> None:
    """STOP overrides all (ISO 13850, from memory); where GUARD-O is broken somebody is behind the leaf."""
    rig, met = in_the_rest()
    do(rig)
    rig.run(5_000)
    assert rig.leaves[0].place == met
    assert rig.board.outputs.duty[0] == 0.0


def test_a_guard_of_opening_that_clears_lets_it_back_off() -> None:
    rig, _ = in_the_rest()
    rig.terminals(GUARD_O=0.0)
    rig.run(1_000)
    rig.terminals(GUARD_O=24.0)
    rig.until(C.OPEN)


def test_without_power_nothing_is_driven_and_what_comes_after_is_a_call_s() -> None:
    rig, met = in_the_rest()
    rig.board.signals.powered = False
    rig.run(500)
    rig.board.signals.powered = True
    rig.run(5_000)
    assert rig.leaves[0].place == met
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.leaves[0].place > met


def test_who_lets_go_of_a_held_call_stops_it_there() -> None:
    """The hand that moves the gate is at the gate, and letting go stops it, always."""
    rig = Rig("Hold-to-run", leaves=1)
    rig.terminals(CALL=24.0)
    rig.until(C.OPEN)
    rig.terminals(CALL=0.0)
    rig.run(500)
    rig.terminals(PART=24.0)
    rig.run(6_000)
    rig.leaves[0].block(rig.leaves[0].place - 20)
    rig.until(C.OPENING, 3_000)
    rig.terminals(PART=0.0)
    rig.run(2_000)
    assert rig.board.outputs.duty[0] == 0.0
    assert rig.board.quiet()


def test_no_work_from_the_book_begins_before_it_has_backed_off() -> None:
    rig, _ = in_the_rest(guard_c_use="both")
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    assert rig.now() is C.HELD
    assert rig.board.start_learn(rig.tick) == "The gate is moving"


def test_of_a_pair_the_leaf_that_met_something_is_let_go_too() -> None:
    rig = Rig("Latch", guard_c_use="both")
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(500)
    rig.tap("CALL")
    rig.run(7_000)
    b = rig.leaves[1]
    b.block(b.place - 10)
    rig.until(C.OPENING, 2_000)
    met = b.place
    rig.terminals(GUARD_C=0.0)
    rig.run(REVERSE_MS + GIVE_WAY_MS + 1_000)
    assert rig.now() is C.HELD
    assert rig.board.quiet()
    assert b.place > met + 3
