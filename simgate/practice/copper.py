"""Whether a guard was made to look healthy by copper alone, with no contact of a device in between.

A link from STOP to COM, a link across the button in the post and a core moved to another screw all come
to the same thing. Looking for one kind of link would miss the others, so screws are followed instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from simgate.bench.record import Snapshot
from simgate.wiring.spec import DeviceKind, WiringSpec

_CONTACTS = {DeviceKind.BUTTON_NC: ("1", "2"), DeviceKind.BEAM: ("nc1", "nc2")}


def linked_out(terminal: str, snapshot: Snapshot, plan: WiringSpec | None) -> bool:
    """Whether an input terminal is joined to COM by copper alone, and the plan does not say so.

    plan: the site as meant, where an input not in use is linked; None when that is no excuse.
    """
    screw = f"board.{terminal}"
    if plan is not None and screw in reached("board.COM", _planned(plan)):
        return False
    return screw in reached("board.COM", _joined(snapshot))


def bridged_devices(snapshot: Snapshot, plan: WiringSpec) -> Iterator[str]:
    """Labels of guards whose normally closed contact has copper round it that the plan has not."""
    joined, planned = tuple(_joined(snapshot)), tuple(_planned(plan))
    for device in plan.devices:
        if device.kind in _CONTACTS:
            one, other = (f"{device.name}.{terminal}" for terminal in _CONTACTS[device.kind])
            if other in reached(one, joined) and other not in reached(one, planned):
                yield device.label


def _joined(snapshot: Snapshot) -> Iterator[tuple[str, str]]:
    yield from snapshot.links
    yield from ((wire.a, wire.b) for wire in snapshot.wires if not wire.undone)


def _planned(plan: WiringSpec) -> Iterator[tuple[str, str]]:
    yield from plan.links
    yield from ((wire.a, wire.b) for wire in plan.wires)


def reached(start: str, joints: Iterable[tuple[str, str]]) -> frozenset[str]:
    """Every screw that copper joins to `start`, itself included."""
    neighbours: dict[str, list[str]] = {}
    for a, b in joints:
        neighbours.setdefault(a, []).append(b)
        neighbours.setdefault(b, []).append(a)
    found, edge = {start}, [start]
    while edge:
        for screw in neighbours.get(edge.pop(), ()):
            if screw not in found:
                found.add(screw)
                edge.append(screw)
    return frozenset(found)
