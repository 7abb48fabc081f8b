"""The prover against something that is not ours: the same small table, written by hand for a graph library.

A gate with one call, no part opening, no END switches, healthy guards but for STOP; what can happen is
one thing at a time. The rules below are written from the sentences of the mode's file, not from the board.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

import networkx as nx

from simgate.board import modes
from simgate.board.arrival import Event
from simgate.board.prove_edge import Happening
from simgate.board.prove_scene import BIT, HEALTHY
from simgate.board.prove_state import State
from simgate.board.prove_subject import Subject
from simgate.board.prove_walk import beginnings
from simgate.board.prove_world import World
from simgate.board.settings import Settings
from simgate.board.stimuli import Input

Plain = tuple[str, bool, bool, bool]
"""What the gate does, whether STOP is made, whether the call is held, whether the pause runs."""

ON_CALL = {
    "shut": "opening",
    "stopped, last shutting": "opening",
    "stopped, last opening": "shutting",
    "shutting": "opening",
    "open": "shutting",
}
"""Self-close, in the words of its file: what a call does. While it opens, a call changes nothing."""

STOPS = {"opening": "stopped, last opening", "shutting": "stopped, last shutting"}
ARRIVES = {"opening": "open", "shutting": "shut"}


def by_hand(now: Plain) -> Iterator[Plain]:
    """Everything that may come next."""
    does, stop, held, pause = now
    yield STOPS.get(does, does), not stop, held, pause and not stop  # STOP stops, and ends the pause
    if held:
        yield does, stop, False, pause
    elif stop and does in ON_CALL:
        yield ON_CALL[does], stop, True, False
    elif stop:
        yield does, stop, True, pause
    else:
        yield does, stop, True, pause  # not permitted to move; and STOP has stopped what moved
    if does in ARRIVES:
        yield ARRIVES[does], stop, held, does == "opening"
    if pause:
        yield "shutting", stop, held, False


def reachable_by_hand() -> set[Plain]:
    """By the graph library, over the rules above."""
    graph = nx.DiGraph()
    every = [
        (does, stop, held, pause)
        for does in ("shut", "opening", "open", "shutting", *STOPS.values())
        for stop in (True, False)
        for held in (True, False)
        for pause in (True, False)
    ]
    for one in every:
        graph.add_edges_from((one, after) for after in by_hand(one))
    start: Plain = ("shut", True, False, False)
    return {start, *nx.descendants(graph, start)}


def reachable_by_the_board() -> set[Plain]:
    """The same happenings, put to the real board."""
    table = modes.shipped_modes()["Self-close"]
    scene = (Input.STOP, Input.CALL)
    settings = Settings(modes.facts({table.title: table}), {"mode": table.title})
    world = World(Subject(settings, {table.title: table}, scene), scene)
    start = beginnings()[0]
    found = {start: None}
    waiting = deque(found)
    while waiting:
        state = waiting.popleft()
        for happening in _few(state):
            after = world.step(state, happening).after
            if after not in found:
                found[after] = None
                waiting.append(after)
    return {_plain(state) for state in found}


def _few(state: State) -> Iterator[Happening]:
    yield from (Happening(flips=BIT[one]) for one in (Input.STOP, Input.CALL))
    if not state.doing.value.startswith("at rest"):
        yield Happening(event=Event.ARRIVED)
    if state.kernel.pause:
        yield Happening(pause=True)


def _plain(state: State) -> Plain:
    words = {"closing": "shutting", "stopped-opening": "stopped, last opening"}
    words["stopped-closing"] = "stopped, last shutting"
    name = state.condition.value
    assert state.terminals | BIT[Input.CALL] | BIT[Input.STOP] == HEALTHY | BIT[Input.CALL]
    return words.get(name, name), state.has(Input.STOP), state.has(Input.CALL), state.kernel.pause


def test_the_board_comes_to_the_same_states_as_rules_written_by_hand_for_a_graph_library() -> None:
    by_rules = reachable_by_hand()
    assert reachable_by_the_board() == by_rules
    assert 15 <= len(by_rules) <= 32
