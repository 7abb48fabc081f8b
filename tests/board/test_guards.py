"""What STOP and the guards do to a gate at rest, on its way, and under work from the book."""

from __future__ import annotations

from typing import Any

import pytest

from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Response, Way
from tests.board.rig import Rig

C = Condition


def opening(mode: str = "Latch", **given: Any) -> Rig:
    """A gate three seconds into opening."""
    rig = Rig(mode, **given)
    rig.tap("CALL")
    rig.run(5_000)
    return rig


def closing(mode: str = "Latch", **given: Any) -> Rig:
    """A gate five seconds into shutting."""
    rig = opening(mode, **given)
    rig.until(C.OPEN)
    rig.run(500)
    rig.tap("CALL")
    rig.run(5_000)
    assert rig.now() is C.CLOSING
    return rig


@pytest.mark.parametrize("moving", [opening, closing])
def test_stop_stops_both_leaves_within_the_filter_time(moving: type[Rig]) -> None:
    rig = moving()
    rig.terminals(STOP=0.0)
    rig.run(50)
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.now() in (C.STOPPED_OPENING, C.STOPPED_CLOSING)
    assert rig.board.display == ("Stopped", "STOP is open")


def test_while_stop_is_open_no_call_moves_the_gate_and_the_display_says_why() -> None:
    rig = opening()
    rig.terminals(STOP=0.0)
    rig.run(500)
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.notes(NoteKind.REFUSED) == ["STOP is open"]


def test_after_stop_is_remade_only_a_fresh_call_moves_the_gate() -> None:
    rig = opening()
    rig.terminals(STOP=0.0, CALL=24.0)
    rig.run(500)
    rig.terminals(STOP=24.0)
    rig.run(5_000)
    assert rig.now() is C.STOPPED_OPENING  # CALL is still held: that is no fresh call
    rig.terminals(CALL=0.0)
    rig.run(100)
    rig.tap("CALL")
    assert rig.now() is C.CLOSING


def test_stop_in_the_pause_ends_it_for_good() -> None:
    rig = Rig("Self-close", pause=20)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.terminals(STOP=0.0)
    rig.run(500)
    rig.terminals(STOP=24.0)
    rig.run(60_000)
    assert rig.now() is C.OPEN
    rig.tap("PART")
    rig.run(60_000)
    assert rig.now() is C.OPEN
    rig.tap("CALL")
    assert rig.now() is C.CLOSING


def test_guard_o_holds_opening_and_it_goes_on_when_cleared() -> None:
    rig = opening()
    rig.terminals(GUARD_O=0.0)
    rig.run(100)
    assert rig.now() is C.HELD
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.board.display == ("Waiting to open", "GUARD-O open: will not open")
    rig.run(30_000)
    rig.terminals(GUARD_O=24.0)
    rig.run(100)
    assert rig.now() is C.OPENING
    rig.until(C.OPEN)


def test_guard_c_while_closing_reopens() -> None:
    rig = closing()
    rig.terminals(GUARD_C=0.0)
    rig.run(50)
    assert rig.now() is C.OPENING
    assert max(rig.board.outputs.duty) == 0.0  # the rest between directions
    rig.until(C.OPEN)


def test_guard_c_for_closing_only_does_not_touch_opening() -> None:
    rig = opening()
    rig.terminals(GUARD_C=0.0)
    rig.run(500)
    assert rig.now() is C.OPENING
    assert min(rig.board.outputs.duty) > 0.3


def test_guard_c_for_both_holds_opening_and_reopens_while_closing() -> None:
    rig = opening(guard_c_use="both")
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    assert rig.now() is C.HELD
    rig.terminals(GUARD_C=24.0)
    rig.run(100)
    assert rig.now() is C.OPENING
    rig = closing(guard_c_use="both")
    rig.terminals(GUARD_C=0.0)
    rig.run(1_000)
    assert rig.now() is C.OPENING
    assert max(rig.board.outputs.duty) > 0.0


@pytest.mark.parametrize(("use", "forbids"), [("closing", "will not shut"), ("both", "will not move")])
def test_the_display_says_what_an_open_guard_c_forbids(use: str, forbids: str) -> None:
    rig = opening(guard_c_use=use)
    rig.terminals(GUARD_C=0.0)
    rig.run(500)
    assert rig.board.display[1] == f"GUARD-C open: {forbids}"
    assert rig.now() is (C.HELD if use == "both" else C.OPENING)


def test_guard_c_for_both_open_at_rest_forbids_opening_too() -> None:
    rig = Rig("Latch", guard_c_use="both")
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    rig.tap("CALL")
    assert rig.notes(NoteKind.REFUSED) == ["GUARD-C is open"]
    assert rig.board.work.jog(0, Way.OPENING, rig.tick) == "GUARD-C is open"


