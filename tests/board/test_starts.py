"""Before the first turn: guards tested through TEST+, people warned, the lock drawn."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Input, Key, Relay, Way
from tests.board.rig import Rig

C = Condition
BOTH = (Input.GUARD_O, Input.GUARD_C)
TITLES = ["Latch", "Self-close", "Hold-to-run"]


def a_gate(mode: str = "Latch", on_test: tuple[Input, ...] = BOTH, **given_values: Any) -> Rig:
    """A gate whose guards are tested, those of `on_test` really hanging on TEST+."""
    rig = Rig(mode, guard_test="both guards", **given_values)
    rig.on_test = on_test
    return rig


# Self-test ----------------------------------------------------------------------------------------


def test_test_plus_has_its_supply_at_rest_and_drops_before_a_movement() -> None:
    """R2: test by dropping the transmitter's supply; the output must change, else block."""
    rig = a_gate()
    assert rig.board.outputs.has(Relay.TEST)
    rig.terminals(CALL=24.0)
    rig.run(50)
    assert (rig.now(), rig.board.outputs.has(Relay.TEST)) == (C.OPENING, False)
    assert rig.board.display == ("Opening", "Testing the guards")
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.run(200)
    assert rig.board.outputs.has(Relay.TEST)
    rig.run(300)
    assert rig.board.outputs.duty[0] > 0.0
    assert rig.notes(NoteKind.TEST) == []
    rig.until(C.OPEN)


@pytest.mark.parametrize("title", TITLES)
def test_a_guard_that_does_not_open_blocks_what_relies_on_it_until_a_test_finds_it_sound(title: str) -> None:
    """P7, R2: found at the latest at the next test, and no new hazardous movement starts with it."""
    rig = a_gate(title, on_test=(Input.GUARD_C,))
    rig.terminals(CALL=24.0)
    rig.run(2_000)
    assert rig.now() is C.STOPPED_OPENING
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.notes(NoteKind.TEST) == ["GUARD-O stayed made"]
    assert rig.board.display == ("GUARD-O stayed made in its test:", "welded contact or a link?")
    rig.terminals(CALL=0.0)
    rig.run(60_000)
    assert rig.board.quiet()
    assert rig.board.display == ("GUARD-O stayed made in its test:", "welded contact or a link?")
    rig.on_test = BOTH
    for _ in range(3):  # the call that finds it sound, and those that the mode needs to open again
        rig.terminals(CALL=24.0)
        rig.run(3_000)
        if max(rig.board.outputs.duty) > 0.0:
            break
        rig.terminals(CALL=0.0)
        rig.run(10_000)
    assert max(rig.board.outputs.duty) > 0.0
    assert rig.notes(NoteKind.TEST) == ["GUARD-O stayed made", "GUARD-O passed"]


def test_a_welded_closing_guard_lets_the_gate_open_and_not_shut() -> None:
    rig = a_gate(on_test=(Input.GUARD_O,))
    rig.tap("CALL")
    rig.until(C.OPEN)
    assert rig.board.display == ("Open", "GUARD-C failed its test")
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.now() is C.STOPPED_CLOSING
    assert rig.leaves[0].place == rig.leaves[0].travel


def test_stop_during_the_test_cancels_the_movement() -> None:
    rig = a_gate()
    rig.terminals(CALL=24.0)
    rig.run(100)
    rig.terminals(STOP=0.0)
    rig.run(60)
    assert rig.now() is C.STOPPED_OPENING
    assert rig.board.outputs.has(Relay.TEST)
    rig.terminals(STOP=24.0)
    rig.run(5_000)
    assert rig.leaves[0].place == 0.0


def test_hold_to_run_lets_go_during_the_test_and_nothing_moves() -> None:
    rig = a_gate("Hold-to-run")
    rig.terminals(CALL=24.0)
    rig.run(150)
    rig.terminals(CALL=0.0)
    rig.run(5_000)
    assert rig.now() is C.STOPPED_OPENING
    assert rig.leaves[0].place == 0.0


def test_who_stands_in_the_beam_when_the_test_ends_turns_the_gate_round() -> None:
    rig = a_gate("Self-close", pause=5)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.until(C.CLOSING)
    rig.run(100)
    rig.terminals(GUARD_C=0.0)
    rig.run(5_000)
    assert rig.now() in (C.OPENING, C.OPEN)
    assert rig.leaves[0].place == rig.leaves[0].travel
    assert rig.notes(NoteKind.TEST) == []


def test_a_gate_that_turns_round_does_not_wait_for_a_test() -> None:
    rig = a_gate()
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(500)
    rig.tap("CALL")
    rig.run(5_000)
    rig.terminals(GUARD_C=0.0)
    rig.run(500)
    assert rig.board.outputs.has(Relay.TEST)
    assert max(rig.board.outputs.duty) > 0.0


