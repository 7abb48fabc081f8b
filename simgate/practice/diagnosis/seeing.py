"""Which looks of a table a run has taken: by an instrument, by eye, and when it shows that eyes saw it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from simgate.bench import actions as a
from simgate.practice.diagnosis.observation import HOWS, How, Observation
from simgate.practice.diagnosis.states import State, StateKind
from simgate.wiring.harness import Harness, Solution

LINE_PAGE = re.compile(r"Line [\d.]+ V")  # the display's page of what stands on the line
SHINING = (How.MOVES, How.DISPLAY, How.WORKING)
OWN_CURRENT = ("ohms", "continuity", "diode")  # instruments that drive one
TELL_LESS = ("continuity", "diode")  # than ohms
ON_HEADS = (a.SetSwitches, a.Turn, a.FitLens, a.CleanLens, a.FitHead)


def by_eye(looks: Sequence[Observation], how: How, name: str) -> tuple[int, ...]:
    """The looks of that kind at a device or place."""
    return tuple(number for number, look in enumerate(looks) if look.how is how and look.a == name)


def by_probe(looks: Sequence[Observation], probe: a.Probe, state: State) -> tuple[int, ...]:
    """The looks that an instrument takes in a state."""
    if probe.instrument in TELL_LESS:
        return ()
    how = HOWS[probe.instrument]
    ends = {probe.a, "" if how is How.CLAMP else probe.b}
    return tuple(
        number
        for number, look in enumerate(looks)
        if look.how is how and look.state == state and {look.a, look.b} == ends
    )


def of_drive(looks: Sequence[Observation], leaf: int) -> tuple[int, ...]:
    """What is seen while a leaf is driven."""
    return tuple(
        number
        for number, look in enumerate(looks)
        if look.state.kind is StateKind.JOG and look.state.leaf == leaf and look.how in SHINING
    )


def on_the_way(looks: Sequence[Observation], leaf: int) -> tuple[int, ...]:
    """What the input lamps tell while a leaf goes all the way."""
    return tuple(
        number
        for number, look in enumerate(looks)
        if look.state.kind is StateKind.SWUNG and look.state.leaf == leaf and look.how is How.LAMPS
    )


def picture(looks: Sequence[Observation], state: State) -> tuple[int, ...]:
    """Display and lamps in a state: at rest, what everybody sees who opens the lid."""
    return tuple(
        number
        for number, look in enumerate(looks)
        if look.how in (How.DISPLAY, How.LAMPS) and look.state == state
    )


def false_reading(harness: Harness, solution: Solution, probe: a.Probe) -> bool:
    """Whether an instrument that drives a current of its own is on what is live: it reads nonsense then, and
    whatever somebody took it for was no finding.
    """
    ends = (probe.a, probe.b) if probe.instrument in OWN_CURRENT else ()
    return any(harness.live(solution, end) for end in ends)


def before_work(looks: Sequence[Observation], harness: Harness, action: a.Action) -> tuple[int, ...]:
    """What somebody must have seen who does this work next."""
    if isinstance(action, ON_HEADS):
        return by_eye(looks, How.LENS, action.head)
    for place in _places(harness, action):
        return by_eye(looks, How.STRIP, place)
    return ()


def _places(harness: Harness, action: a.Action) -> list[str]:
    """Where cores and links were looked at: at an end that is not on its own screw, or where a link sits."""
    if isinstance(action, a.RemoveLink):
        return [_owner(action.a)]
    if isinstance(action, a.AddLink):
        meant = [{one, other} for one, other in harness.spec.links]
        return [_owner(action.a)] if {action.a, action.b} in meant else []
    if isinstance(action, a.MoveWire):
        wire = harness.wire(action.wire)
        now, meant_at = (wire.a, wire.spec.a) if action.end == "from" else (wire.b, wire.spec.b)
        return [_owner(now)] if now != meant_at else []
    if isinstance(action, a.SwapWires):
        wires = [harness.wire(action.a), harness.wire(action.b)]
        return [_owner(wire.a) for wire in wires if wire.a != wire.spec.a]
    return []


def _owner(point: str) -> str:
    return point.rpartition(".")[0]