def test_a_jog_that_opens_stops_for_a_guard_c_for_both() -> None:
    rig = Rig("Latch", learned=False, guard_c_use="both")
    rig.board.work.jog(0, Way.OPENING, rig.tick)
    rig.run(1_000)
    rig.terminals(GUARD_C=0.0)
    rig.run(50)
    assert rig.board.outputs.duty == [0.0, 0.0]


def test_a_gate_held_by_two_guards_goes_on_when_both_are_clear() -> None:
    rig = opening(guard_c_use="both")
    rig.terminals(GUARD_O=0.0)
    rig.run(100)
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    rig.terminals(GUARD_O=24.0)
    rig.run(100)
    assert rig.now() is C.HELD
    assert rig.cells()[-1].refused == "GUARD-C is open"
    rig.terminals(GUARD_C=24.0)
    rig.run(100)
    assert rig.now() is C.OPENING


def test_a_reversal_that_is_not_permitted_stops_the_gate() -> None:
    rig = closing()
    rig.terminals(GUARD_O=0.0)
    rig.run(100)
    assert rig.now() is C.CLOSING
    rig.terminals(GUARD_C=0.0)
    rig.run(50)
    assert (rig.cells()[-1].response, rig.cells()[-1].refused) == (Response.REVERSE, "GUARD-O is open")
    assert rig.now() is C.STOPPED_CLOSING
    assert rig.board.outputs.duty == [0.0, 0.0]


@pytest.mark.parametrize(("terminal", "mode", "words"), [
    ("GUARD_O", "Latch", "GUARD-O open: will not open"),
    ("GUARD_C", "Latch", "GUARD-C open: will not shut"),
    ("STOP", "Hold-to-run", "STOP is open"),
])  # fmt: skip
def test_a_parted_terminal_at_rest_is_named_on_the_display(terminal: str, mode: str, words: str) -> None:
    rig = Rig(mode)
    rig.terminals(**{terminal: 0.0})
    rig.run(100)
    assert rig.board.display == ("Gate shut", words)


def test_a_refusal_is_forgotten_when_its_terminal_is_made() -> None:
    rig = Rig("Latch")
    rig.terminals(GUARD_O=0.0)
    rig.run(100)
    rig.tap("CALL")
    assert rig.board.display == ("Gate shut", "GUARD-O is open")
    rig.terminals(GUARD_O=24.0)
    rig.run(100)
    assert rig.board.display == ("Gate shut", "Ready: Latch")


def test_a_pause_that_ends_with_guard_c_open_starts_again() -> None:
    rig = Rig("Self-close", pause=20)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.terminals(GUARD_C=0.0)
    rig.run(20_000)
    assert rig.now() is C.OPEN
    assert rig.notes(NoteKind.REFUSED) == ["GUARD-C is open"]
    assert rig.notes(NoteKind.PAUSE) == ["started", "over", "restarted"]
    assert rig.board.pause_left(rig.tick) > 19_000
    rig.terminals(GUARD_C=24.0)
    rig.until(C.CLOSING)


def test_reopening_for_a_guard_in_hold_to_run_goes_on_only_while_part_is_held() -> None:
    rig = Rig("Hold-to-run")
    rig.terminals(CALL=24.0)
    rig.until(C.OPEN)
    rig.terminals(CALL=0.0, PART=24.0)
    rig.run(6_000)
    rig.terminals(GUARD_C=0.0)
    rig.run(1_000)
    assert rig.now() is C.OPENING
    rig.terminals(PART=0.0)
    rig.run(50)
    assert rig.board.outputs.duty == [0.0, 0.0]


@pytest.mark.parametrize(("terminal", "way", "words"), [
    ("STOP", Way.OPENING, "STOP is open"), ("STOP", Way.CLOSING, "STOP is open"),
    ("GUARD_O", Way.OPENING, "GUARD-O is open"), ("GUARD_C", Way.CLOSING, "GUARD-C is open"),
])  # fmt: skip
def test_a_jog_obeys_stop_and_the_guard_of_its_direction(terminal: str, way: Way, words: str) -> None:
    rig = Rig("Latch", learned=False)
    assert rig.board.work.jog(0, way, rig.tick) == ""
    rig.run(1_000)
    assert rig.board.outputs.duty[0] * way.value > 0
    rig.terminals(**{terminal: 0.0})
    rig.run(50)
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.board.work.jog(0, way, rig.tick) == words


def test_an_obstacle_while_opening_gives_no_way_against_an_open_guard_c() -> None:
    rig = opening()
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    rig.leaves[0].block(rig.leaves[0].place + 5)
    rig.until(C.STOPPED_OPENING)
    rig.run(20)
    least = 0.0
    for _ in range(200):
        rig.run(10)
        least = min(least, *rig.board.outputs.duty)
    assert least == 0.0