def test_a_jog_and_a_learn_cycle_are_tested_too() -> None:
    rig = a_gate(learned=False, on_test=(Input.GUARD_O,))
    assert rig.board.work.jog(0, Way.OPENING, rig.tick) == ""
    rig.run(150)
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.run(1_000)
    assert rig.board.outputs.duty[0] > 0.0
    rig.board.work.jog(0, None, rig.tick)
    rig.run(500)
    assert rig.board.start_learn(rig.tick) == ""
    rig.run(2_000)
    assert rig.notes(NoteKind.LEARN_ABORTED) == ["GUARD-C failed its test: learn cycle stopped"]
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.on_test = BOTH
    assert rig.board.start_learn(rig.tick) == ""
    rig.run(2_000)
    assert max(rig.board.outputs.duty) > 0.0


def test_a_jog_that_is_let_go_during_its_test_does_not_move() -> None:
    rig = a_gate()
    assert rig.board.work.jog(0, Way.OPENING, rig.tick) == ""
    rig.run(100)
    rig.board.work.jog(0, None, rig.tick)
    rig.run(3_000)
    assert rig.leaves[0].place == 0.0
    assert rig.board.outputs.has(Relay.TEST)


def test_taking_the_test_out_of_the_book_forgets_what_it_found() -> None:
    rig = a_gate(on_test=())
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.settings.change("guard-test", "none")
    rig.run(100)
    rig.tap("CALL")
    rig.run(500)
    rig.tap("CALL")
    rig.run(500)
    assert rig.now() in (C.OPENING, C.CLOSING, C.SHUT)


HANDS = st.lists(
    st.tuples(
        st.sampled_from(["CALL", "PART", "STOP", "GUARD_O", "GUARD_C", "EDGE", "learn", "jog", "key"]),
        st.sampled_from([0.0, 24.0]),
        st.sampled_from([10, 50, 150, 300, 700, 3_000]),
    ),
    max_size=14,
)


