"""Each named check: when it is met, and what it says when it is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from simgate.bench.actions import RemakeWire, SwapWires
from simgate.board.signals import NoteKind
from simgate.practice.ending import Ending
from simgate.practice.goals import CHECKS
from simgate.wiring.faults import Fault, FaultKind
from tests.bench.kinds import gate
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
    site,
    snapshot,
)

JOGS = [
    noted(tick, NoteKind.JOG, detail)
    for tick, detail in ((100, "A opening"), (200, "A closing"), (300, "B opening"), (400, "B closing"))
]
PARTED = Fault(FaultKind.PARTED_WIRE, "stop-return")


def test_every_check_is_named_in_plain_words_with_hyphens() -> None:
    assert all(name == name.lower() and " " not in name for name in CHECKS)


def test_a_stale_learn_does_not_count_as_learned() -> None:
    assert judged("learned-and-fresh", ending()).met
    assert not judged("learned-and-fresh", ending(stale=True)).met
    assert not judged("learned-and-fresh", ending(learned=False)).met


def test_the_mode_at_the_end_is_the_one_that_counts() -> None:
    assert judged("mode-is", ending(), mode="Latch").met
    verdict = judged("mode-is", ending(), mode="Self-close")
    assert (verdict.met, verdict.why) == (False, "the gate is left in Latch")


def test_a_fault_counts_as_mended_only_when_the_copper_no_longer_shows_it() -> None:
    assert judged("fault-mended", ending()).met
    assert not judged("fault-mended", ending(faults=[PARTED])).met


def test_a_check_for_one_kind_of_fault_leaves_other_kinds_alone() -> None:
    assert judged("fault-mended", ending(faults=[PARTED]), kind="swapped-pair").met
    assert not judged("fault-mended", ending(faults=[PARTED]), kind=("swapped-pair", "parted-wire")).met


def test_one_leaf_ajar_is_not_a_shut_gate() -> None:
    assert judged("gate-shut", ending()).met
    verdict = judged("gate-shut", ending(leaves=(leaf("A"), leaf("B", 5.0))))
    assert (verdict.met, verdict.why) == (False, "leaf B stands open")


def test_a_guard_that_reads_open_is_named_by_its_terminal() -> None:
    inputs = tuple(replace(view, made=view.terminal != "STOP") for view in snapshot(site()).inputs)
    verdict = judged("guards-made", ending(inputs=inputs))
    assert (verdict.met, verdict.why) == (False, "STOP reads open at the board")
    assert judged("guards-made", ending(inputs=inputs), terminal="GUARD-C").met


def test_a_link_of_the_site_is_not_a_link_left_in() -> None:
    assert judged("no-links-left", ending()).met
    links = (*site().wiring.links, ("board.COM", "board.STOP"))
    verdict = judged("no-links-left", ending(links=links))
    assert (verdict.met, verdict.why) == (False, "a link is left in: board.COM to board.STOP")


def test_a_cycle_needs_opening_and_shutting_after_the_last_change() -> None:
    assert judged("cycle-after", ending(acted(1000, *LATCH_CYCLE)), mode="Latch").met
    assert not judged("cycle-after", ending(acted(1000, *LATCH_CYCLE[:3])), mode="Latch").met
    changed = [*acted(1000, *LATCH_CYCLE), kept(9000, "pause = 10")]
    assert not judged("cycle-after", ending(changed), mode="Latch").met
    mended = [*acted(1000, *LATCH_CYCLE), did(9000, RemakeWire("stop-return"))]
    assert not judged("cycle-after", ending(mended)).met


def test_a_cycle_in_another_mode_than_the_last_counts_while_that_mode_was_set() -> None:
    records = [kept(500, "mode = Self-close"), *acted(1000, *LATCH_CYCLE), kept(9000, "mode = Latch")]
    assert judged("cycle-after", ending(records), mode="Self-close").met
    assert not judged("cycle-after", ending(records), mode="Latch").met


def test_a_cycle_begun_in_one_mode_and_ended_in_another_counts_for_neither() -> None:
    records = [
        *acted(1000, *LATCH_CYCLE[:2]),
        kept(4000, "mode = Self-close"),
        *acted(5000, *LATCH_CYCLE[2:]),
        kept(9000, "mode = Latch"),
    ]
    assert not judged("cycle-after", ending(records), mode="Latch").met
    assert not judged("cycle-after", ending(records), mode="Self-close").met


def test_each_leaf_is_jogged_both_ways_before_it_learns() -> None:
    learn = noted(5000, NoteKind.LEARN_STARTED)
    assert judged("direction-jogged", ending([*JOGS, learn])).met
    verdict = judged("direction-jogged", ending([*JOGS[:3], learn]))
    assert (verdict.met, verdict.why) == (False, "leaf B was not jogged closing before the learn cycle")


def test_a_jog_before_the_motor_was_turned_round_proves_nothing() -> None:
    swapped = did(1000, SwapWires("motor-a-brown", "motor-a-blue"))
    verdict = judged("direction-jogged", ending([*JOGS, swapped, noted(5000, NoteKind.LEARN_STARTED)]))
    assert not verdict.met
    assert verdict.why.endswith("after its wires were moved")


def test_a_jog_after_the_learn_cycle_comes_too_late() -> None:
    learn = noted(50, NoteKind.LEARN_STARTED)
    assert not judged("direction-jogged", ending([learn, *JOGS])).met


def test_a_cell_is_shown_only_in_the_mode_and_after_the_work_that_was_asked_for() -> None:
    stop = acted(2000, (C.OPENING, S.STOP_PARTED, R.STOP, C.STOPPED_OPENING))
    asked: dict[str, str | tuple[str, ...]] = {"condition": ("opening", "closing"), "stimulus": "stop-parted"}
    assert judged("cell-shown", ending(stop), **asked).met
    assert judged("cell-shown", ending(stop), mode="Latch", **asked).met
    assert not judged("cell-shown", ending(stop), mode="Self-close", **asked).met
    later = [*stop, did(3000, RemakeWire("stop-return"))]
    assert not judged("cell-shown", ending(later), since="copper", **asked).met


def test_a_cell_that_ignored_its_stimulus_was_not_shown() -> None:
    ignored = acted(2000, (C.OPENING, S.CALL, R.IGNORE, C.OPENING))
    assert not judged("cell-shown", ending(ignored), condition="opening", stimulus="call").met


@pytest.mark.parametrize(("place", "shut"), [(0.0, True), (0.015, True), (0.03, False)])
def test_a_slide_is_shut_to_the_eye_by_its_metres(place: float, shut: bool) -> None:
    """15 mm on the track is shut to the eye, 30 mm is not; as an angle both would be."""
    bench = gate("works-slide", learned=False, places=(place,))
    assert CHECKS["gate-shut"].judge(Ending.of(bench), {}).met is shut
