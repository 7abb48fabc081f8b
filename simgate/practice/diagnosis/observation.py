"""What can be looked at and measured on a site, and what each look costs.

An observation is a way to look (`How`), the state that the gate is brought into for it (`states.py`), and
where the probes go. Fetching an instrument and opening a place cost once; the rest costs each time.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from simgate.bench.radio import OWN
from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.lifted import measured
from simgate.practice.diagnosis.states import HALF, LIFTED, State, StateKind
from simgate.wiring.check import ENCODERS
from simgate.wiring.harness import Harness
from simgate.wiring.mains import EARTH
from simgate.wiring.spec import DeviceKind, WiringSpec
from simgate.wiring.tables import BOARD, COM, LEAF_NAMES, ZERO, board_copper, devices


class How(Enum):
    """Ways to look."""

    VOLTS = "volts"
    OHMS = "ohms"
    CLAMP = "clamp"
    DISPLAY = "display"  # the board's two lines
    LAMPS = "lamps"  # which inputs the board takes as made
    WORKING = "working"  # whether a device shows that it works: a lamp that shines
    LINE = "line"  # what the book says of the line
    MOVES = "moves"  # how the leaves move
    STRIP = "strip"  # cores and links at one place
    LENS = "lens"
    PULL = "pull"  # how heavy a leaf is by hand
    PLAY = "play"  # how much a coupled leaf can be rocked
    FORCE = "force"  # with which a leaf pushes
    MAINS = "volts-ac"  # on the mains side
    HEARD = "heard"  # whether the board hears a remote beside it
    STOP = "stop"  # how far a leaf can be led
    CAPACITY = "capacity"
    CELL = "cell"  # a remote's battery


HOWS = {
    "volts": How.VOLTS, "ohms": How.OHMS, "continuity": How.OHMS, "diode": How.OHMS, "clamp": How.CLAMP,
    "volts-ac": How.MAINS,
}  # fmt: skip
"""By the name of an instrument."""
FETCHED = {
    How.VOLTS: "meter", How.OHMS: "meter", How.CELL: "meter", How.CLAMP: "clamp", How.PULL: "scale",
    How.FORCE: "gauge", How.MAINS: "meter", How.CAPACITY: "tester",
}  # fmt: skip
_MAINS = (
    (f"{BOARD}.MAINS-L", f"{BOARD}.MAINS-N"), (f"{BOARD}.MAINS-L", EARTH), (f"{BOARD}.MAINS-N", EARTH),
    ("isolator.L", EARTH), ("isolator.N", EARTH), ("mains.L", EARTH), ("mains.L", "mains.N"),
)  # fmt: skip
PLACED = {How.CELL: "volts"}
TAKES = {
    StateKind.SPARE: "spare", StateKind.WET: "water", StateKind.WET_CORE_OFF: "water",
    StateKind.LINKED: "link", StateKind.PLUGGED: "plug",
}  # fmt: skip
PICTURED = (
    StateKind.WET, StateKind.WATCHED, StateKind.SPARE, StateKind.LINKED, StateKind.PLUGGED,
    StateKind.ON_BATTERY,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Observation:
    """One look. a, b: points, or a wire or device in `a`. seconds: each time. needs: what must be fetched or
    opened first, once.
    """

    how: How
    state: State
    a: str = ""
    b: str = ""
    seconds: float = 0.0
    needs: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """In trade words."""
        leaf = f"leaf {LEAF_NAMES[int(self.a)]}" if self.a.isdigit() else self.a
        return f"{_WORDS[self.how].format(a=self.a, b=self.b, leaf=leaf)}, {self.state.words}"


_WORDS = {
    How.VOLTS: "volts {a} to {b}",
    How.OHMS: "ohms {a} to {b}",
    How.CLAMP: "clamp on {a}",
    How.DISPLAY: "the display",
    How.LAMPS: "the input lamps",
    How.WORKING: "see whether {a} works",
    How.LINE: "the line in the book",
    How.MOVES: "watch the leaves",
    How.STRIP: "cores and links at {a} against the drawing",
    How.LENS: "lens and aim of {a}",
    How.PULL: "pull {leaf} with the spring scale",
    How.PLAY: "rock {leaf} at its edge",
    How.FORCE: "force of {leaf}",
    How.MAINS: "volts AC {a} to {b}",
    How.HEARD: "press {a} beside the board",
    How.STOP: "lead {leaf} to its open stop",
    How.CAPACITY: "capacity of the battery",
    How.CELL: "cell of {a}",
}


def observations(harness: Harness, states: tuple[State, ...]) -> tuple[Observation, ...]:
    """Everything that can be looked at on a site, in a fixed order."""
    return tuple(priced(harness, how, state, a, b) for how, state, a, b in _all(harness, states))


def priced(harness: Harness, how: How, state: State, a: str, b: str) -> Observation:
    """A look with what it costs and needs."""
    table = costs()
    seconds = table.to_place(PLACED.get(how, how.value)) + table.of_state(state.kind.value)
    needs = [f"fetch {FETCHED[how]}"] if how in FETCHED else []
    if how in (How.CLAMP, How.STRIP, How.LENS):
        owners = [a] if how is not How.CLAMP else [harness.wire(a).spec.a.rpartition(".")[0]]
    elif how in (How.VOLTS, How.OHMS):
        owners = [point.rpartition(".")[0] for point in (a, b) if point not in (ZERO, COM)] or [BOARD]
    elif how is How.MAINS:
        owners = [a.rpartition(".")[0]]
    else:
        owners = []
    if state.kind is StateKind.SPARE:
        owners = [state.of]
    elif state.kind in LIFTED:
        owners.append(harness.wire(state.of).spec.a.rpartition(".")[0])
    elif state.kind in (StateKind.LINKED, StateKind.PLUGGED):
        owners = [BOARD]
    if state.kind in TAKES:
        needs.append(f"fetch {TAKES[state.kind]}")
    elif (how, a) == (How.HEARD, OWN.name):
        needs.append("fetch remote")
    needs += [f"open {owner}" for owner in dict.fromkeys(owners)]
    return Observation(how, state, a, b, seconds, tuple(needs))


def setup_seconds(spec: WiringSpec, need: str) -> float:
    """Seconds of something to fetch or to open."""
    table = costs()
    verb, _, what = need.partition(" ")
    if verb == "fetch":
        return table.to_fetch(what)
    if what == BOARD:
        return table.open.board
    known = any(device.name == what for device in spec.devices)
    return table.open.device if known else table.open.joint


def _all(harness: Harness, states: tuple[State, ...]) -> Iterator[tuple[How, State, str, str]]:
    spec, points = harness.spec, harness.points()
    by_kind = {state.kind: state for state in states}
    rest, dead = by_kind[StateKind.REST], by_kind[StateKind.DEAD]
    cores = [(wire.a, wire.b) for wire in spec.wires]
    inside = [
        (f"{device.name}.{part.a}", f"{device.name}.{part.b}")
        for device in spec.devices
        for part in devices()[device.kind.value].part
    ]
    across = list(dict.fromkeys((*cores, *inside)))
    yield How.DISPLAY, rest, "", ""
    yield How.LAMPS, rest, "", ""
    if harness.heads:
        yield How.LINE, rest, "", ""
    for how, state in ((How.VOLTS, rest), (How.OHMS, dead)):
        for reference in (ZERO, COM):
            for point in points:
                if point != reference and (point, reference) != (COM, ZERO):
                    yield how, state, point, reference
        for a, b in across:
            if b not in (ZERO, COM):
                yield how, state, a, b
    for wire in spec.wires:
        yield How.CLAMP, rest, wire.name, ""
    screws = [f"{BOARD}.{name}" for name in _input_screws(spec.leaves)]
    for state in states:
        if state.kind is StateKind.WORKED:
            yield How.LAMPS, state, "", ""
            yield How.DISPLAY, state, "", ""
            for screw in screws:
                yield How.VOLTS, state, screw, ZERO
            for a, b in inside:
                if a.startswith(f"{state.of}."):
                    yield How.VOLTS, state, a, b
        elif state.kind is StateKind.SWUNG:
            yield How.LAMPS, state, "", ""
            if state.share == HALF:
                yield How.PULL, state, str(state.leaf), ""
        elif state.kind is StateKind.CORE_OFF:
            for a, b in measured(harness.wire(state.of).spec):
                yield How.OHMS, state, a, b
        elif state.kind is StateKind.WET_CORE_OFF:
            if (far := harness.wire(state.of).spec.b) != ZERO:
                yield How.OHMS, state, far, ZERO
        elif state.kind in PICTURED:
            yield How.LAMPS, state, "", ""
            yield How.DISPLAY, state, "", ""
            if state.kind is StateKind.WET:
                for screw in screws:
                    yield How.VOLTS, state, screw, ZERO
                for wire in spec.wires:
                    yield How.CLAMP, state, wire.name, ""
        elif state.kind is StateKind.TUGGED:
            for a, b in cores:
                yield How.OHMS, state, a, b
        elif state.kind in (StateKind.STALLED, StateKind.FULL_FORCE):
            yield How.FORCE, state, str(state.leaf), ""
            if state.kind is StateKind.FULL_FORCE:
                own = f"{BOARD}.MOTOR-{LEAF_NAMES[state.leaf]}+"
                for wire in spec.wires:
                    if own in (wire.a, wire.b):
                        yield How.CLAMP, state, wire.name, ""
        elif state.kind is StateKind.DEAD_SWUNG:
            for a, b in cores:
                yield How.OHMS, state, a, b
        elif state.kind is StateKind.JOG:
            yield How.MOVES, state, "", ""
            yield How.LAMPS, state, "", ""
            yield How.DISPLAY, state, "", ""
            yield from _jogged(harness, state)
    yield from _by_eye(harness, rest)


def _jogged(harness: Harness, state: State) -> Iterator[tuple[How, State, str, str]]:
    """Lamps that shine meanwhile, and what the motors get."""
    shining = (DeviceKind.LAMP, DeviceKind.LIGHT, DeviceKind.LOCK)
    for device in harness.spec.devices:
        if device.kind in shining:
            yield How.WORKING, state, device.name, ""
            yield How.VOLTS, state, f"{device.name}.1", f"{device.name}.2"
        elif device.kind is DeviceKind.MOTOR and device.leaf == state.leaf:
            yield How.VOLTS, state, f"{device.name}.1", f"{device.name}.2"
        elif device.kind in ENCODERS and device.leaf == state.leaf:
            yield How.WORKING, state, device.name, ""
        else:
            continue
        for wire in harness.spec.wires:
            ends = (wire.a, wire.b)
            if any(point.startswith(f"{device.name}.") for point in ends):
                yield How.VOLTS, state, wire.a, wire.b
                yield How.CLAMP, state, wire.name, ""


def _by_eye(harness: Harness, rest: State) -> Iterator[tuple[How, State, str, str]]:
    owners = [point.rpartition(".")[0] for point in harness.points()]
    for owner in dict.fromkeys(owners):
        yield How.STRIP, rest, owner, ""
    for device in harness.spec.devices:
        if device.kind is DeviceKind.BEAM or device.head is not None:
            yield How.LENS, rest, device.name, ""
    for leaf in range(harness.spec.leaves):
        yield How.PULL, rest, str(leaf), ""
        yield How.STOP, rest, str(leaf), ""
        yield How.PLAY, rest, str(leaf), ""
    if harness.battery is not None:
        yield How.CAPACITY, rest, "battery", ""
    for remote in harness.remotes:
        yield How.CELL, rest, remote, ""
        yield How.HEARD, rest, remote, ""
    if harness.remotes:
        yield How.HEARD, rest, OWN.name, ""
    for a, b in _MAINS:
        yield How.MAINS, rest, a, b


def _input_screws(leaves: int) -> tuple[str, ...]:
    table = board_copper()
    ends = [name.format(leaf=leaf) for leaf in LEAF_NAMES[:leaves] for name in table.leaf_inputs]
    return (*table.inputs, *ends)
