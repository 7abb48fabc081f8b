"""The book's chapters Line and Remotes, walked by nothing but the five keys and by reading the display."""

from __future__ import annotations

from dataclasses import replace

import pytest

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.radio import FAMILY, MEMORY, Frame, Use
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key
from tests.golden.hands import Person
from tests.golden.scripts_a import press_remote

MEWS = load_site("mews-double")
HOUSE = (("remote-house", 1, "call"), ("remote-house", 2, "part call"))
LONG, SHORT = 2_200, 1_500  # ms; Keep must be held for 2 s


def person(**given: object) -> Person:
    """Somebody at the mews, learned, in Latch, with the remote of the house taught."""
    start = {"settings": (("mode", "Latch"),), "learned": True, "taught": HOUSE, **given}
    return Person(Bench(Setup("test", MEWS, **start)))  # type: ignore[arg-type]  # tests name real fields


def at(chapter: str, item: str, **given: object) -> Person:
    """The same, with the book open at a page."""
    someone = person(**given)
    someone.turn_to(chapter, item)
    someone.tap(Key.NEXT)
    return someone


def taught(someone: Person) -> list[tuple[int, int, str]]:
    """What the board knows of remotes."""
    return list(someone.see().taught)


# Line ---------------------------------------------------------------------------------------------


def test_the_roll_call_takes_in_a_new_pair_after_keep_was_held_two_seconds() -> None:
    someone = at("Line", "Roll-call", strangers=("inner",))
    assert someone.lines()[0].endswith("2 beams")
    assert someone.lines()[1] == "Hold Keep 2 s: roll-call"
    someone.hold(Key.KEEP, SHORT)
    assert not someone.noted(NoteKind.ROLL_CALL)
    someone.hold(Key.KEEP, LONG)
    assert someone.lines() == ("Roll-call", "2 beams found")
    someone.tap(Key.BACK)
    someone.shut_book()
    view = someone.see().line
    assert view is not None
    assert (view.enrolled, view.faults) == (4, ())
    assert someone.lines() == ("Gate shut", "Ready: Latch")


def test_a_roll_call_over_a_head_that_is_gone_says_what_is_amiss() -> None:
    someone = person()
    someone.do(a.FitHead("inner-receiver", False))
    someone.turn_to("Line", "Roll-call")
    someone.tap(Key.NEXT)
    someone.hold(Key.KEEP, LONG)
    assert someone.lines() == ("1 beam; Beam both 1: no receiver", "answers")


def test_the_list_of_the_line_walks_from_its_first_to_its_last_beam_and_shows_them_live() -> None:
    someone = at("Line", "What stands on the line")
    first = someone.lines()
    assert first[0].endswith("beam 1 of 2")
    assert first[1] == "closing 1: clear"
    someone.tap(Key.LESS)
    assert someone.lines() == first
    for _ in range(2):
        someone.tap(Key.MORE)
        assert someone.lines()[0].endswith("beam 2 of 2")
        assert someone.lines()[1] == "both 1: clear"
    someone.do(a.Block("inner", True))
    assert someone.lines()[1] == "both 1: not clear"
    someone.do(a.Block("inner", False), a.SetSwitches("inner-sender", "12-4"))
    assert someone.lines()[1] == "both 1: no sender answers"
    someone.tap(Key.MORE)
    assert someone.lines()[0].endswith("beam 3 of 3")
    assert someone.lines()[1] == "both 3: not in the roll-call"


def test_a_line_on_which_nothing_answers_and_nothing_is_expected_says_so() -> None:
    someone = person(learned=False)
    someone.do(a.PartWire("line-feed-white"))
    someone.turn_to("Line", "What stands on the line")
    someone.tap(Key.NEXT)
    assert someone.lines()[1] == "Nothing answers, none expected"


# Remotes: teaching --------------------------------------------------------------------------------


@pytest.mark.parametrize("use", list(Use))
def test_a_key_is_taught_by_choosing_its_call_pressing_it_and_keep(use: Use) -> None:
    someone = at("Remotes", f"Teach a key: {use.value}")
    assert someone.lines()[1] == "Press the remote's key now"
    someone.tap(Key.KEEP)  # nothing was heard yet
    assert (210530, 1, use.value) not in taught(someone)
    press_remote(someone, "remote-spare", 1)
    assert someone.lines() == ("Remote 210530: key 1. Keep?", f"Teach a key: {use.value}")
    someone.tap(Key.KEEP)
    assert someone.lines()[0] == "Taught"
    assert taught(someone)[-1] == (210530, 1, use.value)
    assert len(taught(someone)) == len(HOUSE) + 1


def test_a_key_that_is_not_confirmed_is_not_taught() -> None:
    someone = at("Remotes", "Teach a key: call")
    press_remote(someone, "remote-spare", 1)
    someone.tap(Key.BACK)
    someone.shut_book()
    press_remote(someone, "remote-spare", 1)
    assert len(taught(someone)) == len(HOUSE)
    assert someone.see().condition is Condition.SHUT


