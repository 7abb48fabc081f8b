"""By pulses, by time, by a sensor: what each knows of a leaf, and what END switches add or contradict."""

from __future__ import annotations

import pytest

from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key, Task, Way
from tests.board.rig import Rig

C = Condition
ENDS_STOP = {"end_open_a": "stop here", "end_shut_a": "stop here"}
ENDS_SLOW = {"end_open_a": "begin slow-down", "end_shut_a": "begin slow-down"}
TIME, ABSOLUTE = {"sensing": "by time"}, {"sensing": "absolute sensor"}


def gate(mode: str = "Latch", **given: str | int | float) -> Rig:
    """A single leaf that has not learned yet."""
    return Rig(mode, learned=False, leaves=1, **given)


def learn(rig: Rig) -> str:
    """A whole learn cycle; returns why it was aborted, or ''."""
    rig.run(100)
    assert rig.board.work.start_learn(rig.tick) == ""
    start = rig.tick
    while rig.board.task is Task.LEARN:
        rig.run(10)
        assert rig.tick - start < 600_000
    return next(iter(rig.notes(NoteKind.LEARN_ABORTED)), "")


def travel(rig: Rig) -> int:
    data = rig.board.learned_data()
    assert data is not None
    return data.leaves[0].travel


def there_and_back(rig: Rig) -> tuple[float, float]:
    """Open and shut; where the leaf really came to rest each time."""
    places = []
    for end in (C.OPEN, C.SHUT):
        rig.tap("CALL")
        rig.until(end)
        rig.run(1_000)
        places.append(rig.leaves[0].place)
    return places[0], places[1]


def sensed(rig: Rig, way: int = 1) -> Rig:
    rig.leaves[0].sensor = way
    return rig


def switched(rig: Rig, shut: float = 20.0, opened: float = 650.0) -> Rig:
    rig.leaves[0].ends = (shut, opened)
    return rig


# By time ------------------------------------------------------------------------------------------


def test_without_an_encoder_the_gate_learns_and_arrives_at_both_stops() -> None:
    rig = gate(**TIME)
    assert learn(rig) == ""
    assert there_and_back(rig) == (700.0, 0.0)
    assert rig.board.display == ("Gate shut", "Ready: Latch")


def test_what_friction_takes_is_learned_so_that_the_slow_down_begins_where_it_is_set() -> None:
    """The made-up leaf needs 2 A through 1 ohm, 2 V of 24, before it moves at all."""
    rig = gate(slow_length_a=20, **TIME)
    assert learn(rig) == ""
    data = rig.board.learned_data()
    assert data is not None
    assert data.leaves[0].reckoning.idle == pytest.approx((2 / 24, 2 / 24), abs=0.02)
    rig.tap("CALL")
    rig.run(3_000)
    while rig.board.outputs.duty[0] == pytest.approx(0.7):
        rig.run(10)
    assert rig.leaves[0].place == pytest.approx(0.8 * 700, abs=35)


def test_pulses_change_nothing_for_a_board_that_reckons() -> None:
    rig, other = gate(**TIME), gate(**TIME)
    assert learn(rig) == learn(other) == ""
    other.leaves[0].turned += 500
    assert there_and_back(rig) == there_and_back(other)


@pytest.mark.parametrize(("sensing", "short"), [("by pulses", 0), ("by time", 20)])
def test_in_the_wind_a_part_opening_drifts_without_an_encoder_and_does_not_with_one(
    sensing: str, short: int
) -> None:
    rig = gate(part_width=60, sensing=sensing)
    assert learn(rig) == ""
    rig.leaves[0].pace = 0.93
    rig.tap("PART")
    rig.until(C.PART_OPEN)
    rig.run(1_000)
    assert rig.leaves[0].place == pytest.approx(0.6 * 700 - short, abs=8)


def test_more_drift_than_can_be_believed_makes_the_stop_an_obstacle() -> None:
    rig = gate(**TIME)
    assert learn(rig) == ""
    rig.leaves[0].pace = 1.3
    rig.tap("CALL")
    rig.until(C.STOPPED_OPENING)
    assert rig.board.display == ("Stopped", "Leaf A met something")


