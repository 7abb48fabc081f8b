"""From the state of a site's copper to the parts of its network.

The one place where a wire, a link, a device or a fault becomes ohms. A fault that changed a reading
in any other way would be a flag, and a second instrument would give it away.

Names of parts: a wire has its own; others are 'board/...', 'device/part', 'link/a|b', 'bridge/a|b'.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from simgate.wiring.fitting import FOOT_OHMS, Fitting
from simgate.wiring.network import Part
from simgate.wiring.spec import WireSpec, WiringSpec
from simgate.wiring.tables import (
    BOARD,
    LEAF_NAMES,
    ZERO,
    BoardPart,
    board_copper,
    conductors,
    core_ohms,
    devices,
)

SUPPLY = "board/supply"
BATTERY = "board/battery"
BRIDGE_OHMS = 0.1  # two bare cores pressed together: a poor contact, yet far below anything in the circuit
ENDS = ("from", "to")


class Wire:
    """A wire as it stands now. parted: broken inside its insulation. added: ohm of a tired joint.

    thin: ohm of a core that is too thin. leak: ohm from its far end to 0 V, 0 for none; wet: the same in
    full rain. flicker: % of a leaf's travel at which it opens, chatter: s from one break by itself to the
    next; 0 for a whole one.

    Rewritten by hands and faults; `Harness.changed` must be called afterwards.
    """

    __slots__ = ("a", "added", "b", "chatter", "flicker", "leak", "parted", "spec", "thin", "undone", "wet")

    def __init__(self, spec: WireSpec) -> None:
        self.spec = spec
        self.renew()

    def renew(self) -> None:
        """Whole, tight, and at its own terminals."""
        self.a, self.b = self.spec.a, self.spec.b
        self.undone = self.parted = False
        self.added = self.thin = self.leak = self.flicker = self.wet = self.chatter = 0.0

    def end(self, which: str) -> str:
        """The point of its 'from' or its 'to' end."""
        return self.a if which == "from" else self.b

    def put(self, which: str, point: str) -> None:
        """Put its 'from' or its 'to' end at another point."""
        if which == "from":
            self.a = point
        else:
            self.b = point

    def part(self, flicker: int, chatter: int) -> Part:
        """The core with a screw joint at each end. flicker: bit that opens one which flickers; chatter: one
        that breaks by itself.
        """
        ohms = (
            core_ohms(self.spec.length, self.spec.size)
            + 2 * conductors().screw_joint_ohms
            + self.added
            + self.thin
        )
        siemens = 0.0 if self.undone or self.parted else 1.0 / ohms
        bit = flicker if self.flicker else chatter if self.chatter else None
        return Part(self.spec.name, self.a, self.b, siemens, bit=bit)


def bridge_source(leaf: int) -> str:
    """Name of the source that stands for the motor bridge of a leaf."""
    return f"{BOARD}/bridge {LEAF_NAMES[leaf]}"


def winding(device: str) -> str:
    """Name of the winding of a motor; its source is the back-emf, terminal 1 positive."""
    return f"{device}/winding"


def inner_nodes(leaves: int) -> tuple[str, ...]:
    """Nodes of the board that no probe can reach."""
    table = board_copper()
    per_leaf = [name.format(leaf=leaf) for leaf in LEAF_NAMES[:leaves] for name in table.leaf_inner]
    return tuple(f"{BOARD}.{name}" for name in [*table.inner, *per_leaf])


def board_rows(leaves: int) -> Iterator[BoardPart]:
    """The board's parts for its number of leaves."""
    table = board_copper()
    yield from table.part
    for leaf in LEAF_NAMES[:leaves]:
        yield from (row.on(leaf) for row in table.leaf_part)


def fused_parts(leaves: int, fuse: str) -> tuple[str, ...]:
    """Names of the board's parts that carry their current through one fuse."""
    return tuple(f"{BOARD}/{row.name}" for row in board_rows(leaves) if row.fuse == fuse)


def board_parts(
    spec: WiringSpec,
    bits: Mapping[str, int],
    blown: Collection[str],
    supply: float,
    soft: float,
    battery: float,
) -> Iterator[Part]:
    """The board's own copper. bits: number of each contact's bit. blown: fuses. supply, battery: V. soft:
    ohm of the supply.
    """
    volts = {"supply": supply, "battery": battery, "logic": board_copper().logic_volts}
    for row in board_rows(spec.leaves):
        ohms = row.ohms + (soft if row.source == "bridge" else 0.0)
        if row.source == "battery" and spec.supply.battery is not None:
            ohms = spec.supply.battery.ohms
        yield Part(
            f"{BOARD}/{row.name}",
            f"{BOARD}.{row.a}",
            f"{BOARD}.{row.b}",
            0.0 if row.fuse in blown else 1.0 / ohms,
            volts.get(row.source, 0.0),
            bits[row.contact] if row.contact else None,
        )


def device_parts(fitting: Fitting, bits: Mapping[str, int]) -> Iterator[Part]:
    """What stands between the screws of one device as it is now."""
    device = fitting.spec
    for row in devices()[device.kind.value].part:
        ohms = fitting.ohms.get(row.name) or (device.winding or 0.0 if row.winding else row.ohms)
        a, b = f"{device.name}.{row.a}", f"{device.name}.{row.b}"
        bit = bits[f"{device.name}-{row.own}" if row.own else device.name] if row.contact else None
        if fitting.welded:
            bit = None
        missing = row.name in fitting.dead or (row.absent and row.name not in fitting.ohms)
        siemens = 0.0 if missing else 1.0 / ohms
        yield Part(f"{device.name}/{row.name}", a, b, siemens, bit=bit)


def leak_parts(wires: Iterable[Wire], rain: float) -> Iterator[Part]:
    """Ways to 0 V where there should be none. rain: 0 to 1."""
    for wire in wires:
        if wire.b == ZERO:
            continue
        if wire.leak:
            yield Part(f"leak/{wire.spec.name}", wire.b, ZERO, 1.0 / wire.leak)
        if wire.wet and rain:
            yield Part(f"wet/{wire.spec.name}", wire.b, ZERO, rain / wire.wet)


def link_parts(links: Iterable[tuple[str, str]]) -> Iterator[Part]:
    """Short links between two screws."""
    for a, b in links:
        yield Part(f"link/{a}|{b}", a, b, 1.0 / conductors().link_ohms)


def plug_parts(points: tuple[str, str] | None) -> Iterator[Part]:
    """The test plug across two points."""
    if points is not None:
        yield Part(f"plug/{points[0]}|{points[1]}", *points, 1.0 / FOOT_OHMS)


def touching(one: Wire, other: Wire) -> tuple[str, str]:
    """Where two cores touch: at the far end of the first, and at that end of the second which lies there.

    Out in one core and back in the other of one cable, that is where the second begins.
    """
    there = one.spec.b.rpartition(".")[0]
    back = there == other.spec.a.rpartition(".")[0] != other.spec.b.rpartition(".")[0]
    return one.b, other.a if back else other.b


def bridge_parts(pairs: Iterable[tuple[str, str]], wires: Mapping[str, Wire]) -> Iterator[Part]:
    """Two cores rubbed bare against each other at their far ends."""
    for one, other in pairs:
        yield Part(f"bridge/{one}|{other}", *touching(wires[one], wires[other]), 1.0 / BRIDGE_OHMS)
