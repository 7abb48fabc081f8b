"""A state that is put back is the whole of it: the board goes on as it would have done."""

from __future__ import annotations

import random

import pytest

from simgate.board import modes
from simgate.board.guards import Guards
from simgate.board.inputs import Inputs
from simgate.board.logic import Logic
from simgate.board.prove import beginnings
from simgate.board.prove_state import SCENE, State, Subject
from simgate.board.prove_world import World
from simgate.board.settings import Settings
from simgate.board.settings_table import Value
from simgate.board.starts import Starts
from simgate.board.timers import Timers

MODES = modes.shipped_modes()
FULL: dict[str, Value] = {
    "guard-test": "both guards", "pre-warning": 3.0, "lock-use": "stroke and pulse", "edge-use": "both",
    "guard-c-use": "both",
}  # fmt: skip


def world(title: str, given: dict[str, Value]) -> World:
    """The environment of a new board."""
    table = MODES[title]
    settings = Settings(modes.facts({title: table}), {**given, "mode": title})
    return World(Subject(settings, {title: table}), SCENE)


@pytest.mark.parametrize("given", [{}, FULL], ids=["plain", "full"])
@pytest.mark.parametrize("title", sorted(MODES))
def test_a_board_that_was_elsewhere_goes_on_like_one_that_never_was(
    title: str, given: dict[str, Value]
) -> None:
    """The same walk on a board that is sent to other states between its steps, and on new boards."""
    chance = random.Random(f"{title} {len(given)}")
    worn = world(title, given)
    walk: list[State] = [beginnings()[0]]
    for number in range(400):
        state = walk[-1]
        happening = chance.choice(worn.happenings(state))
        elsewhere = chance.choice(walk)
        worn.step(elsewhere, chance.choice(worn.happenings(elsewhere)))
        step = worn.step(state, happening)
        if number % 20 == 0:
            new = world(title, given)
            assert new.step(state, happening) == step
        walk.append(step.after)
    assert len(set(walk)) > 50


KEPT = {
    Inputs: {"made", "_levels", "_since", "due", "edge_pressed"},
    Timers: {"_due"},
    Guards: {"failed"},
    Starts: {"stage", "_way", "_alone", "_full", "_asked", "_opened", "_least"},
    Logic: {"learned", "fault", "met", "chart"},
}
"""What a part keeps from scan to scan that decides something: each is put back by `put_state`."""

FOLLOWS = {
    Inputs: {"_band"},
    Timers: set[str](),
    Guards: {  # looked at in each scan
        "uses", "amiss", "_own", "_also", "_seen", "_line_own", "_line_all", "_line_seen",
    },
    Starts: {"use", "_inputs", "_guards", "_drive", "_timers", "_outputs", "_happened"},
    Logic: {
        "starts", "battery", "service", "_settings", "_modes", "_guards", "_drive", "_timers", "_happened",
        "_chart_of", "_orders", "_pauses",
        "cause", "refusal",  # words for the display
    },
}  # fmt: skip
"""What follows from settings or from what is kept, or is for the eye only."""


@pytest.mark.parametrize("part", KEPT, ids=lambda part: part.__name__)
def test_no_field_of_a_part_is_forgotten(part: type) -> None:
    """A new field must be put back in `put_state`, or be named here as one that decides nothing."""
    board = world("Latch", {}).subject
    found = next(one for one in vars(board).values() if type(one) is part)
    names = set(getattr(part, "__slots__", ())) | set(getattr(found, "__dict__", ()))
    assert names == KEPT[part] | FOLLOWS[part]
