"""A state that is put back is the whole of it: the board goes on as it would have done."""

from __future__ import annotations

import random
from collections.abc import Sequence

import pytest

from simgate.board import modes
from simgate.board.battery import Battery
from simgate.board.guards import Guards
from simgate.board.inputs import Inputs
from simgate.board.learn import Learn
from simgate.board.line import Line
from simgate.board.logic import Logic
from simgate.board.prove_edge import Happening
from simgate.board.prove_hands import Hand
from simgate.board.prove_scene import BIT, SCENES, TERMINALS, Beam, Remote, Source
from simgate.board.prove_state import State
from simgate.board.prove_subject import NOW, Subject
from simgate.board.prove_walk import beginnings
from simgate.board.prove_world import World
from simgate.board.radio import Radio
from simgate.board.settings import Settings
from simgate.board.settings_table import Value
from simgate.board.starts import Starts
from simgate.board.stimuli import Condition, Input
from simgate.board.timers import Timers
from simgate.board.work import Work

MODES = modes.shipped_modes()
FULL: dict[str, Value] = {
    "guard-test": "both guards", "pre-warning": 3.0, "lock-use": "stroke and pulse", "edge-use": "both",
    "guard-c-use": "both", "battery-low": "shut and stay",
}  # fmt: skip


SET_UPS = [({}, "line"), ({}, "remotes"), ({"edge-use": "both"}, "mixed"), (FULL, "terminals")]


def world(title: str, given: dict[str, Value], scene: Sequence[Source] = TERMINALS) -> World:
    """The environment of a new board."""
    table = MODES[title]
    settings = Settings(modes.facts({title: table}), {**given, "mode": title})
    return World(Subject(settings, {title: table}, scene), scene)


@pytest.mark.parametrize(("given", "scene"), SET_UPS)
@pytest.mark.parametrize("title", sorted(MODES))
def test_a_board_that_was_elsewhere_goes_on_like_one_that_never_was(
    title: str, given: dict[str, Value], scene: str
) -> None:
    """The same walk on a board that is sent to other states between its steps, and on new boards.

    New boards have not learned what a learn cycle comes by, so they walk there first.
    """
    chance = random.Random(f"{title} {len(given)}")
    worn = world(title, given, SCENES[scene])
    walk: list[State] = [beginnings()[0]]
    for number in range(400):
        state = walk[-1]
        happening = chance.choice(worn.happenings(state.kernel))
        elsewhere = chance.choice(walk)
        worn.step(elsewhere, chance.choice(worn.happenings(elsewhere.kernel)))
        step = worn.step(state, happening)
        if number % 20 == 0:
            new = world(title, given, SCENES[scene])
            new.subject.learn_from(worn.subject)
            assert new.step(state, happening) == step
        walk.append(step.after)
    assert len(set(walk)) > 50


@pytest.mark.parametrize(("given", "scene"), SET_UPS)
@pytest.mark.parametrize("title", sorted(MODES))
def test_what_is_worked_out_once_is_what_a_scan_of_each_state_would_do(
    title: str, given: dict[str, Value], scene: str
) -> None:
    """Every edge of states all over the walk, against a scan made for that very state.

    Every fifth step goes to work from the book where it can.
    """
    chance = random.Random(f"{title} {scene}")
    whole = world(title, given, SCENES[scene])
    state = beginnings()[0]
    tasks = set()
    for number in range(120):
        edges = whole.edges(state.kernel, state.calls)
        if number % 3 == 0:
            for edge in edges:
                step = whole.step(state, edge.happening)
                assert (edge.acted, edge.after(state)) == (step.acted, step.after), edge.happening
        tasks.add(state.kernel.busy)
        works = [edge for edge in edges if edge.kernel.busy] if number % 5 == 0 else []
        state = chance.choice(works or edges).after(state)
    assert len(tasks) > 1


def test_what_stands_at_the_screws_is_what_the_board_takes_as_made() -> None:
    """So a state need not hold both: a change has always lasted when the board sees it."""
    walked = world("Shared drive", FULL)
    chance = random.Random(4)
    state = beginnings()[0]
    for _ in range(500):
        state = walked.step(state, chance.choice(walked.happenings(state.kernel))).after
        if state.powered:
            made = [state.has(one) for one in TERMINALS]
            assert [*walked.subject.made[: len(TERMINALS)]] == made


