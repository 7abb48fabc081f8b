"""Whether the copper of a site, as written, can be built at all; every mistake at once.

A wire to a screw that does not exist would otherwise be a wire to nowhere: the site would load, and
the trade person would look for a fault that only the file has.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from simgate.files import Problem, UserError, nearest, shown
from simgate.wiring.marking import MOST_NUMBER
from simgate.wiring.spec import DeviceKind, DeviceSpec, WireSpec, WiringSpec
from simgate.wiring.tables import BOARD, board_copper, conductors, contacts_of, devices, strip

FILE = "wiring"
ENCODERS = (DeviceKind.ENCODER, DeviceKind.PLACE_ENCODER)
ENDS = (DeviceKind.END_NC, DeviceKind.END_NO)
ONE_PER_LEAF = {"motor": (DeviceKind.MOTOR,), "encoder": ENCODERS}
ON_A_LEAF = (DeviceKind.MOTOR, *ENCODERS, *ENDS)
RESERVED = "|/"  # '|' joins two names in a fault's place, '/' marks parts that are no wires


def check(spec: WiringSpec) -> None:
    """Raises UserError with everything that is wrong with `spec`."""
    problems = list(_mistakes(spec))
    if problems:
        raise UserError(problems)


def board_points(leaves: int) -> tuple[str, ...]:
    """The board's screws as points, in the order of its strips."""
    return tuple(f"{BOARD}.{name}" for name in strip(leaves))


def terminals(kind: DeviceKind) -> tuple[str, ...]:
    """Names of a device's screws."""
    return tuple(devices()[kind.value].terminals)


def points(spec: WiringSpec) -> tuple[str, ...]:
    """Every point where a probe can touch: board, devices as listed, joints by name."""
    known = list(fixed_points(spec))
    joints = {point for wire in spec.wires for point in (wire.a, wire.b)}
    joints.update(point for link in spec.links for point in link)
    return tuple(known + sorted(joints.difference(known)))


def fixed_points(spec: WiringSpec) -> tuple[str, ...]:
    """The screws of board and devices; what else wires meet at is a joint in a box or post."""
    own = [f"{device.name}.{terminal}" for device in spec.devices for terminal in terminals(device.kind)]
    return (*board_points(spec.leaves), *own)


def problem(where: str, found: str, allowed: str) -> Problem:
    """A mistake in the copper, or in what a hand wants to do to it."""
    return Problem(FILE, where, found, allowed)


def _mistakes(spec: WiringSpec) -> Iterator[Problem]:
    if spec.leaves not in (1, 2):
        yield problem("leaves", str(spec.leaves), "1 or 2")
        return
    for name, value in (("volts", spec.supply.volts), ("resistance", spec.supply.resistance)):
        if not 0.0 < value < math.inf:
            yield problem(f"supply {name}", shown(value), "a number above zero")
    yield from _names(spec)
    for device in spec.devices:
        yield from _device(device, spec)
    sizes = {core.size_mm2 for core in conductors().core}
    for wire in spec.wires:
        yield from _wire(wire, sizes)
    yield from _numbers(spec)
    yield from _ends(spec)


def _names(spec: WiringSpec) -> Iterator[Problem]:
    worked = [name for d in spec.devices for name in contacts_of(d.name, d.kind.value)]
    for kind, names in (
        ("wire", [wire.name for wire in spec.wires]),
        ("contact", [*board_copper().contacts, *worked]),
        ("device", [BOARD, *(device.name for device in spec.devices)]),
    ):
        for name, count in Counter(names).items():
            if count > 1:
                yield problem(kind, f"'{name}' {count} times", "a name of its own, not one of the board's")
            if not name or any(mark in name for mark in RESERVED):
                yield problem(kind, shown(name), "a name without '|' and '/'")
    for thing, kinds in ONE_PER_LEAF.items():
        leaves = Counter(device.leaf for device in spec.devices if device.kind in kinds)
        for leaf, count in leaves.items():
            if count > 1:
                yield problem(thing, f"{count} {thing}s on leaf {leaf}", f"one {thing} for each leaf")


def _device(device: DeviceSpec, spec: WiringSpec) -> Iterator[Problem]:
    where = f"device '{device.name}'"
    if device.kind not in ON_A_LEAF:
        return
    if device.leaf is None or not 0 <= device.leaf < spec.leaves:
        yield problem(where, f"leaf {device.leaf}", f"0 to {spec.leaves - 1}")
    if device.kind is not DeviceKind.MOTOR:
        return
    if device.winding is None or not 0.0 < device.winding < math.inf:
        yield problem(where, f"winding of {device.winding} ohm", "a number above zero")


def _wire(wire: WireSpec, sizes: set[float]) -> Iterator[Problem]:
    where = f"wire '{wire.name}'"
    if not 0.0 <= wire.length < math.inf:
        yield problem(where, f"length of {wire.length} m", "zero or more")
    if wire.size not in sizes:
        yield problem(where, f"{wire.size:g} mm2", ", ".join(f"{size:g}" for size in sorted(sizes)))
    if wire.a == wire.b:
        yield problem(where, f"both ends at {wire.a}", "two different points")


def _numbers(spec: WiringSpec) -> Iterator[Problem]:
    """Two ferrules that say the same would send somebody along the wrong core."""
    first: dict[int, str] = {}
    for wire in spec.wires:
        if not 0 <= wire.number <= MOST_NUMBER:
            yield problem(f"wire '{wire.name}'", f"number {wire.number}", f"1 to {MOST_NUMBER}")
        elif wire.number and first.setdefault(wire.number, wire.name) != wire.name:
            other = first[wire.number]
            yield problem(
                f"wire '{wire.name}'", f"number {wire.number} of '{other}' again", "each number once"
            )


def _ends(spec: WiringSpec) -> Iterator[Problem]:
    """A joint needs two ends in it; one alone is most often a misspelt screw."""
    fixed = fixed_points(spec)
    owners = {point.rpartition(".")[0] for point in fixed}
    ends = [(f"wire '{wire.name}'", point) for wire in spec.wires for point in (wire.a, wire.b)]
    ends += [("link", point) for link in spec.links for point in link]
    count = Counter(point for _, point in ends)
    for where, point in ends:
        owner, dot, terminal = point.rpartition(".")
        if point in fixed:
            continue
        if not (owner and dot and terminal) or owner in owners or count[point] < 2:
            yield problem(where, shown(point), f"a screw, or a joint of two wires; {nearest(point, fixed)}")
    seen: set[frozenset[str]] = set()
    for link in spec.links:
        if len(set(link)) != 2 or frozenset(link) in seen:
            yield problem("link", shown(link), "two different points, once")
        seen.add(frozenset(link))
