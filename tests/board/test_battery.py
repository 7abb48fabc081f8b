"""A battery that runs down: judged at rest, said in words, and the gate left where it is asked to be."""

from __future__ import annotations

from typing import Any

import pytest

from simgate.board.battery import PLANS, Battery
from simgate.board.display import WIDTH
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition
from tests.board.rig import Rig

C = Condition


def on_battery(volts: float, mode: str = "Latch", **given: Any) -> Rig:
    """A shut gate whose mains is away, and which somebody has used since it had power."""
    rig = Rig(mode, **given)
    rig.terminals(GUARD_O=0.0)
    rig.tap("CALL")
    rig.terminals(GUARD_O=24.0)
    rig.run(100)
    rig.happened.clear()
    sink(rig, volts)
    return rig


def sink(rig: Rig, volts: float, on_mains: bool = False) -> None:
    """Another supply; the copper hands the board a new tuple with it."""
    rig.board.signals.supply, rig.board.signals.on_mains = volts, on_mains
    rig.terminals()
    rig.run(50)


def opened(volts: float, **given: Any) -> Rig:
    """An open gate whose mains then goes away."""
    rig = Rig("Latch", **given)
    rig.tap("CALL")
    rig.until(C.OPEN)
    sink(rig, volts)
    return rig


@pytest.mark.parametrize("use", PLANS)
def test_it_is_said_on_the_display_and_only_without_mains(use: str) -> None:
    rig = on_battery(22.0, battery_low=use)
    assert PLANS[use].words in rig.board.display or use == "open and stay"
    assert len(PLANS[use].words) <= WIDTH
    sink(rig, 22.0, on_mains=True)
    rig.run(60_000)
    assert PLANS[use].words not in rig.board.display


def test_what_was_low_stays_low_until_it_has_clearly_come_up() -> None:
    battery = Battery()
    battery.take(Rig().settings)
    said = []
    for volts in (22.6, 22.4, 22.6, 23.4, 23.5, 22.6):
        battery.look(volts, on_mains=False)
        said.append(battery.low)
    assert said == [False, True, True, True, False, False]


def test_a_sagging_supply_under_a_moving_leaf_is_not_a_low_battery() -> None:
    rig = on_battery(24.0, battery_low="refuse calls")
    rig.tap("CALL")
    rig.run(3_000)
    sink(rig, 21.0)
    assert rig.now() is C.OPENING
    assert rig.board.display == ("Opening", "")
    sink(rig, 24.0)
    rig.until(C.OPEN)
    assert rig.board.display == ("Open", "Ready: Latch")


def test_refusing_calls_lets_a_movement_end_and_starts_none() -> None:
    rig = opened(22.0, battery_low="refuse calls")
    rig.tap("CALL")
    rig.run(1_000)
    assert rig.now() is C.OPEN
    assert rig.notes(NoteKind.REFUSED) == ["Battery is low"]


def test_open_and_stay_opens_by_itself_and_does_not_shut() -> None:
    rig = on_battery(22.0, battery_low="open and stay")
    rig.until(C.OPEN)
    assert rig.notes(NoteKind.BATTERY) == ["Battery low: will not shut"]
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.now() is C.OPEN
    sink(rig, 27.0, on_mains=True)
    rig.tap("CALL")
    assert rig.now() is C.CLOSING


def test_shut_and_stay_shuts_by_itself_and_does_not_open() -> None:
    rig = opened(22.0, battery_low="shut and stay")
    rig.until(C.SHUT)
    rig.tap("CALL")
    rig.run(2_000)
    assert rig.now() is C.SHUT
    assert rig.board.display == ("Gate shut", "Battery is low")


def test_what_is_said_of_a_low_battery_holds_in_a_gate_that_was_called_open_again() -> None:
    """While it stands open for whoever turned it round, 'stays shut' were untrue."""
    rig = opened(22.0, battery_low="shut and stay")
    rig.until(C.CLOSING)
    rig.run(1_000)
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(1_000)
    assert rig.board.display == ("Open", "Battery low: will not open")


def test_with_a_fault_standing_nothing_goes_for_the_battery() -> None:
    rig = on_battery(24.0, battery_low="open and stay")
    rig.leaves[0].wired = 0
    rig.tap("CALL")
    rig.until(C.STOPPED_OPENING)
    rig.leaves[0].wired = 1
    sink(rig, 22.0)
    rig.run(20_000)
    assert rig.now() is C.STOPPED_OPENING
    assert rig.board.quiet()


