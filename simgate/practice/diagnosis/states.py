"""The states that a gate is brought into for a look: at rest, dead, a device worked, a leaf led or jogged, a
core taken off, something of the toolbag put in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from simgate.bench.site import Site
from simgate.wiring.spec import DeviceKind, WiringSpec
from simgate.wiring.tables import BOARD, COM, LEAF_NAMES, contacts_of

EDGE = f"{BOARD}.EDGE"

WORKED = (
    DeviceKind.BUTTON_NC, DeviceKind.BUTTON_NO, DeviceKind.KEY, DeviceKind.EDGE, DeviceKind.EDGE_THROUGH,
    DeviceKind.LOOP_NO, DeviceKind.LOOP_NC,
)  # fmt: skip


class StateKind(Enum):
    """Kinds of state; the values are the keys of [state] in costs.toml."""

    REST = "rest"  # mains on, nothing touched, gate shut
    DEAD = "dead"  # mains and battery off
    WORKED = "worked"  # a button pressed, an edge pressed, a vehicle on a loop, somebody in a beam
    SWUNG = "swung"  # a leaf released and led by hand, board powered
    DEAD_SWUNG = "dead-swung"  # led by hand, isolated: for ohms
    JOG = "jog"  # a leaf jogged open
    STALLED = "stalled"  # jogged open against a force gauge
    FULL_FORCE = "full-force"  # let stall with force and slow speed at their most: up to an oil drive's valve
    WET = "wet"  # water poured over boxes and cables
    WATCHED = "watched"  # for a minute, nothing touched
    TUGGED = "tugged"  # isolated, each core tugged
    SPARE = "spare"  # a spare beam connected in place of one
    CORE_OFF = "core-off"  # isolated, one core off its screw
    WET_CORE_OFF = "wet-core-off"  # the same with water poured
    LINKED = "linked"  # a test link from COM to an input that a guard should hold
    PLUGGED = "plugged"  # the test plug at the board in place of the edge
    ON_BATTERY = "on-battery"  # the mains shut out, the battery left on


AT_REST = (StateKind.REST, StateKind.DEAD, StateKind.WET, StateKind.WATCHED, StateKind.TUGGED)
LIFTED = (StateKind.CORE_OFF, StateKind.WET_CORE_OFF)
LINKABLE = ("STOP", "GUARD-O", "GUARD-C")  # inputs that a closed contact must hold
# Looks in such a state cannot be taken at the bench (it has no force gauge, no core is tugged), or a run does
# not show that they were.
NO_HANDS = (
    StateKind.STALLED, StateKind.FULL_FORCE, StateKind.TUGGED, StateKind.DEAD_SWUNG, StateKind.WATCHED,
)  # fmt: skip
HALF = 0.5  # of its travel, where a leaf is pulled as well as shut


@dataclass(frozen=True, slots=True)
class State:
    """One state. of: the contact that is worked, the beam that a spare one stands for, the core that is off,
    the input that is linked. leaf, share: the leaf that is led and how far, 0 to 1; share None for slowly all
    the way.
    """

    kind: StateKind
    of: str = ""
    leaf: int = 0
    share: float | None = None

    @property
    def words(self) -> str:
        """In trade words."""
        leaf = LEAF_NAMES[self.leaf]
        if self.kind is StateKind.SWUNG:
            how = "slowly all the way" if self.share is None else f"to {self.share:.0%} open"
            return f"leaf {leaf} led by hand {how}"
        if self.kind is StateKind.DEAD_SWUNG:
            return f"isolated, leaf {leaf} led by hand slowly all the way"
        return {
            StateKind.REST: "mains on, at rest",
            StateKind.DEAD: "isolated and proved dead",
            StateKind.WORKED: f"while {self.of} is worked",
            StateKind.JOG: f"while leaf {leaf} is jogged open",
            StateKind.STALLED: f"leaf {leaf} jogged open against a force gauge",
            StateKind.FULL_FORCE: (
                f"leaf {leaf} let stall on a force gauge close before it, force and slow speed at their most"
            ),
            StateKind.WET: "with water poured over boxes and cables",
            StateKind.WATCHED: "watched for a minute, nothing touched",
            StateKind.TUGGED: "isolated, each core tugged",
            StateKind.SPARE: f"with a spare beam connected instead of {self.of}",
            StateKind.CORE_OFF: f"isolated, core {self.of} off its screw",
            StateKind.WET_CORE_OFF: f"isolated and wetted, core {self.of} off its screw",
            StateKind.LINKED: f"with a test link from COM to {self.of} at the board, for this look only",
            StateKind.PLUGGED: "with the test plug at the board instead of the edge",
            StateKind.ON_BATTERY: "mains shut out, on the battery",
        }[self.kind]


def states(site: Site) -> tuple[State, ...]:
    """The states of a site, at rest first."""
    spec = site.wiring
    found = [State(kind) for kind in AT_REST]
    for device in spec.devices:
        if device.kind in WORKED:
            found += [State(StateKind.WORKED, name) for name in contacts_of(device.name, device.kind.value)]
    found += [State(StateKind.WORKED, beam.name) for beam in site.across]
    found += [State(StateKind.SPARE, beam.name) for beam in site.beams]
    for leaf in range(spec.leaves):
        found.append(State(StateKind.SWUNG, leaf=leaf))
        reach = site.plant.leaves[leaf][0].reach
        shares = {0.0, HALF, 1.0}
        for end in site.ends:
            if end.leaf == leaf:  # a little before it should be worked
                place = end.place / reach
                shares.add(round(place - 0.04 if end.open else place + 0.04, 3))
        found += [State(StateKind.SWUNG, leaf=leaf, share=share) for share in sorted(shares) if share]
        found += [State(StateKind.DEAD_SWUNG, leaf=leaf), State(StateKind.JOG, leaf=leaf)]
        found.append(State(StateKind.STALLED, leaf=leaf))
        if leaf in spec.oil:
            found.append(State(StateKind.FULL_FORCE, leaf=leaf))
    return (*found, *_by_hand(spec))


def _by_hand(spec: WiringSpec) -> Iterator[State]:
    """What hands with a screwdriver, a link and a plug bring about."""
    for kind in LIFTED:
        yield from (State(kind, wire.name) for wire in spec.wires)
    meant = [frozenset(link) for link in spec.links]
    for name in LINKABLE:
        if frozenset((COM, f"{BOARD}.{name}")) not in meant:
            yield State(StateKind.LINKED, name)
    if cores_at(spec, EDGE):
        yield State(StateKind.PLUGGED)
    if spec.supply.battery is not None:
        yield State(StateKind.ON_BATTERY)


def cores_at(spec: WiringSpec, screw: str) -> tuple[str, ...]:
    """The cores that are meant to be on a screw."""
    return tuple(wire.name for wire in spec.wires if screw in (wire.a, wire.b))
