"""The learn cycle: what it finds, in which order, and every way in which it ends without having learned."""

from __future__ import annotations

from typing import Any

import pytest

from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key, Task, Way
from tests.board.rig import Rig

PAIR = [
    "Sweep: A opens", "Sweep: B opens", "Sweep: B shuts", "Sweep: A shuts",
    "Proof: opening", "Proof: shutting",
]  # fmt: skip


def learning(**given: Any) -> Rig:
    """A gate whose learn cycle has just been started."""
    rig = Rig("Latch", learned=False, **given)
    assert rig.board.work.start_learn(rig.tick) == ""
    rig.run(20)
    return rig


def finish(rig: Rig) -> str:
    """Run to the end of the learn cycle; returns why it was aborted, '' when it was not."""
    start = rig.tick
    while rig.board.task is Task.LEARN:
        rig.run(10)
        assert rig.tick - start < 600_000
    return next(iter(rig.notes(NoteKind.LEARN_ABORTED)), "")


def step(rig: Rig, words: str) -> None:
    """Run until the step called `words` has begun, and two seconds into it."""
    while words not in rig.notes(NoteKind.LEARN_STEP):
        rig.run(10)
        assert rig.board.task is Task.LEARN
    rig.run(2_000)


def test_a_pair_is_swept_in_the_order_of_its_overlap_and_then_proved() -> None:
    rig = learning()
    assert finish(rig) == ""
    assert rig.notes(NoteKind.LEARN_STEP) == PAIR
    assert rig.notes(NoteKind.LEARN_DONE) == [""]
    assert rig.now() is Condition.SHUT
    assert (rig.board.learned, rig.board.stale) == (True, False)
    assert rig.board.display == ("Gate shut", "Ready: Latch")


def test_a_single_leaf_has_four_steps() -> None:
    rig = learning(leaves=1)
    assert finish(rig) == ""
    assert rig.notes(NoteKind.LEARN_STEP) == [words for words in PAIR if "B" not in words]


def test_the_travel_is_what_the_leaf_really_goes_and_the_profile_its_running_current() -> None:
    rig = learning()
    finish(rig)
    data = rig.board.learned_data()
    assert data is not None
    for leaf, learned in zip(rig.leaves, data.leaves, strict=True):
        assert learned.travel == pytest.approx(leaf.travel, abs=3)
        assert len(learned.opening) == len(learned.closing) == 48
        assert learned.opening[24] == pytest.approx(2.0, abs=0.1)  # what this made-up leaf's friction takes


def test_the_sweep_is_slow_and_the_proof_at_set_speed() -> None:
    rig = learning(slow_speed_a=30, speed_opening=80, soft_start=0)
    step(rig, PAIR[0])
    assert rig.board.outputs.duty == [0.3, 0.0]
    step(rig, PAIR[4])
    assert rig.board.outputs.duty[0] == 0.8


def test_during_a_sweep_only_one_leaf_is_driven() -> None:
    rig = learning()
    while PAIR[4] not in rig.notes(NoteKind.LEARN_STEP):
        rig.run(10)
        assert 0.0 in rig.board.outputs.duty


def test_a_key_marks_the_open_end_where_the_leaf_is_and_the_gate_stops_there_from_then_on() -> None:
    rig = learning(leaves=1)
    while rig.leaves[0].place < 400:
        rig.run(10)
    rig.key(Key.KEEP)
    assert finish(rig) == ""
    data = rig.board.learned_data()
    assert data is not None
    assert data.leaves[0].open_marked
    assert data.leaves[0].travel == pytest.approx(400, abs=4)
    rig.tap("CALL")
    rig.until(Condition.OPEN)
    rig.run(1_000)
    assert rig.leaves[0].place == pytest.approx(400, abs=12)


# Beginnings that are refused ----------------------------------------------------------------------


@pytest.mark.parametrize(("terminal", "words"), [
    ("STOP", "STOP is open"), ("GUARD_O", "GUARD-O is open"), ("GUARD_C", "GUARD-C is open"),
])  # fmt: skip
def test_it_starts_only_with_stop_and_both_guards_made(terminal: str, words: str) -> None:
    rig = Rig("Latch", learned=False)
    rig.terminals(**{terminal: 0.0})
    rig.run(100)
    assert rig.board.work.start_learn(rig.tick) == words
    assert rig.board.task is Task.MODE


def test_it_does_not_start_from_a_gate_that_is_known_to_be_open() -> None:
    rig = Rig("Latch")
    rig.tap("CALL")
    rig.until(Condition.OPEN)
    assert rig.board.work.start_learn(rig.tick) == "The gate is not shut"


def test_it_does_not_start_from_a_gate_that_was_jogged_open() -> None:
    rig = Rig("Latch", learned=False)
    rig.board.work.jog(0, Way.OPENING, rig.tick)
    rig.run(3_000)
    rig.board.work.jog(0, None, rig.tick)
    rig.run(500)
    assert rig.board.work.start_learn(rig.tick) == "The gate is not shut"


def test_it_does_not_start_while_the_gate_moves() -> None:
    rig = Rig("Latch")
    rig.tap("CALL")
    assert rig.board.work.start_learn(rig.tick) == "The gate is moving"


# Ends without having learned ----------------------------------------------------------------------