@given(st.sampled_from(TITLES), st.sampled_from([(), (Input.GUARD_O,), (Input.GUARD_C,), BOTH]), HANDS)
@settings(max_examples=40, deadline=None)
def test_nothing_ever_moves_that_way_on_a_guard_that_failed_or_was_not_tested(
    title: str, on_test: tuple[Input, ...], hands: list[tuple[str, float, int]]
) -> None:
    rig = a_gate(title, on_test=on_test, pause=5)
    moving = dropped = False
    for what, how, wait in [*hands, ("CALL", 24.0, 2_000)]:
        if what == "learn":
            rig.board.start_learn(rig.tick)
        elif what == "jog":
            rig.board.work.jog(0, Way.OPENING if how else Way.CLOSING, rig.tick)
        elif what == "key":
            rig.hold(Key.BACK) if how else rig.let_go()
        else:
            rig.terminals(**{what: how})
        for _ in range(wait // 10):
            rig.run(10)
            dropped |= not rig.board.outputs.has(Relay.TEST)
            low, high = min(0.0, *rig.board.outputs.duty), max(0.0, *rig.board.outputs.duty)
            found = {note.split()[0]: note for note in rig.notes(NoteKind.TEST)}
            assert high == 0.0 or found.get("GUARD-O") != "GUARD-O stayed made"
            assert low == 0.0 or found.get("GUARD-C") != "GUARD-C stayed made"
            if (low or high) and not moving:
                healthy = rig.board.made[1] or rig.board.made[2]
                assert dropped or not healthy  # a guard that was open already cannot be tested
            moving = bool(low or high)
            dropped = dropped and (moving or not rig.board.quiet() or rig.board.condition in (C.OPENING, C.PART_OPENING, C.CLOSING) or rig.board.work.preparing)  # fmt: skip  # noqa: E501


# Warning -------------------------------------------------------------------------------------------


def seconds_to_move(rig: Rig) -> float:
    start = rig.tick
    while not any(rig.board.outputs.duty):
        rig.run(10)
        assert rig.tick - start < 20_000
    return (rig.tick - start) / 1000.0


@pytest.mark.parametrize(
    ("before", "opening", "closing", "alone"),
    [("opening", 3, 0, 0), ("closing", 0, 3, 3), ("both", 3, 3, 3), ("shutting by itself", 0, 0, 3)],
)
def test_the_lamp_warns_before_the_movements_that_are_set(
    before: str, opening: int, closing: int, alone: int
) -> None:
    rig = Rig("Self-close", pre_warning=3, warn_before=before, pause=20)
    rig.terminals(CALL=24.0)
    assert seconds_to_move(rig) == pytest.approx(opening, abs=0.15)
    assert rig.board.outputs.has(Relay.LAMP) or opening
    rig.terminals(CALL=0.0)
    rig.until(C.OPEN)
    rig.run(500)
    rig.terminals(CALL=24.0)
    rig.run(50)
    assert rig.now() is C.CLOSING
    assert seconds_to_move(rig) == pytest.approx(closing, abs=0.15)
    rig.terminals(CALL=0.0)
    rig.until(C.SHUT)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.until(C.CLOSING)
    assert seconds_to_move(rig) == pytest.approx(alone, abs=0.15)


def test_while_warning_the_lamp_flashes_the_display_says_so_and_a_guard_still_acts() -> None:
    rig = Rig("Latch", pre_warning=3)
    rig.tap("CALL")
    assert rig.board.display == ("Opening", "Warning, then it moves")
    lit = 0
    for _ in range(250):
        rig.run(10)
        lit += rig.board.outputs.has(Relay.LAMP)
    assert 100 <= lit <= 150
    rig.terminals(GUARD_O=0.0)
    rig.run(3_000)
    assert (rig.now(), rig.leaves[0].place) == (C.HELD, 0.0)


# Lock ----------------------------------------------------------------------------------------------


def test_the_lock_is_fed_before_the_leaf_pulls_and_let_go_after_its_time() -> None:
    rig = Rig("Latch", lock_use="pulse", lock_time=2)
    rig.terminals(CALL=24.0)
    rig.run(60)
    assert rig.board.outputs.has(Relay.LOCK)
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.run(250)
    assert rig.board.outputs.duty[0] > 0.0
    rig.run(1_600)
    assert rig.board.outputs.has(Relay.LOCK)
    rig.run(200)
    assert not rig.board.outputs.has(Relay.LOCK)
    rig.terminals(CALL=0.0)
    rig.until(C.OPEN)
    rig.tap("CALL")
    rig.run(3_000)
    assert not rig.board.outputs.has(Relay.LOCK)  # away from shut nothing is locked


def test_a_stroke_presses_shut_first_and_only_where_shutting_is_permitted() -> None:
    rig = Rig("Latch", lock_use="stroke and pulse", release_stroke=0.4)
    rig.terminals(CALL=24.0)
    rig.run(200)
    assert rig.board.outputs.duty[0] < 0.0
    assert not rig.board.outputs.has(Relay.LOCK)
    rig.run(300)
    assert rig.board.outputs.has(Relay.LOCK)
    rig.until(C.OPEN)
    rig = Rig("Latch", lock_use="stroke and pulse", release_stroke=0.4)
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    rig.terminals(CALL=24.0)
    for _ in range(100):
        rig.run(10)
        assert min(rig.board.outputs.duty) == 0.0
    assert max(rig.board.outputs.duty) > 0.0


def test_in_a_learn_cycle_the_lock_is_drawn_while_a_leaf_opens() -> None:
    rig = Rig("Latch", learned=False, lock_use="pulse", lock_time=0.5)
    rig.board.start_learn(rig.tick)
    for _ in range(30_000):
        rig.run(10)
        if rig.board.learned:
            break
        if max(rig.board.outputs.duty) > 0.0:
            assert rig.board.outputs.has(Relay.LOCK)
    assert rig.board.learned
    rig.run(1_000)
    assert not rig.board.outputs.has(Relay.LOCK)


# LIGHT ---------------------------------------------------------------------------------------------


def test_the_courtesy_light_burns_while_moving_and_for_its_time_after() -> None:
    rig = Rig("Latch", light_use="courtesy light", light_time=30)
    assert not rig.board.outputs.has(Relay.LIGHT)
    rig.tap("CALL")
    assert rig.board.outputs.has(Relay.LIGHT)
    rig.until(C.OPEN)
    rig.run(29_900)
    assert rig.board.outputs.has(Relay.LIGHT)
    rig.run(200)
    assert not rig.board.outputs.has(Relay.LIGHT)


def test_outputs_show_what_they_are_set_to() -> None:
    rig = Rig("Latch", light_use="gate open", lamp_use="GUARD-C made")
    assert [rig.board.outputs.has(one) for one in (Relay.LIGHT, Relay.LAMP)] == [False, True]
    rig.tap("CALL")
    rig.terminals(GUARD_C=0.0)
    rig.run(100)
    assert [rig.board.outputs.has(one) for one in (Relay.LIGHT, Relay.LAMP)] == [True, False]
    rig.until(C.OPEN)
    assert rig.board.outputs.has(Relay.LIGHT)
    rig = Rig("Latch", light_use="fault", lamp_use="gate open")
    rig.leaves[0].wired = 0
    rig.tap("CALL")
    rig.run(5_000)
    assert rig.notes(NoteKind.RESTING)
    assert [rig.board.outputs.has(one) for one in (Relay.LIGHT, Relay.LAMP)] == [True, True]
