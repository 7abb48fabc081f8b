"""Whole cycles of a learned gate in each mode: what moves, in which order, how fast, and for how long."""

from __future__ import annotations

import pytest

from simgate.board.signals import Note, NoteKind
from simgate.board.stimuli import Condition, Relay
from tests.board.rig import Rig

C = Condition


def test_in_latch_one_call_opens_and_the_next_shuts() -> None:
    rig = Rig("Latch")
    rig.tap("CALL")
    rig.until(C.OPEN)
    assert [leaf.place for leaf in rig.leaves] == [700, 680]
    rig.run(300_000)
    assert rig.now() is C.OPEN
    rig.tap("CALL")
    rig.until(C.SHUT)
    assert [leaf.place for leaf in rig.leaves] == [0, 0]


def test_in_latch_a_call_on_the_way_turns_the_gate_round() -> None:
    rig = Rig("Latch")
    rig.tap("CALL")
    rig.run(6_000)
    rig.tap("CALL")
    assert rig.now() is C.CLOSING
    rig.until(C.SHUT)
    assert [round(leaf.place) for leaf in rig.leaves] == [0, 0]


def test_self_close_shuts_after_the_pause_that_is_set() -> None:
    rig = Rig("Self-close", pause=30)
    rig.tap("CALL")
    rig.until(C.OPEN)
    assert rig.board.pause_left(rig.tick) == 30_000 - 10
    assert rig.board.display == ("Open", "Shuts in 30 s")
    assert rig.until(C.CLOSING) == 30_000 - 10
    rig.until(C.SHUT)
    assert rig.notes(NoteKind.PAUSE) == ["started", "over"]


def test_a_call_in_the_pause_cuts_it_short() -> None:
    rig = Rig("Self-close")
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.tap("CALL")
    assert rig.now() is C.CLOSING
    assert rig.notes(NoteKind.PAUSE) == ["started", "cut short"]
    assert rig.board.pause_left(rig.tick) == 0


def test_a_part_call_in_the_pause_starts_it_again() -> None:
    rig = Rig("Self-close", pause=20)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(15_000)
    rig.tap("PART")
    assert rig.board.pause_left(rig.tick) > 19_500
    assert rig.notes(NoteKind.PAUSE) == ["started", "restarted"]


def test_hold_to_run_moves_while_held_and_stops_when_let_go() -> None:
    rig = Rig("Hold-to-run")
    rig.terminals(CALL=24.0)
    rig.run(5_000)
    assert rig.now() is C.OPENING
    rig.terminals(CALL=0.0)
    rig.run(50)
    assert rig.now() is C.STOPPED_OPENING
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.terminals(PART=24.0)
    rig.until(C.SHUT)


def test_hold_to_run_moves_a_gate_that_was_never_learned_and_does_so_slowly() -> None:
    rig = Rig("Hold-to-run", learned=False, slow_speed_a=30, slow_speed_b=40)
    rig.terminals(CALL=24.0)
    rig.run(5_000)
    assert rig.board.outputs.duty == [0.3, 0.4]
    rig.until(C.OPEN)


@pytest.mark.parametrize("title", ["Latch", "Self-close"])
def test_an_unlearned_gate_refuses_a_call_in_an_automatic_mode_and_says_why(title: str) -> None:
    rig = Rig(title, learned=False)
    rig.tap("CALL")
    assert rig.cells()[0].refused == "Learn cycle not done"
    assert rig.board.display == ("Not learned", "Learn cycle not done")
    assert rig.board.outputs.duty == [0.0, 0.0]


def test_a_part_call_opens_leaf_a_to_the_part_width_and_leaves_b_alone() -> None:
    rig = Rig("Latch", part_width=40)
    rig.tap("PART")
    rig.until(C.PART_OPEN)
    assert rig.leaves[0].place == pytest.approx(0.4 * 700, abs=8)
    assert rig.leaves[1].place == 0
    rig.tap("CALL")
    rig.until(C.OPEN)
    assert [leaf.place for leaf in rig.leaves] == [700, 680]