def test_a_key_that_is_shown_to_the_book_moves_nothing_and_calls_once_the_book_is_shut() -> None:
    someone = at("Remotes", "Teach a key: part call")
    press_remote(someone, "remote-house", 1)
    assert someone.see().condition is Condition.SHUT
    someone.tap(Key.KEEP)
    someone.tap(Key.NEXT)
    someone.shut_book()
    press_remote(someone, "remote-house", 1)
    assert someone.see().condition is Condition.PART_OPENING


def test_teaching_a_known_key_anew_replaces_what_it_was_for() -> None:
    someone = at("Remotes", "Teach a key: part call")
    press_remote(someone, "remote-house", 1)
    someone.tap(Key.KEEP)
    assert taught(someone) == [(210417, 1, "part call"), (210417, 2, "part call")]


def test_a_remote_of_another_family_is_named_and_refused() -> None:
    remotes = tuple(
        replace(one, family=FAMILY + 1) if one.name == "remote-spare" else one for one in MEWS.wiring.remotes
    )
    site = replace(MEWS, wiring=replace(MEWS.wiring, remotes=remotes))
    someone = Person(Bench(Setup("test", site)))
    someone.turn_to("Remotes", "Teach a key: call")
    someone.tap(Key.NEXT)
    press_remote(someone, "remote-spare", 2)
    assert "another family" in " ".join(someone.lines())
    assert "Keep?" not in " ".join(someone.lines())
    someone.tap(Key.KEEP)
    assert taught(someone) == []


def test_a_weak_battery_is_told_when_a_key_is_shown_to_the_book() -> None:
    someone = person()
    someone.do(a.Inject("weak-remote", "remote-spare"))
    someone.turn_to("Remotes", "Teach a key: call")
    someone.tap(Key.NEXT)
    press_remote(someone, "remote-spare", 1)
    assert "battery" in " ".join(someone.lines())


def test_a_full_memory_refuses_a_new_key_and_takes_a_known_one() -> None:
    someone = person()
    radio = someone.bench.board.radio
    for serial in range(MEMORY - len(HOUSE)):
        assert radio.teach(Frame(FAMILY, serial + 1, 1, 0), Use.CALL) == ""
    someone.turn_to("Remotes", "Teach a key: call")
    someone.tap(Key.NEXT)
    press_remote(someone, "remote-spare", 1)
    someone.tap(Key.KEEP)
    assert someone.lines() == ("Not taught", f"Memory is full: {MEMORY} keys")
    someone.shut_book()
    someone.turn_to("Remotes", "Teach a key: call")
    someone.tap(Key.NEXT)
    press_remote(someone, "remote-house", 2)
    someone.tap(Key.KEEP)
    assert someone.lines()[0] == "Taught"
    assert (210417, 2, "call") in taught(someone)


# Remotes: erasing ---------------------------------------------------------------------------------


def test_one_key_is_found_by_walking_and_erased_and_the_other_goes_on_working() -> None:
    someone = at("Remotes", "Keys taught; erase one")
    assert someone.lines()[0] == "210417 key 1: call"
    someone.tap(Key.MORE)
    assert someone.lines()[0] == "210417 key 2: part call"
    someone.tap(Key.MORE)
    assert someone.lines()[0] == "210417 key 2: part call"
    someone.hold(Key.KEEP, SHORT)
    assert len(taught(someone)) == len(HOUSE)
    someone.hold(Key.KEEP, LONG)
    assert someone.lines() == ("Erased", "Remote 210417: key 2")
    assert taught(someone) == [(210417, 1, "call")]
    someone.tap(Key.BACK)
    someone.shut_book()
    press_remote(someone, "remote-house", 2)
    assert someone.see().condition is Condition.SHUT
    press_remote(someone, "remote-house", 1)
    assert someone.see().condition is Condition.OPENING


def test_all_keys_are_erased_after_keep_was_held_and_nothing_opens_any_more() -> None:
    someone = at("Remotes", "Erase all keys")
    assert someone.lines()[0] == f"2 of {MEMORY} keys are taught"
    someone.hold(Key.KEEP, SHORT)
    assert len(taught(someone)) == len(HOUSE)
    someone.hold(Key.KEEP, LONG)
    assert someone.lines() == ("Erased", "No remote is taught any more")
    someone.shut_book()
    someone.turn_to("Remotes", "Keys taught; erase one")
    someone.tap(Key.NEXT)
    assert someone.lines()[1] == "No key is taught"
    someone.tap(Key.BACK)
    someone.shut_book()
    press_remote(someone, "remote-house", 1)
    assert someone.see().condition is Condition.SHUT