def test_an_obstacle_on_the_way_is_felt_by_the_current_alone() -> None:
    rig = gate(**TIME)
    assert learn(rig) == ""
    rig.tap("CALL")
    rig.run(3_000)
    rig.leaves[0].block(rig.leaves[0].place + 10)
    rig.until(C.STOPPED_OPENING, 2_000)
    assert rig.board.display == ("Stopped", "Leaf A met something")


def test_after_a_power_cut_a_reckoned_place_is_lost_until_a_stop_was_met() -> None:
    rig = gate(**TIME)
    assert learn(rig) == ""
    cut(rig)
    assert rig.board.display == ("Stopped", "Place not known: moves slowly")
    assert there_and_back(rig) == (700.0, 0.0)
    assert rig.board.display == ("Gate shut", "Ready: Latch")


# An absolute sensor -------------------------------------------------------------------------------


def cut(rig: Rig, place: float | None = None) -> None:
    """The power goes for a while, in which somebody may move the leaf."""
    rig.board.signals.powered = False
    rig.run(500)
    if place is not None:
        rig.leaves[0].place = place
    rig.run(500)
    rig.board.signals.powered = True
    rig.run(100)


@pytest.mark.parametrize("way", [1, -1])
def test_a_sensor_knows_the_place_after_a_power_cut_at_once_whichever_way_it_counts(way: int) -> None:
    rig = sensed(gate(**ABSOLUTE), way)
    assert learn(rig) == ""
    assert travel(rig) == pytest.approx(700, abs=2)
    cut(rig, 300.0)
    assert rig.board.place(0) == pytest.approx(300, abs=2)
    assert rig.board.display[1] == "Ready: Latch"
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.board.outputs.duty[0] == pytest.approx(0.7)
    rig.until(C.OPEN)
    assert rig.leaves[0].place == 700.0


@pytest.mark.parametrize(
    ("place", "condition", "says"),
    [(0.0, C.SHUT, "Gate shut"), (700.0, C.OPEN, "Open"), (300.0, None, "Stopped")],
)
def test_with_a_sensor_the_gate_wakes_as_it_stands(
    place: float, condition: Condition | None, says: str
) -> None:
    """The display says so, and a call at a stop leaves it, as the mode says, and drives into nothing."""
    rig = sensed(gate(**ABSOLUTE))
    assert learn(rig) == ""
    cut(rig, place)
    assert rig.board.display == (says, "Ready: Latch")
    assert rig.now() is (condition or C.STOPPED_CLOSING)
    rig.run(20_000)
    assert rig.leaves[0].place == place  # nothing moves without a call
    rig.tap("CALL")
    rig.run(1_500)
    assert rig.now() is (C.CLOSING if condition is C.OPEN else C.OPENING)
    assert (rig.leaves[0].place < place) is (condition is C.OPEN)


def test_without_a_sensor_the_gate_does_not_know_how_it_stands() -> None:
    rig = gate()
    assert learn(rig) == ""
    cut(rig)
    assert rig.now() is C.STOPPED_CLOSING


@pytest.mark.parametrize("mode", ["Self-close", "Close-behind", "Shared drive"])
def test_a_gate_that_wakes_open_waits_for_a_call_in_every_mode(mode: str) -> None:
    """The pause is forgotten with everything else; a call then gives it one, or shuts."""
    rig = sensed(gate(mode=mode, **ABSOLUTE))
    assert learn(rig) == ""
    cut(rig, 700.0)
    rig.run(120_000)
    assert rig.now() is C.OPEN
    rig.tap("CALL")
    rig.until(C.SHUT, 200_000)