def test_leaf_a_opens_first_and_b_shuts_first_by_the_delays_that_are_set() -> None:
    rig = Rig("Latch", leaf_delay_opening=1.5, leaf_delay_closing=4.0)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(1_000)
    rig.tap("CALL")
    rig.until(C.SHUT)
    (a_opens, at_1), (b_opens, at_2), (b_shuts, at_3), (a_shuts, at_4) = (
        (one.detail, one.tick)
        for one in rig.happened
        if isinstance(one, Note) and one.kind is NoteKind.MOVING
    )
    assert (a_opens, b_opens, b_shuts, a_shuts) == ("A opening", "B opening", "B closing", "A closing")
    assert (at_2 - at_1, at_4 - at_3) == (1_500, 4_000)


def test_a_leaf_runs_at_set_speed_and_slows_down_over_the_last_of_its_travel() -> None:
    rig = Rig("Latch", leaves=1, speed_opening=80, slow_speed_a=30, slow_length_a=20, soft_start=1.0)
    rig.tap("CALL")
    duties: dict[int, float] = {}
    while rig.now() is C.OPENING:
        duties[round(rig.leaves[0].place * 100 / 700)] = rig.board.outputs.duty[0]
        rig.run(10)
    assert duties[50] == duties[79] == 0.8
    assert duties[90] == duties[99] == pytest.approx(0.3)


def test_a_soft_start_takes_its_time() -> None:
    rig = Rig("Latch", leaves=1, speed_opening=100, soft_start=2.0)
    rig.tap("CALL", 50)
    began = rig.notes(NoteKind.MOVING)
    assert began == ["A opening"]
    rig.run(1_000 - 50)
    assert rig.board.outputs.duty[0] == pytest.approx(0.5, abs=0.06)
    rig.run(1_100)
    assert rig.board.outputs.duty[0] == 1.0


def test_force_is_the_ceiling_of_the_current_in_its_direction() -> None:
    rig = Rig("Latch", leaves=1, force_opening_a=70, force_closing_a=30)
    rig.tap("CALL")
    assert rig.board.outputs.limits == [7.0, 0.0]
    rig.until(C.OPEN)
    assert rig.board.outputs.limits == [0.0, 0.0]
    rig.tap("CALL")
    rig.run(400)
    assert rig.board.outputs.limits == [3.0, 0.0]


def test_between_opposite_directions_a_leaf_rests() -> None:
    rig = Rig("Latch", leaves=1)
    rig.tap("CALL")
    rig.run(3_000)
    rig.terminals(CALL=24.0)
    resting = 0
    for _ in range(100):
        rig.run(10)
        resting += rig.now() is C.CLOSING and rig.board.outputs.duty[0] == 0.0
    assert resting == 30


def test_the_lamp_flashes_once_a_second_while_the_gate_moves_and_is_dark_at_rest() -> None:
    rig = Rig("Latch")
    rig.tap("CALL", 50)
    lit = 0
    for _ in range(1_000):
        rig.run(10)
        lit += rig.board.outputs.has(Relay.LAMP)
    assert lit == pytest.approx(500, abs=50)
    rig.until(C.OPEN)
    rig.run(100)
    assert not rig.board.outputs.has(Relay.LAMP)


@pytest.mark.parametrize(("use", "flashes"), [("moving", False), ("moving and pausing", True)])
def test_whether_the_lamp_flashes_in_the_pause_is_a_setting(use: str, flashes: bool) -> None:
    rig = Rig("Self-close", lamp_use=use)
    rig.tap("CALL")
    rig.until(C.OPEN)
    seen = set()
    for _ in range(300):
        rig.run(10)
        seen.add(rig.board.outputs.has(Relay.LAMP))
    assert seen == ({True, False} if flashes else {False})


def test_another_mode_begins_with_a_gate_at_rest() -> None:
    rig = Rig("Latch")
    rig.tap("CALL")
    rig.run(3_000)
    rig.settings.change("mode", "Self-close")
    rig.run(20)
    assert rig.now() is C.STOPPED_OPENING
    assert rig.board.outputs.duty == [0.0, 0.0]
    rig.tap("CALL")
    assert rig.now() is C.CLOSING


def test_the_chart_is_asked_a_handful_of_times_in_a_whole_cycle() -> None:
    rig = Rig("Self-close")
    before = rig.tick
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.until(C.SHUT)
    assert rig.board.chart.calls == len(rig.cells()) == 5
    assert rig.board.chart.calls < 0.02 * (rig.tick - before) / 10
