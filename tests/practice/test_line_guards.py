"""Beams of the line guard a gate that shuts by itself, as long as the board knows of them."""

from __future__ import annotations

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.conduct import conduct_faults
from simgate.practice.ending import Ending

MEWS = load_site("mews-double")


def broken(*hands: a.Action, called: bool = True, mode: str = "Self-close") -> list[str]:
    """What is said of a gate that was left in `mode` after hands did this and, if so, a new roll-call."""
    setup = Setup("made", MEWS, (("mode", mode),), learned=True)
    bench = Bench(setup)
    for action in hands:
        bench.act(action)
    bench.run(2_000)
    if called:
        bench.board.line.roll_call()
    bench.run(2_000)
    ending = Ending(bench.snapshot(), bench.records, (), setup)
    return [fault.why for fault in conduct_faults(ending, ("auto-close-unguarded",))]


def test_a_site_with_only_line_beams_is_guarded_by_them() -> None:
    assert broken(called=False) == []
    assert broken() == []


def test_a_beam_that_a_roll_call_was_done_without_guards_nothing_any_more() -> None:
    gone = (a.FitHead("outer-sender", False), a.FitHead("outer-receiver", False))
    why = "the gate was left in Self-close; the board knows of no line beam outside"
    assert broken(*gone) == [why]
    assert broken(*gone, mode="Latch") == []


def test_one_that_is_missed_keeps_the_gate_from_shutting_and_is_none_of_this() -> None:
    assert broken(a.FitHead("outer-sender", False), called=False) == []


def test_one_that_was_set_to_guard_opening_only_does_not_guard_closing() -> None:
    turned = (a.SetSwitches("outer-sender", "1---"), a.SetSwitches("outer-receiver", "1---"))
    assert broken(*turned) == ["the gate was left in Self-close; the board knows of no line beam outside"]


def test_another_address_that_guards_closing_is_as_good() -> None:
    moved = (a.SetSwitches("outer-sender", "-2-4"), a.SetSwitches("outer-receiver", "-2-4"))
    assert broken(*moved) == []


def test_without_power_nobody_knows() -> None:
    assert broken(a.Mains(False), called=False) == []