def test_a_gate_that_waits_ends_its_way_on_a_low_battery() -> None:
    """Refused it would wait for good: what it waited for has come, and does not come again."""
    rig = on_battery(24.0, battery_low="refuse calls")
    rig.tap("CALL")
    rig.run(2_000)
    rig.terminals(GUARD_O=0.0)
    rig.run(500)
    assert rig.now() is C.HELD
    sink(rig, 22.0)
    rig.terminals(GUARD_O=24.0)
    rig.until(C.OPEN)


@pytest.mark.parametrize("since", ["power", "STOP"])
def test_nothing_goes_by_itself_for_the_battery_before_anybody_called_since(since: str) -> None:
    """After STOP and after power a fresh call comes first, whatever runs down meanwhile."""
    rig = Rig("Latch", battery_low="open and stay")
    if since == "STOP":
        rig.tap("CALL")
        rig.until(C.OPEN)
        rig.tap("CALL")
        rig.until(C.SHUT)
        rig.terminals(STOP=0.0)
        rig.run(200)
        rig.terminals(STOP=24.0)
        rig.run(200)
    sink(rig, 22.0)
    rig.run(20_000)
    assert rig.now() is C.SHUT
    assert rig.board.quiet()
    rig.tap("CALL")
    assert rig.now() is C.OPENING


@pytest.mark.parametrize(
    ("terminal", "mode"), [("STOP", "Latch"), ("GUARD_C", "Latch"), ("CALL", "Hold-to-run")]
)
def test_it_never_sets_off_against_a_guard_later_or_without_a_hand(terminal: str, mode: str) -> None:
    rig = Rig("Latch", battery_low="shut and stay")
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.settings.change("mode", mode)
    rig.terminals(**{terminal: 0.0})
    rig.run(200)
    sink(rig, 22.0)
    rig.terminals(STOP=24.0, GUARD_C=24.0)
    rig.run(20_000)
    assert rig.now() is C.OPEN
    assert rig.board.quiet()


def turned_round(terminal: str = "CALL", mode: str = "Latch") -> Rig:
    """A gate that went to be shut on its low battery, was turned round, and has just come to be open."""
    rig = Rig(mode, battery_low="shut and stay", pause=30)
    rig.tap("CALL")
    rig.until(C.OPEN)
    sink(rig, 22.0)
    rig.until(C.CLOSING, 60_000)
    rig.run(2_000)
    if terminal == "CALL":
        rig.tap("CALL")
    else:
        rig.terminals(GUARD_C=0.0)
        rig.run(500)
        rig.terminals(GUARD_C=24.0)
    rig.until(C.OPEN)
    return rig


@pytest.mark.parametrize("mode", ["Latch", "Four-step", "Self-close", "Shared drive"])
@pytest.mark.parametrize("terminal", ["CALL", "GUARD_C"])
def test_a_gate_that_was_turned_round_on_its_way_to_be_shut_goes_again_after_a_pause(
    terminal: str, mode: str
) -> None:
    if (terminal, mode) == ("CALL", "Four-step"):
        return  # a call stops it there, and the next one shuts it
    rig = turned_round(terminal, mode)
    assert 29_000 <= rig.until(C.CLOSING, 40_000) <= 31_000
    rig.until(C.SHUT)
    rig.run(120_000)
    assert rig.now() is C.SHUT


def test_it_goes_again_however_often_it_is_turned_round() -> None:
    rig = turned_round()
    for _ in range(3):
        rig.until(C.CLOSING, 40_000)
        rig.run(1_000)
        rig.tap("CALL")
        rig.until(C.OPEN)
    rig.until(C.SHUT, 120_000)


def test_a_beam_that_stands_broken_then_only_delays_it() -> None:
    rig = turned_round()
    rig.terminals(GUARD_C=0.0)
    rig.run(100_000)
    assert rig.now() is C.OPEN
    rig.terminals(GUARD_C=24.0)
    rig.until(C.SHUT, 120_000)


def test_what_it_met_is_not_tried_again_for_the_battery() -> None:
    rig = Rig("Latch", leaves=1, battery_low="shut and stay")
    rig.tap("CALL")
    rig.until(C.OPEN)
    sink(rig, 22.0)
    rig.until(C.CLOSING)
    rig.run(5_000)
    rig.leaves[0].block(rig.leaves[0].place - 20)
    rig.until(C.OPENING)
    rig.leaves[0].clear()
    rig.until(C.OPEN)
    rig.run(200_000)
    assert rig.now() is C.OPEN


@pytest.mark.parametrize("why", ["STOP", "mains"])
def test_stop_or_the_mains_end_that(why: str) -> None:
    rig = turned_round()
    if why == "STOP":
        rig.terminals(STOP=0.0)
        rig.run(100)
        rig.terminals(STOP=24.0)
    else:
        sink(rig, 27.0, on_mains=True)
    rig.run(200_000)
    assert rig.now() is C.OPEN
