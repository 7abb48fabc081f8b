"""The debrief: what was asked, what was done and when, each conduct fault with its caution."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from simgate.bench.actions import (
    Action,
    HandOver,
    Inject,
    Operate,
    PressKey,
    Probe,
    RemakeWire,
    SetSwitches,
    Step,
    TakeHint,
    Turn,
)
from simgate.bench.site import load_site
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Key
from simgate.practice.conduct import WATCHERS
from simgate.practice.debrief import TOLD, debrief
from simgate.practice.goals import Goal
from tests.practice.made import C, R, S, acted, did, ending, job, noted

GOALS = (Goal("gate-shut", "Leave the gate shut."), Goal("learned-and-fresh", "Let it learn."))


def test_every_action_that_hands_can_do_has_its_words() -> None:
    assert set(TOLD) == set(get_args(Action))


def test_what_was_asked_is_told_in_the_jobs_own_words() -> None:
    assert debrief(job(*GOALS), ending()).asked == ("Leave the gate shut.", "Let it learn.")


def test_what_was_done_is_told_with_its_time_and_by_whom() -> None:
    records = [
        did(1000, PressKey(Key.KEEP, True)),
        did(2000, Operate("call-button", True)),
        *acted(2010, (C.SHUT, S.CALL, R.OPEN, C.OPENING)),
        did(2200, Operate("call-button", False)),
        *acted(2210, (C.OPENING, S.CALL_RELEASED, R.IGNORE, C.OPENING)),
        noted(3000, NoteKind.LEARN_ABORTED, "STOP is open"),
        did(4000, TakeHint()),
        did(5000, HandOver()),
    ]
    told = [(moment.tick, moment.text, moment.own) for moment in debrief(job(*GOALS), ending(records)).done]
    assert told == [
        (2000, "pressed call button", True),
        (2010, "call while shut: open fully", False),
        (3000, "learn cycle broken off: STOP is open", False),
        (4000, "took a hint", True),
        (5000, "handed over", True),
    ]


@pytest.mark.parametrize(
    ("device", "words"),
    [
        ("loop", "laid metal on loop"),
        ("key-switch", "turned key switch"),
        ("stop-button", "pressed stop button"),
    ],
)
def test_what_works_a_device_is_told_by_its_kind(device: str, words: str) -> None:
    depot = replace(job(*GOALS), site=load_site("depot-double"))
    assert device in {one.name for one in depot.site.wiring.devices}
    told = debrief(depot, ending([did(2000, Operate(device, True))])).done
    assert [moment.text for moment in told] == [words]


def test_what_was_done_many_times_on_end_is_one_line_with_its_first_time() -> None:
    records = [
        did(1000, SetSwitches("inner-sender", "12--")),
        *(did(2000 + 500 * turn, Turn("inner-receiver", 1, 0)) for turn in range(3)),
        did(9000, Turn("inner-sender", 0, 1)),
        did(9500, Turn("inner-receiver", 0, 1)),
    ]
    assert [(moment.tick, moment.text) for moment in debrief(job(*GOALS), ending(records)).done] == [
        (1000, "set the switches of inner sender to both 1"),
        (2000, "turned inner receiver, 3 times on end"),
        (9000, "turned inner sender"),
        (9500, "turned inner receiver"),
    ]


def test_settings_points_and_faults_are_told_by_the_names_that_people_know() -> None:
    records = [
        noted(1000, NoteKind.SETTING_KEPT, "pause = 20"),
        noted(1000, NoteKind.SETTING_KEPT, "mode = Self-close"),
        noted(1000, NoteKind.SETTING_KEPT, "end-open-a = stop here"),
        noted(1500, NoteKind.KEY_TAUGHT, "210417 key 2 = part call"),
        noted(1500, NoteKind.KEY_ERASED, "210417 key 1"),
        noted(1500, NoteKind.ROLL_CALL, "2 beams found"),
        did(2000, Probe("volts", "board.AUX-", "stop-post.1")),
        did(3000, Probe("clamp", "motor-a-brown")),
        did(4000, Inject("bridged-pair", "board.STOP|board.COM")),
    ]
    assert [moment.text for moment in debrief(job(*GOALS), ending(records)).done] == [
        "book: Pause before shutting is now 20 s",
        "book: Logic mode is now Self-close",
        "book: END-O-A is now stop here",
        "taught: 210417 key 2 is part call",
        "erased: 210417 key 1",
        "roll-call: 2 beams found",
        "volts on board AUX- and stop post 1",
        "clamp on motor a brown",
        "trainer: bridged pair put in at board STOP and board COM",
    ]


def test_a_conduct_fault_comes_with_its_time_and_its_caution() -> None:
    story = debrief(job(*GOALS, conduct=tuple(WATCHERS)), ending([did(1000, RemakeWire("stop-return"))]))
    assert [(fault.tick, fault.name) for fault in story.conduct] == [(1000, "wires-live")]
    assert story.conduct[0].why == "a wire was made good with the isolator on"
    assert story.conduct[0].caution.startswith("Isolate")
    assert story.verdict == "Not passed: 50 marks, 70 are needed."


def test_the_verdict_says_what_is_missing() -> None:
    assert debrief(job(*GOALS), ending()).verdict == "Passed with 100 of 100."
    missing = "Not passed: 1 goal not met and 50 marks, 70 are needed."
    assert debrief(job(*GOALS), ending(learned=False)).verdict == missing
    assert debrief(job(*GOALS), ending(finished=False)).verdict.startswith("Not handed over.")
    assert debrief(job(*GOALS), ending(marked=False)).verdict.startswith("Not marked")


def test_stepping_in_names_what_is_stepped_into_once() -> None:
    story = debrief(job(*GOALS), ending([did(1000, Step(True)), did(2000, Step(False))]))
    assert [moment.text for moment in story.done] == ["stepped into the swing", "stepped out of the swing"]