def test_a_sensor_that_is_not_heard_stops_the_gate_and_says_so() -> None:
    rig = sensed(gate(**ABSOLUTE))
    assert learn(rig) == ""
    rig.tap("CALL")
    rig.run(3_000)
    rig.leaves[0].sensor = 0
    rig.run(50)
    assert rig.board.outputs.duty[0] == 0.0
    assert rig.board.display == ("Stopped", "Sensor of leaf A is not heard")
    rig.leaves[0].sensor = 1
    rig.run(50)
    assert rig.board.place(0) == pytest.approx(rig.leaves[0].place, abs=2)


def test_a_sensor_follows_a_leaf_that_is_moved_by_hand() -> None:
    rig = sensed(gate(**ABSOLUTE))
    assert learn(rig) == ""
    rig.leaves[0].place = 200.0
    rig.run(100)
    assert rig.board.place(0) == pytest.approx(200, abs=2)


def test_another_sensing_has_to_learn_again() -> None:
    rig = sensed(gate())
    assert learn(rig) == ""
    rig.settings.change("sensing", "absolute sensor")
    rig.run(50)
    assert not rig.board.learned
    rig.settings.change("sensing", "by pulses")
    rig.run(50)
    assert rig.board.learned


# END switches -------------------------------------------------------------------------------------


@pytest.mark.parametrize("sensing", [{}, TIME, ABSOLUTE], ids=["pulses", "time", "absolute"])
def test_a_switch_that_stops_is_the_end_that_is_learned_and_kept(sensing: dict[str, str]) -> None:
    rig = sensed(switched(gate(**ENDS_STOP, **sensing)))
    rig.leaves[0].place = 18.0
    assert learn(rig) == ""
    opened, shut = there_and_back(rig)
    assert opened == pytest.approx(650, abs=8)
    assert shut == pytest.approx(20, abs=8)


@pytest.mark.parametrize("sensing", [{}, TIME], ids=["pulses", "time"])
def test_slow_speed_begins_at_the_switch_and_then_the_stop_is_met(sensing: dict[str, str]) -> None:
    rig = switched(gate(slow_length_a=40, **ENDS_SLOW, **sensing), 60.0, 600.0)
    assert learn(rig) == ""
    rig.tap("CALL")
    rig.run(3_000)
    while rig.board.outputs.duty[0] == pytest.approx(0.7):
        rig.run(10)
    assert rig.leaves[0].place == pytest.approx(600, abs=8)
    rig.until(C.OPEN)
    assert rig.leaves[0].place == 700.0


def test_a_lost_gate_that_stands_on_its_switch_is_not_lost() -> None:
    rig = switched(gate(**ENDS_STOP))
    rig.leaves[0].place = 18.0
    assert learn(rig) == ""
    cut(rig)
    assert rig.board.display[1] == "Ready: Latch"


def oily(rig: Rig) -> Rig:
    rig.leaves[0].oil = True
    return rig


def test_an_oil_drive_learns_with_switches() -> None:
    rig = switched(oily(gate(**ENDS_STOP)))
    rig.leaves[0].place = 18.0
    assert learn(rig) == ""
    assert list(there_and_back(rig)) == pytest.approx([650, 20], abs=8)


def test_an_oil_drive_learns_with_marked_ends_and_by_time_is_driven_on_to_its_stops() -> None:
    rig = oily(gate(**TIME))
    rig.board.work.start_learn(rig.tick)
    for place in (700.0, 0.0):
        while rig.leaves[0].place != place:
            rig.run(10)
        rig.run(500)
        rig.key(Key.KEEP)
        rig.run(800)
    while rig.board.task is Task.LEARN:
        rig.run(10)
    assert rig.board.learned
    assert there_and_back(rig) == (700.0, 0.0)


def test_an_oil_drive_that_finds_no_end_says_what_it_needs() -> None:
    rig = oily(gate())
    assert learn(rig) == "Leaf A met no stop in time: END switches, or mark its ends"
    assert rig.board.display == ("Leaf A met no stop in time: END", "switches, or mark its ends")


def test_switches_the_wrong_way_round_are_told_in_the_learn_cycle() -> None:
    rig = switched(gate(**ENDS_STOP))
    rig.leaves[0].place, rig.leaves[0].swapped = 18.0, True
    assert learn(rig) == "END-O-A acts at leaf A's start: wires swapped, or its contact?"


