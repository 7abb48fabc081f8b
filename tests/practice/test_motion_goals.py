"""Checks of movements: clean cycles, END switches tried and at work, settings, the strip."""

from __future__ import annotations

import pytest

from simgate.bench.actions import Renew
from simgate.bench.record import Event, ScanRecord, Sense
from simgate.bench.senses import CLASH, lamp_words
from simgate.board.signals import NoteKind
from simgate.practice.ending import Ending
from tests.practice.made import (
    LATCH_CYCLE,
    C,
    R,
    S,
    acted,
    did,
    ending,
    judged,
    kept,
    leaf,
    noted,
)

OPENED, SHUT = LATCH_CYCLE[:2], LATCH_CYCLE[2:]


def told(tick: int, text: str, sense: Sense = Sense.SHOWN) -> ScanRecord:
    """A scan in which something could be noticed."""
    return ScanRecord(tick, (), (), (), (Event(tick, sense, text),))


def lamp(tick: int, terminal: str, lights: bool) -> ScanRecord:
    """A scan in which the lamp of a terminal changed."""
    return told(tick, lamp_words(terminal, lights))


def at_ends(*records: ScanRecord, **settings: str) -> Ending:
    """An ending at the lane gate, with END switches, in the order of its ticks."""
    return ending(sorted(records, key=lambda record: record.tick), place="lane-single")


# Clean cycles -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cycles", "met"), [(0, False), (1, False), (2, True), (3, True)])
def test_so_many_cycles_on_end_are_needed(cycles: int, met: bool) -> None:
    records = acted(1000, *LATCH_CYCLE * cycles) if cycles else []
    assert judged("clean-cycles", ending(records), times="2").met is met


def test_a_cycle_before_the_last_change_does_not_count() -> None:
    changed = [*acted(1000, *LATCH_CYCLE), kept(9000, "leaf-delay-closing = 6")]
    assert not judged("clean-cycles", ending(changed), times="1").met
    renewed = [*acted(1000, *LATCH_CYCLE), did(9000, Renew("stop-button"))]
    assert not judged("clean-cycles", ending(renewed), times="1").met


def test_an_obstacle_between_two_cycles_begins_the_count_anew_and_is_named() -> None:
    met = (C.OPENING, S.OBSTACLE, R.STOP, C.STOPPED_OPENING)
    verdict = judged("clean-cycles", ending(acted(1000, *LATCH_CYCLE, met, *LATCH_CYCLE)), times="2")
    assert not verdict.met
    assert verdict.why.endswith("a leaf met something")
    assert judged("clean-cycles", ending(acted(1000, met, *LATCH_CYCLE, *LATCH_CYCLE)), times="2").met


def test_leaves_that_clash_spoil_a_cycle_that_arrives() -> None:
    cycle = acted(1000, *LATCH_CYCLE)
    clash = [*cycle[:3], told(3500, CLASH, Sense.HEARD), cycle[3]]
    verdict = judged("clean-cycles", ending(clash), times="1")
    assert not verdict.met
    assert verdict.why.endswith("the leaves clashed")


@pytest.mark.parametrize(
    ("a", "b", "free"),
    [(0.0, 0.0, True), (0.0, 1.3, False), (5.0, 1.3, True), (0.0, 60.0, True), (1.3, 1.3, True)],
)
def test_b_on_the_wrong_side_of_the_strip_is_seen_also_when_nothing_presses(
    a: float, b: float, free: bool
) -> None:
    """2.2 m x sin 1.3 deg = 50 mm: by the depth of the strip B stands proud of a leaf A that is shut."""
    assert judged("strip-free", ending(leaves=(leaf("A", a), leaf("B", b)))).met is free


# END switches -------------------------------------------------------------------------------------

TRIED = (
    lamp(100, "END-C-A", True),
    lamp(200, "END-O-A", False),
    lamp(300, "END-O-A", True),
    lamp(400, "END-C-A", False),
)
LEARN = noted(5000, NoteKind.LEARN_STARTED)


def test_every_end_switch_is_seen_both_ways_before_the_learn_cycle() -> None:
    assert judged("ends-tried", at_ends(*TRIED, LEARN)).met
    verdict = judged("ends-tried", at_ends(*TRIED[1:], LEARN))
    assert not verdict.met
    assert verdict.why.startswith("END-C-A was not seen")


def test_what_the_learn_cycle_itself_does_is_no_trial() -> None:
    first = noted(50, NoteKind.LEARN_STARTED)
    aborted = noted(600, NoteKind.LEARN_ABORTED)
    assert not judged("ends-tried", at_ends(first, *TRIED, aborted, LEARN)).met


def test_a_switch_that_was_set_anew_is_tried_anew() -> None:
    verdict = judged("ends-tried", at_ends(*TRIED, did(4000, Renew("end-open-a")), LEARN))
    assert not verdict.met
    assert verdict.why.endswith("after the work on it")


def working(use: str, *lamps: ScanRecord) -> Ending:
    """A cycle from 1000 to 4000 ms with END switches set to `use`."""
    sets = (kept(10, f"end-open-a = {use}"), kept(20, f"end-shut-a = {use}"))
    return at_ends(*sets, *acted(1000, *LATCH_CYCLE), *lamps)


def test_an_end_switch_acts_on_its_own_way_and_in_the_use_that_was_asked_for() -> None:
    lamps = (lamp(1500, "END-O-A", False), lamp(3500, "END-C-A", False))
    assert judged("ends-act", working("begin slow-down", *lamps), use="begin slow-down").met
    verdict = judged("ends-act", working("stop here", *lamps), use="begin slow-down")
    assert (verdict.met, verdict.why) == (False, "END-O-A is set to: stop here")
    assert not judged("ends-act", working("stop here", lamps[0]), use="stop here").met


def test_end_switches_on_each_others_terminals_do_not_act_on_their_way() -> None:
    crossed = (lamp(1500, "END-C-A", False), lamp(3500, "END-O-A", False))
    verdict = judged("ends-act", working("stop here", *crossed), use="stop here")
    assert (verdict.met, verdict.why) == (
        False,
        "END-O-A was not seen to act as the gate opened after the last change",
    )


# The book -----------------------------------------------------------------------------------------


def test_a_setting_is_judged_as_it_is_left() -> None:
    assert judged("setting-is", ending(), key="lock-time", value="2").met
    changed = ending([kept(100, "lock-time = 5")])
    verdict = judged("setting-is", changed, key="lock-time", value=("2", "2.5"))
    assert (verdict.met, verdict.why) == (False, "Lock is fed for is left at: 5")
