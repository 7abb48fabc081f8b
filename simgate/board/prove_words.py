"""A counter-example as a story: what happened, scan after scan, and what the gate then did."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from simgate.board.arrival import Event
from simgate.board.mode_words import WHILE
from simgate.board.prove_drive import BACKS
from simgate.board.prove_edge import Happening
from simgate.board.prove_scene import BIT, SCENE, Beam, Remote, Source
from simgate.board.prove_state import State
from simgate.board.starts import Stage
from simgate.board.stimuli import Condition, Input, Task

OPENS: Mapping[Source, str] = {
    Input.STOP: "STOP is opened",
    Input.GUARD_O: "GUARD-O is broken",
    Input.GUARD_C: "GUARD-C is broken",
    Input.CALL: "the call is let go",
    Input.PART: "the part call is let go",
    Input.EDGE: "the edge is pressed",
    Beam.OPENING: "a line beam of opening is broken",
    Beam.CLOSING: "a line beam of closing is broken",
    Beam.BOTH: "a line beam of both is broken",
    Remote.CALL: "the remote's call is let go",
    Remote.PART: "the remote's part call is let go",
}
MAKES: Mapping[Source, str] = {
    Input.STOP: "STOP is made again",
    Input.GUARD_O: "GUARD-O clears",
    Input.GUARD_C: "GUARD-C clears",
    Input.CALL: "a call comes",
    Input.PART: "a part call comes",
    Input.EDGE: "the edge is healthy again",
    Beam.OPENING: "the line beam of opening clears",
    Beam.CLOSING: "the line beam of closing clears",
    Beam.BOTH: "the line beam of both clears",
    Remote.CALL: "a call comes by remote",
    Remote.PART: "a part call comes by remote",
}
COMES: Mapping[Event, str] = {
    Event.ARRIVED: "the end of the way is reached",
    Event.BLOCKED: "a leaf meets something",
    Event.DEAD: "a motor gets no current",
}
DUE: Mapping[Stage, str] = {
    Stage.AWAY: "the time for the guards to open is over",
    Stage.BACK: "the time for the guards to come back is over",
    Stage.WARN: "the warning is over",
    Stage.STROKE: "the stroke is over",
    Stage.BOLT: "the bolt is drawn",
}
PREPARES: Mapping[Stage, str] = {
    Stage.AWAY: "the guards are tested",
    Stage.BACK: "the guards are tested",
    Stage.WARN: "it warns",
    Stage.STROKE: "the leaves are pressed shut to free the lock",
    Stage.BOLT: "the lock is drawn",
}
WORKS: Mapping[Task, str] = {Task.JOG: "jogging", Task.LEARN: "learning"}


def told(path: Sequence[tuple[State, Happening]], end: State, broken: str) -> tuple[str, ...]:
    """The story of a path to `end`: a sentence for each scan, the last with what is wrong there."""
    if not path:
        return (f"{while_words(end)}: {broken}.",)
    states = [*(state for state, _ in path[1:]), end]
    lines = [
        f"{while_words(before)}, {happening_words(before, happening)}: {now_words(after)}."
        for (before, happening), after in zip(path, states, strict=True)
    ]
    return (*lines[:-1], f"{lines[-1][:-1]}: {broken}.")


def while_words(state: State) -> str:
    """'While shutting', or what else is so."""
    if not state.powered:
        return "Without power"
    return f"While {now_words(state)}"


def now_words(state: State) -> str:
    """What the gate is doing, and what its leaves do where that is not the same."""
    kernel = state.kernel
    if not kernel.powered:
        return "without power"
    if kernel.busy is not None:
        return f"{WORKS[kernel.busy.task]} ({kernel.doing.value})"
    words = WHILE[kernel.condition]
    if kernel.start:
        words += f" ({PREPARES[kernel.start[0]]})" if kernel.start[0] in PREPARES else ""
    elif kernel.doing in BACKS:
        words += f" ({kernel.doing.value})"
    if kernel.pause:
        words += " with the pause running"
    return words


def happening_words(state: State, happening: Happening) -> str:
    """'GUARD-C is broken and a call comes in the same scan'."""
    parts = list(_parts(state, happening))
    if len(parts) == 1:
        return parts[0]
    return f"{', '.join(parts[:-1])} and {parts[-1]} in the same scan"


def _parts(state: State, happening: Happening) -> Iterator[str]:
    kernel = state.kernel
    if happening.power:
        yield "the power goes" if kernel.powered else "the power comes"
    if happening.stands in (Condition.SHUT, Condition.OPEN) and not kernel.busy:
        yield f"the leaves are found to stand {happening.stands.value}"
    if happening.learn:
        yield "what was learned is lost" if kernel.learned else "the gate has learned again"
    if happening.battery:
        yield "the battery is charged" if kernel.charge.sunk else "the battery sinks below its limit"
    if happening.hand is not None:
        yield happening.hand.value
    if happening.pause:
        yield "the pause is over"
    if happening.start:
        yield DUE[kernel.start[0]] if kernel.start else "the leaf has come to rest"
    if happening.rested:
        yield "it has rested for a pause"
    if happening.eased:
        yield "a leaf has backed off"
    if happening.event is not None:
        yield COMES[happening.event]
    for one in SCENE:
        if happening.flips & BIT[one]:
            yield (OPENS if state.terminals & BIT[one] else MAKES)[one]