@pytest.mark.parametrize(("change", "words"), [
    ("both", "END-O-A and END-C-A act at once: wires or contacts"),
    ("early", "An END switch of leaf A acts far from its end"),
    ("past", "Leaf A is past its end: END switch did not act"),
])  # fmt: skip
def test_switches_that_cannot_be_right_are_a_fault_in_plain_words(change: str, words: str) -> None:
    rig = switched(gate(**ENDS_STOP))
    leaf = rig.leaves[0]
    leaf.place = 18.0
    assert learn(rig) == ""
    rig.tap("CALL")
    rig.run(4_000)
    if change == "both":
        leaf.ends = (leaf.place + 100, leaf.place - 1)
    elif change == "early":
        leaf.ends = (20.0, leaf.place)
    else:
        leaf.ends = (20.0, 1e9)
    rig.until(C.STOPPED_OPENING, 30_000)
    assert " ".join(rig.board.display).removeprefix("Stopped ") == words
    assert rig.board.outputs.duty[0] == 0.0


def test_a_leaf_that_turns_the_wrong_way_is_told_by_the_switch_behind_it() -> None:
    rig = switched(gate(**ENDS_STOP))
    leaf = rig.leaves[0]
    leaf.place = 18.0
    assert learn(rig) == ""
    rig.tap("CALL")
    rig.run(5_000)
    rig.terminals(STOP=0.0)
    rig.run(1_000)
    rig.terminals(STOP=24.0)
    leaf.wired, leaf.ends = -1, (20.0, leaf.place + 100)
    rig.tap("CALL")  # shuts, and goes on opening
    rig.until(C.STOPPED_CLOSING, 20_000)
    assert rig.board.display == ("Leaf A turns the wrong way, or", "END wires swapped")
    assert leaf.place == pytest.approx(leaf.ends[1], abs=8)


def test_a_jog_ends_where_a_switch_says_that_something_is_wrong() -> None:
    rig = switched(gate(**ENDS_STOP), 20.0, 100.0)
    rig.leaves[0].ends = (200.0, 100.0)  # both act between
    rig.leaves[0].place = 50.0
    rig.run(100)
    assert rig.board.work.jog(0, Way.OPENING, rig.tick) == ""
    rig.run(9_000)
    assert rig.board.outputs.duty[0] == 0.0
    assert rig.leaves[0].place == pytest.approx(100, abs=8)


# What current and count say together --------------------------------------------------------------


def test_full_current_from_the_start_without_a_pulse_is_told_as_that() -> None:
    rig = gate()
    assert learn(rig) == ""
    rig.leaves[0].block(rig.leaves[0].place)
    rig.tap("CALL")
    rig.until(C.STOPPED_OPENING, 5_000)
    assert rig.board.display == ("Motor A turns nothing: full", "current")


def test_running_current_without_pulses_is_a_pulse_lead_and_no_obstacle() -> None:
    rig = gate()
    assert learn(rig) == ""
    rig.tap("CALL")
    rig.run(3_000)
    frozen = rig.leaves[0].turned
    for _ in range(200):
        rig.leaves[0].turned = frozen
        rig.run(10)
        rig.leaves[0].turned = frozen
    assert rig.now() is C.STOPPED_OPENING
    assert rig.board.display == ("Stopped", "No pulses from motor A")


# Tries --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("tries", "often"), [(0, "once"), (2, "3 times")])
def test_the_gate_tries_again_as_often_as_set_and_then_stays_open(tries: int, often: str) -> None:
    rig = Rig("Self-close", leaves=1, re_tries=tries, pause=5)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.leaves[0].block(300.0)
    rig.run(300_000)
    met = [one for one in rig.cells() if one.stimulus.value == "obstacle"]
    assert len(met) == tries + 1
    assert rig.now() is C.OPEN
    assert rig.board.display == ("Open", f"Stays open: obstacle, {often}")
    rig.leaves[0].clear()
    rig.tap("CALL")
    rig.until(C.SHUT)
