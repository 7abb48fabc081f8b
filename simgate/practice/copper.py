"""Whether working a guard still opens its terminal at the board, with the copper as hands left it.

A link from STOP to COM, a feed from AUX+, a core moved past a button and one moved to another screw all
come to the same thing: somebody presses and nothing happens. Looking for one kind of copper would miss
the others, so every guard is worked in the real network and its terminal is read, as the board reads it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from simgate.bench.record import Snapshot
from simgate.board.inputs import EDGE, Band, level
from simgate.board.stimuli import INPUTS, NORMALLY_CLOSED, Input
from simgate.wiring.fitting import FOOT, FOOT_OHMS
from simgate.wiring.harness import Harness
from simgate.wiring.spec import DeviceKind, WiringSpec

Guard = tuple[str, str]  # (device, terminal): the contact of that device opens that terminal
Link = tuple[str, str]

_EDGES = (DeviceKind.EDGE, DeviceKind.EDGE_THROUGH)  # worked, their contact makes; others open
_CONTACTS = (DeviceKind.BUTTON_NC, DeviceKind.BEAM, *_EDGES)
CONDUCTORS = ("conductor 1", "conductor 2")  # of an edge that is wired through
_TERMINALS = tuple((terminal.value, INPUTS.index(terminal)) for terminal in (*NORMALLY_CLOSED, Input.EDGE))


@lru_cache(maxsize=16)
def guards(plan: WiringSpec) -> tuple[Guard, ...]:
    """Every guard of a site as it is meant."""
    harness = Harness(plan)
    at_rest = harness.solve(harness.word_at_rest()).inputs
    made = [terminal for terminal, index in _TERMINALS if _made(index, at_rest[index], False)]
    devices = [device.name for device in plan.devices if device.kind in _CONTACTS]
    return tuple(
        (device, terminal)
        for device in devices
        for terminal in made
        if terminal not in _staying_up(harness, device)
    )


def defeated(plan: WiringSpec, snapshot: Snapshot, hidden: frozenset[Link]) -> tuple[Guard, ...]:
    """Guards of the plan that no longer open their terminal, in the order of `guards`.

    hidden: links that are a fault of the job and not the work of the hands that are judged.
    Only what hands do is looked at: a parted core, a tired joint or a blown fuse counts as whole, or a
    link would pass for harmless until the day somebody mends the fault beside it. A core that hangs
    free is tried both as it hangs and back on its screws, for the same reason.
    """
    coppers = [_as_left(plan, snapshot, hidden, made_good) for made_good in (False, True)]
    up = {
        device: {terminal for copper in coppers for terminal in _staying_up(copper, device)}
        for device in dict(guards(plan))
    }
    return tuple((device, terminal) for device, terminal in guards(plan) if terminal in up[device])


def _as_left(plan: WiringSpec, snapshot: Snapshot, hidden: frozenset[Link], made_good: bool) -> Harness:
    """The site's copper with every core and link where hands left it. made_good: no core hangs free."""
    harness = Harness(plan)
    for wire in snapshot.wires:
        if not (wire.undone and made_good):
            core = harness.wire(wire.name)
            core.a, core.b, core.undone = wire.a, wire.b, wire.undone
    for edge, ended in snapshot.edge_ends:
        if ended:
            harness.fitting(edge).ohms[FOOT] = FOOT_OHMS
    if snapshot.plug is not None:
        harness.put_plug(snapshot.plug)
    harness.changed()
    links = {frozenset(link): link for link in snapshot.links if frozenset(link) not in _pairs(hidden)}
    for link in plan.links:
        if frozenset(link) not in links:
            harness.remove_link(*link)
    for pair, link in links.items():
        if pair not in _pairs(plan.links):
            harness.add_link(*link)
    return harness


def unwatched_edges(plan: WiringSpec, snapshot: Snapshot) -> tuple[str, ...]:
    """Edges that could break inside, anywhere along their length, and EDGE would go on as if they were whole.

    Only what is in series with the end resistor is watched by the board; an edge that hangs beside it is
    not, although it still stops the gate when it is pressed.
    """
    broken = []
    for edge, _ in snapshot.edge_ends:
        for conductor in CONDUCTORS:
            harness = _as_left(plan, snapshot, frozenset(), made_good=False)
            harness.fitting(edge).kill(conductor, on=True)
            harness.changed()
            if Band().healthy(harness.solve(harness.word_at_rest()).inputs[EDGE]) and edge not in broken:
                broken.append(edge)
    return tuple(broken)


def _pairs(links: frozenset[Link] | tuple[Link, ...]) -> list[frozenset[str]]:
    return [frozenset(link) for link in links]


def _staying_up(harness: Harness, device: str) -> tuple[str, ...]:
    """Terminals that the board goes on taking as made while `device` is worked."""
    readings = tuple(_readings(harness, device))
    return tuple(
        terminal
        for terminal, index in _TERMINALS
        if any(_made(index, volts[index], True) for volts in readings)
    )


def _made(index: int, volts: float, before: bool) -> bool:
    """Whether an input at `volts` reads as made; EDGE does while its edge is at rest (default bands)."""
    return Band().healthy(volts) if index == EDGE else level(volts, before)


def _readings(harness: Harness, device: str) -> Iterator[tuple[float, ...]]:
    """Volts at the inputs with one device worked: the gate at rest, and at work either way.

    At work means lamp and motors driven and every call held: a guard that is fed from one of those acts
    late or not at all just while it is needed.
    """
    rest = harness.word_at_rest()
    contact, kind = harness.contacts[device], harness.fitting(device).spec.kind
    flip = contact if kind in _EDGES else 0
    yield harness.solve(rest & ~contact | flip).inputs
    work = rest
    edges = [one.name for one in harness.spec.devices if one.kind in _EDGES]
    for name, bit in harness.contacts.items():
        if name not in edges:
            work |= bit
    leaves = harness.spec.leaves
    for duty in (1.0, -1.0):
        yield harness.solve_live(work & ~contact | flip, (duty,) * leaves, (0.0,) * leaves).inputs