def test_a_learn_cycle_can_be_walked_to_its_end_and_leaves_what_it_found() -> None:
    walked = world("Latch", {})
    state = walked.step(beginnings()[0], Happening(learn=True)).after
    assert not state.kernel.learned
    state = walked.step(state, Happening(hand=Hand.LEARN)).after
    for _ in range(100):
        if state.kernel.busy is None:
            break
        at = state.kernel.learning
        due = at is not None and at[1]
        ends = [one for one in walked.happenings(state.kernel) if one.event or (due and one.start)]
        state = walked.step(state, ends[0]).after
    assert state.kernel.learned
    assert state.condition is Condition.SHUT


def test_a_beam_and_a_remote_reach_the_board_as_a_guard_and_a_call_do() -> None:
    """The same state is come to, by the same cell, over the terminal and over the air or the line."""
    walked = world("Latch", {}, SCENES["remotes"])
    shut = beginnings()[0]
    by_hand = walked.step(shut, Happening(BIT[Input.CALL]))
    by_air = walked.step(shut, Happening(BIT[Remote.CALL]))
    assert by_hand.acted == by_air.acted
    assert by_hand.after.kernel == by_air.after.kernel
    on_line = world("Latch", {}, SCENES["line"])
    shutting = shut._replace(kernel=by_hand.after.kernel._replace(condition=Condition.OPEN))
    shutting = shutting._replace(kernel=shutting.kernel._replace(doing=beginnings()[0].doing))
    shutting = on_line.step(shutting, Happening(BIT[Input.CALL])).after
    assert shutting.condition is Condition.CLOSING
    by_terminal = on_line.step(shutting, Happening(BIT[Input.GUARD_C])).after
    by_beam = on_line.step(shutting, Happening(BIT[Beam.CLOSING])).after
    assert by_terminal.condition is by_beam.condition is Condition.OPENING
    assert by_terminal.kernel._replace(terminals=0) == by_beam.kernel._replace(terminals=0)


KEPT: dict[type, set[str]] = {
    Inputs: {"made", "_levels", "_since", "due"},
    Timers: {"_due"},
    Guards: {
        "failed", "amiss", "_own", "_also", "_line_own", "_line_all", "_line_seen",
    },
    Starts: {"stage", "_way", "_alone", "_full", "_asked", "_opened", "_least"},
    Logic: {"learned", "fault", "met", "chart", "called"},
    Battery: {"low", "owed", "waits"},
    Line: {"seen", "due", "version", "_poll", "_taken", "_found", "_since", "_states"},
    Radio: {"seen", "words", "untold", "_held", "_counts", "_far"},
    Work: {"_learn", "_jogged", "_then", "_learn_waits", "task", "data", "learned"},
    Learn: {"_index", "_begins", "_travels", "_from", "_opened", "_marked", "_ended", "words"},
}  # fmt: skip
"""What a part keeps from scan to scan that decides something: each is put back by `put_state`."""

FOLLOWS: dict[type, set[str]] = {
    Inputs: {"_band", "edge_pressed"},  # read anew in each scan; words alone hang on it while a filter runs
    Timers: set(),
    Guards: {"uses", "_seen", "_line_known"},
    Starts: {"use", "_inputs", "_guards", "_drive", "_timers", "_outputs", "_happened"},
    Logic: {
        "starts", "battery", "service", "_settings", "_modes", "_guards", "_drive", "_timers", "_happened",
        "_chart_of", "_orders", "_pauses",
        "cause", "refusal",  # words for the display
    },
    Battery: {"_plan", "_limit"},
    Line: {"enrolled"},
    Radio: {"taught", "listening", "offered"},
    Work: {"_gate", "_settings", "_drive", "_guards", "_starts", "words", "stale"},
    Learn: {  # figures of the way, which the stand-in has none of; and ticks that lie far off
        "_drive", "_steps", "_records", "_turned", "_timed", "_until",
    },
}  # fmt: skip
"""What follows from settings or from what is kept, or is for the eye only."""


@pytest.mark.parametrize("part", KEPT, ids=lambda part: part.__name__)
def test_no_field_of_a_part_is_forgotten(part: type) -> None:
    """A new field must be put back in `put_state`, or be named here as one that decides nothing."""
    board = world("Latch", {}).subject
    learn = Learn(board.leaves, NOW)
    found = next(one for one in (*vars(board).values(), learn) if type(one) is part)
    names = set(getattr(part, "__slots__", ())) | set(getattr(found, "__dict__", ()))
    assert names == KEPT[part] | FOLLOWS[part]
