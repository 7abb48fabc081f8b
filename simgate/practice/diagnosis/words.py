"""Looks in trade words: what was looked at, in which state, and what the readings would say.

No word here comes from a suspect. Whoever is told what to measure next must not be told by it what is wrong:
it is said how many suspects each reading leaves, never which.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from simgate.bench.actions import Probe
from simgate.practice.diagnosis.case import Case
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.observation import How, Observation, setup_seconds
from simgate.practice.diagnosis.states import State, StateKind
from simgate.practice.names import plain, point
from simgate.wiring.spec import WiringSpec
from simgate.wiring.tables import BOARD, LEAF_NAMES

HALF = 0.65  # of the weight on the heavier side: up to this a look halves what is left
UNTAUGHT = "A key that is not taught shows itself on the page of the book that teaches."
TEST_ONLY = (
    "The link takes a guard away: for this look only, nobody in the gate, nothing driven, out again at once."
)
AFTER = "display and input lamps after the work"
MOST_READINGS = 3  # that are told one by one


def look_words(look: Observation) -> str:
    """A look with its state: 'volts between stop post 2 and board 0V, mains on, at rest'."""
    words = _LOOK[look.how].format(a=point(look.a), b=point(look.b), leaf=_leaf(look.a))
    return f"{words}, {in_state(look.state)}"


def probed(probe: Probe) -> str:
    """An instrument and where it was put: 'ohms between stop post 2 and board 0V'."""
    if probe.instrument == "clamp":
        return f"the clamp on {plain(probe.a)}"
    return f"{plain(probe.instrument)} between {point(probe.a)} and {point(probe.b)}"


def as_it_stands(mains: bool, worked: Sequence[str]) -> str:
    """How the gate stood when somebody looked."""
    now = "mains on" if mains else "mains off"
    return f"{now}, {' and '.join(map(plain, worked))} worked" if worked else f"{now}, at rest"


def in_state(state: State) -> str:
    """A state in trade words."""
    if state.kind is StateKind.WORKED:
        return f"while {plain(state.of)} is worked"
    return replace(state, of=plain(state.of)).words


def _leaf(name: str) -> str:
    return f"leaf {LEAF_NAMES[int(name)]}" if name.isdigit() else name


_LOOK = {
    How.VOLTS: "volts between {a} and {b}",
    How.OHMS: "ohms between {a} and {b}",
    How.CLAMP: "the clamp on {a}",
    How.DISPLAY: "the display",
    How.LAMPS: "the input lamps",
    How.WORKING: "see whether {a} works",
    How.LINE: "what stands on the line, in the book",
    How.MOVES: "watch which way the leaves go",
    How.STRIP: "cores and links at {a} against the drawing",
    How.LENS: "lens and aim of {a}",
    How.PULL: "pull {leaf} with the spring scale",
    How.PLAY: "rock {leaf} at its edge",
    How.FORCE: "the force of {leaf}",
    How.MAINS: "volts AC between {a} and {b}",
    How.HEARD: "press {a} beside the board",
    How.STOP: "lead {leaf} to its open stop",
    How.CAPACITY: "capacity of the battery",
    How.CELL: "battery of {a}",
}


_UNITS = {How.VOLTS: "V", How.CLAMP: "A", How.MAINS: "V AC", How.FORCE: "N", How.PLAY: "mm"}


# Why this one -------------------------------------------------------------------------------------


def why(
    spec: WiringSpec,
    case: Case,
    look: Observation,
    parts: Sequence[tuple[int, Reading]],
    unpaid: Sequence[str],
) -> tuple[str, ...]:
    """Why a look is the best: how it divides what is left, what its readings would leave, what it costs.

    parts: each set that it would leave, with a reading of it. unpaid: what must be fetched or opened first.
    """
    shares = sorted((case.weight(part) / case.total for part, _ in parts), reverse=True)
    if len(parts) == 2 and shares[0] < HALF:
        how = "It halves what is left"
    elif len(parts) == 2:
        how = f"It parts what is left, {shares[0]:.0%} to {shares[1]:.0%} by how likely each is"
    else:
        how = f"It can come out {len(parts)} ways"
    told = f"{how}: {readings(look, parts)}.", cost(spec, look, unpaid)
    if look.state.kind is StateKind.LINKED:
        return (*told, TEST_ONLY)
    return (*told, UNTAUGHT) if look.how is How.HEARD else told


def readings(look: Observation, parts: Sequence[tuple[int, Reading]]) -> str:
    """'24.0 V would leave 6 suspects, 0.0 V 6'."""
    rows = sorted(((part.bit_count(), _shows(look, reading)) for part, reading in parts), reverse=True)
    if any(not text for _, text in rows):
        counts = [str(count) for count, _ in rows]
        if len(counts) == 2:
            return f"one way would leave {counts[0]}, the other {counts[1]}"
        return "they would leave " + _listed(counts)
    told = [f"{text} would leave {count}" for count, text in rows[:MOST_READINGS]]
    rest = len(rows) - MOST_READINGS
    if rest > 0:
        told.append(f"{rest} other{'s' if rest > 1 else ''} fewer still")
    return ", ".join(told)


def _listed(counts: Sequence[str]) -> str:
    few = list(counts[: 2 * MOST_READINGS])
    if len(counts) > len(few):
        few.append("fewer still")
    return f"{', '.join(few[:-1])} and {few[-1]}"


def _shows(look: Observation, reading: Reading) -> str:
    """A reading as the instrument shows it; '' where it is no number."""
    if look.how is How.OHMS:
        return ohms(reading) if isinstance(reading, float) else "OL"
    if not isinstance(reading, float) or look.how not in _UNITS:
        return ""
    digits = 1 if abs(reading) >= 1.0 else 2
    return f"{round(reading, digits) + 0.0:.{digits}f} {_UNITS[look.how]}"


def ohms(value: float) -> str:
    """'8.20 kohm'."""
    return f"{value / 1000.0:.2f} kohm" if value >= 1000.0 else f"{value:.1f} ohm"


def cost(spec: WiringSpec, look: Observation, unpaid: Sequence[str]) -> str:
    """'60 s: 40 to fetch the meter, 20 to place it.'"""
    parts = [f"{setup_seconds(spec, need):.0f} to {_need(need)}" for need in unpaid]
    total = look.seconds + math.fsum(setup_seconds(spec, need) for need in unpaid)
    if not parts:
        return f"It takes {total:.0f} s."
    return f"It takes {total:.0f} s: {', '.join(parts)}, {look.seconds:.0f} for the look itself."


def _need(need: str) -> str:
    verb, _, what = need.partition(" ")
    names = {
        "meter": "the meter",
        "clamp": "the clamp",
        "scale": "the spring scale",
        "tester": "the tester",
        "remote": "and teach your own remote, to be erased again",
        BOARD: "the board",
    }
    return f"{verb} {names.get(what, plain(what))}"