@pytest.mark.parametrize(("terminal", "words"), [
    ("STOP", "STOP is open: learn cycle stopped"), ("GUARD_O", "GUARD-O is open: learn cycle stopped"),
    ("GUARD_C", "GUARD-C is open: learn cycle stopped"),
])  # fmt: skip
@pytest.mark.parametrize("at", [PAIR[0], PAIR[2], PAIR[4]])
def test_stop_or_a_guard_aborts_it_in_any_step(terminal: str, words: str, at: str) -> None:
    rig = learning()
    step(rig, at)
    rig.terminals(**{terminal: 0.0})
    rig.run(50)
    assert rig.notes(NoteKind.LEARN_ABORTED) == [words]
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert not rig.board.learned


@pytest.mark.parametrize("leaf", [0, 1])
def test_a_motor_that_is_wired_the_wrong_way_round_is_recognised(leaf: int) -> None:
    rig = learning()
    rig.leaves[leaf].wired = -1
    name = "AB"[leaf]
    assert finish(rig) == f"Leaf {name} stands or is not counted: turn motor wires, see encoder"
    assert rig.board.display == (f"Leaf {name} stands or is not counted:", "turn motor wires, see encoder")
    assert not rig.board.learned


def test_a_gate_that_was_not_shut_at_the_start_is_recognised_by_the_way_back() -> None:
    rig = Rig("Latch", learned=False, leaves=1)
    rig.leaves[0].place = 350.0
    assert rig.board.work.start_learn(rig.tick) == ""
    assert finish(rig) == "Leaf A was not shut at the start, or runs the wrong way"


def test_a_parted_motor_wire_is_reported_as_no_current() -> None:
    rig = learning()
    rig.leaves[1].wired = 0
    assert finish(rig) == "No current to motor B: look at its wires and the fuse"


def test_a_leaf_that_finds_no_stop_is_given_up() -> None:
    rig = learning(leaves=1)
    rig.leaves[0].high = 1e9
    assert finish(rig) == "Leaf A met no stop in time: END switches, or mark its ends"


@pytest.mark.parametrize("at", ["Sweep: A shuts", "Proof: opening", "Proof: shutting"])
def test_something_in_the_way_is_not_learned_as_a_stop(at: str) -> None:
    rig = learning(leaves=1)
    step(rig, at)
    leaf = rig.leaves[0]
    leaf.block(leaf.place + (60 if "opening" in at else -60))
    assert finish(rig) == "Leaf A stopped on its way: something there or force too low"


def test_back_stops_it_by_hand() -> None:
    rig = learning()
    step(rig, PAIR[1])
    rig.key(Key.BACK)
    assert rig.notes(NoteKind.LEARN_ABORTED) == ["Learn cycle stopped by hand"]
    assert rig.board.outputs.duty == [0.0, 0.0]


def test_a_power_cut_ends_it() -> None:
    rig = learning()
    step(rig, PAIR[1])
    rig.board.signals.powered = False
    rig.run(100)
    rig.board.signals.powered = True
    rig.run(60_000)
    assert rig.notes(NoteKind.LEARN_ABORTED) == ["The power went: learn cycle stopped"]
    assert (rig.board.task, rig.board.learned) == (Task.MODE, False)
    assert rig.board.display == ("The power went: learn cycle", "stopped")  # still to be read


def test_an_aborted_cycle_leaves_what_was_learned_before() -> None:
    rig = Rig("Latch")
    before = rig.board.learned_data()
    assert rig.board.work.start_learn(rig.tick) == ""
    step(rig, PAIR[1])
    rig.terminals(STOP=0.0)
    rig.run(100)
    assert rig.board.learned
    assert rig.board.learned_data() is before
    rig.terminals(STOP=24.0)
    rig.run(100)
    rig.tap("CALL")  # the place is lost: slowly to the open stops, then known again
    rig.until(Condition.OPEN, 120_000)
    assert [leaf.place for leaf in rig.leaves] == [700, 680]
    rig.tap("CALL")
    rig.until(Condition.SHUT)


# Stale --------------------------------------------------------------------------------------------


def test_changing_force_afterwards_makes_it_stale_and_the_display_says_so() -> None:
    rig = Rig("Latch")
    rig.settings.change("force-closing-a", 80)
    rig.run(20)
    assert rig.board.stale
    assert rig.notes(NoteKind.STALE) == ["force"]
    assert rig.board.display == ("Gate shut", "Learn again: force changed")
    assert rig.board.work.start_learn(rig.tick) == ""
    assert finish(rig) == ""
    assert not rig.board.stale


def test_changing_the_pause_does_not_make_it_stale() -> None:
    rig = Rig("Self-close")
    rig.settings.change("pause", 60)
    rig.run(20)
    assert not rig.board.stale


def test_the_rise_at_the_stop_is_no_running_current() -> None:
    """Otherwise a body before the stop could push as hard as the stop and be no obstacle."""
    rig = learning(leaves=1)
    finish(rig)
    data = rig.board.learned_data()
    assert data is not None
    assert max(data.leaves[0].opening[24:] + data.leaves[0].closing[:24]) < 2.5


@pytest.mark.parametrize("leaves", [1, 2])
def test_another_number_of_leaves_stops_a_gate_on_its_way(leaves: int) -> None:
    rig = Rig("Latch", leaves=leaves)
    rig.tap("CALL")
    rig.run(6_000)
    rig.settings.change("leaves", 3 - leaves)
    rig.run(20)
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.now() is Condition.STOPPED_OPENING
    assert not rig.board.learned


def test_two_leaves_after_one_was_learned_are_not_learned() -> None:
    rig = Rig("Latch", leaves=1)
    rig.settings.change("leaves", 2)
    rig.run(20)
    assert not rig.board.learned
