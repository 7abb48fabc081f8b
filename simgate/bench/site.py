"""A site file: the iron and copper of one invented place, read, checked and turned into specs.

This is the only place where mm and degrees become m and rad for the plant, and where a trainer's
mistakes in a site (a wire to nowhere, two leaves called A) are found before anything runs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta, field

from simgate.bench.site_devices import (
    LineBeam,
    LineBeamFile,
    RemoteFile,
    device_problems,
    heads,
    line_beam,
    remote,
)
from simgate.bench.site_iron import LeafFile, leaf_problems, leaf_specs
from simgate.board.signals import LEAVES
from simgate.files import Document, Problem, Shape, UserError, find, line_of, nearest, read, shown
from simgate.plant.spec import LeafKind, LockSpec, PlantSpec
from simgate.wiring.battery import BatterySpec
from simgate.wiring.check import board_points, check, terminals
from simgate.wiring.spec import DeviceKind, DeviceSpec, SupplySpec, WireSpec, WiringSpec

Positive = Annotated[float, Meta(gt=0)]
NotNegative = Annotated[float, Meta(ge=0)]
Name = Annotated[
    str,
    Meta(
        pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60, description="up to 60 small letters, digits and '-'"
    ),
]
MOST = Meta(max_length=200)  # of wires or devices; far above any gate, and the copper can still be solved


class BeamFile(Shape, frozen=True):
    """[[beam]]: a photocell with relay output; offset_m from the gate line, outside positive."""

    name: Name
    label: str
    offset_m: float


class ButtonFile(Shape, frozen=True):
    """[[button]]: anything with one contact that a hand works."""

    name: Name
    label: str
    contact: Literal["normally closed", "normally open"]


class KeyFile(Shape, frozen=True):
    """[[key]]: a key switch that springs back: turned one way it calls, the other way in part."""

    name: Name
    label: str


class EdgeFile(Shape, frozen=True):
    """[[edge]]: a sensitive edge; through: without a resistor, to be wired on. leaf: it sits on that one."""

    name: Name
    label: str
    leaf: Literal["A", "B"] | None = None
    through: bool = False


class ResistorFile(Shape, frozen=True):
    """[[resistor]]: an end-of-line resistor for edges that are wired through."""

    name: Name
    label: str


class EndFile(Shape, frozen=True):
    """[[end]]: an end switch, worked by the leaf from so far before its stop; degrees, or mm for a slide."""

    name: Name
    label: str
    leaf: Literal["A", "B"]
    at: Literal["open", "shut"]
    contact: Literal["normally closed", "normally open"]
    before_deg: Annotated[float, Meta(ge=0, le=90)] | None = None
    before_mm: Annotated[float, Meta(ge=0, le=5000)] | None = None


class EncoderFile(Shape, frozen=True):
    """[[encoder]]: of a leaf's drive. pulses: of the motor's turns. place: an absolute one on the leaf."""

    name: Name
    leaf: Literal["A", "B"]
    gives: Literal["pulses", "place"] = "pulses"


class LoopFile(Shape, frozen=True):
    """[[loop]]: an induction loop with its detector; where it lies from the gate line, outside positive."""

    name: Name
    label: str
    contact: Literal["normally closed", "normally open"]
    offset_m: float
    length_m: Positive = 1.0


class WireFile(Shape, frozen=True):
    """[[wire]]: one core. Points are 'owner.terminal'."""

    name: Name
    a: str
    b: str
    length_m: Positive
    size_mm2: Positive
    colour: str


class SupplyFile(Shape, frozen=True):
    """[supply]: the board's supply and fuses."""

    volts: Annotated[float, Meta(gt=5, le=60)] = 24.0
    resistance_ohm: Positive = 0.2
    mains_fuse_a: Positive = 10.0
    aux_fuse_a: Positive = 1.0
    battery_fuse_a: Positive = 10.0


class BatteryFile(Shape, frozen=True):
    """[battery]: takes over when the mains are gone. charge_percent: what it holds when a run starts."""

    capacity_ah: Annotated[float, Meta(ge=0.01, le=1000)]
    internal_ohm: Annotated[float, Meta(ge=0.001, le=100)] = 0.15
    charge_percent: Annotated[float, Meta(ge=0, le=100)] = 100.0


class SiteFile(Shape, frozen=True):
    """A site file as it is written."""

    title: str
    leaf: Annotated[list[LeafFile], Meta(min_length=1, max_length=2)]
    wire: Annotated[list[WireFile], MOST]
    overlap_mm: NotNegative = 0.0
    wind_m_s: Annotated[float, Meta(ge=-40, le=40)] = 0.0
    supply: SupplyFile = SupplyFile()
    battery: BatteryFile | None = None
    beam: Annotated[list[BeamFile], MOST] = field(default_factory=list)
    button: Annotated[list[ButtonFile], MOST] = field(default_factory=list)
    key: Annotated[list[KeyFile], MOST] = field(default_factory=list)
    edge: Annotated[list[EdgeFile], MOST] = field(default_factory=list)
    resistor: Annotated[list[ResistorFile], MOST] = field(default_factory=list)
    end: Annotated[list[EndFile], MOST] = field(default_factory=list)
    encoder: Annotated[list[EncoderFile], MOST] = field(default_factory=list)
    loop: Annotated[list[LoopFile], MOST] = field(default_factory=list)
    line_beam: Annotated[list[LineBeamFile], MOST] = field(default_factory=list)
    remote: Annotated[list[RemoteFile], MOST] = field(default_factory=list)
    lamp: bool = False
    light: bool = False
    lock: bool = False
    latch: Literal["A", "B"] | None = None  # the leaf that the lock's bolt holds
    latch_friction: Annotated[float, Meta(ge=0, le=1)] = 0.4  # on the side of the bolt
    links: Annotated[list[list[str]], MOST] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Beam:
    """Where a photocell stands. offset: m from the gate line, outside positive."""

    name: str
    label: str
    offset: float


@dataclass(frozen=True, slots=True)
class End:
    """An end switch. place: rad or m from shut, at and past which the leaf works it. open: at which stop."""

    name: str
    label: str
    leaf: int
    open: bool
    place: float


@dataclass(frozen=True, slots=True)
class Loop:
    """Where an induction loop lies. offset: of its middle from the gate line, outside positive; m."""

    name: str
    label: str
    offset: float
    length: float


@dataclass(frozen=True, slots=True)
class Site:
    """A checked site: what the bench is built from."""

    name: str
    title: str
    plant: PlantSpec
    wiring: WiringSpec
    beams: tuple[Beam, ...]
    text: str  # the file as read; its digest goes on the tape
    ends: tuple[End, ...] = ()
    loops: tuple[Loop, ...] = ()
    line_beams: tuple[LineBeam, ...] = ()

    @property
    def across(self) -> tuple[Beam | LineBeam, ...]:
        """Everything that looks across the drive: beams with a relay, then those of the line."""
        return (*self.beams, *self.line_beams)


def load_site(name: str, beside: Path | None = None) -> Site:
    """The site called `name` (shipped) or at that path. Raises UserError with every mistake."""
    path = find("sites", name, beside)
    file, document = read(path, SiteFile, path.name)
    problems = list(_meaning(file, document))
    if problems:
        raise UserError(problems)
    plant = _plant(file, document)
    misplaced = list(_misplaced(file, plant, document))
    if misplaced:
        raise UserError(misplaced)
    return Site(
        path.stem,
        file.title,
        plant,
        _checked(_wiring(file), file, document),
        tuple(Beam(beam.name, beam.label, beam.offset_m) for beam in file.beam),
        document.text,
        tuple(_end(end, plant) for end in file.end),
        tuple(Loop(loop.name, loop.label, loop.offset_m, loop.length_m) for loop in file.loop),
        line_beams=tuple(line_beam(beam) for beam in file.line_beam),
    )


def _misplaced(file: SiteFile, plant: PlantSpec, document: Document) -> Iterator[Problem]:
    """End switches with their distance in the other unit, or none, or beyond the travel."""
    for index, end in enumerate(file.end):
        place: list[str | int] = ["end", index]
        leaf = LEAVES.index(end.leaf)
        if leaf >= len(plant.leaves):
            continue  # the copper tells of a leaf that is not there
        spec, _ = plant.leaves[leaf]
        swings = spec.kind is LeafKind.SWINGS
        key, other = ("before_deg", "before_mm") if swings else ("before_mm", "before_deg")
        if getattr(end, key) is None or getattr(end, other) is not None:
            kind = "swings" if swings else "slides"
            yield document.problem([*place, other], "no " + key, f"{key} alone: leaf {end.leaf} {kind}")
        elif not 0.0 <= _end(end, plant).place <= spec.reach:
            yield document.problem([*place, key], shown(getattr(end, key)), "less than the leaf's travel")


def _end(end: EndFile, plant: PlantSpec) -> End:
    n = LEAVES.index(end.leaf)
    spec, _ = plant.leaves[n]
    before = (
        math.radians(end.before_deg or 0.0) if spec.kind is LeafKind.SWINGS else (end.before_mm or 0.0) / 1000
    )
    opens = end.at == "open"
    return End(end.name, end.label, n, opens, spec.reach - before if opens else before)


def _plant(file: SiteFile, document: Document) -> PlantSpec:
    """The iron, refused with the words of the room that knows what can be built."""
    try:
        latch = LockSpec(LEAVES.index(file.latch), friction=file.latch_friction) if file.latch else None
        leaves = tuple(leaf_specs(leaf) for leaf in file.leaf)
        return PlantSpec(leaves, file.overlap_mm / 1000, file.wind_m_s, lock=latch)
    except ValueError as error:
        what, _, why = str(error).partition("; ")
        raise UserError(document.problem(["leaf", 0], what, why)) from None


def _checked(wiring: WiringSpec, file: SiteFile, document: Document) -> WiringSpec:
    """The copper, its mistakes (a size that no table has) told with the line of the wire."""
    try:
        check(wiring)
    except UserError as error:
        places: dict[str, list[str | int]] = {
            f"wire '{wire.name}'": ["wire", index] for index, wire in enumerate(file.wire)
        }
        raise UserError(
            [
                replace(
                    problem, file=document.name, line=line_of(document.text, places.get(problem.where, []))
                )
                for problem in error.problems
            ]
        ) from None
    return wiring


def _wiring(file: SiteFile) -> WiringSpec:
    return WiringSpec(
        leaves=len(file.leaf),
        wires=tuple(
            WireSpec(wire.name, wire.a, wire.b, wire.length_m, wire.size_mm2, wire.colour)
            for wire in file.wire
        ),
        links=tuple((pair[0], pair[1]) for pair in file.links),
        devices=_devices(file),
        supply=SupplySpec(
            file.supply.volts,
            file.supply.resistance_ohm,
            file.supply.mains_fuse_a,
            file.supply.aux_fuse_a,
            file.supply.battery_fuse_a,
            None
            if file.battery is None
            else BatterySpec(
                file.battery.capacity_ah, file.battery.internal_ohm, file.battery.charge_percent / 100
            ),
        ),
        remotes=tuple(remote(one) for one in file.remote),
    )


_CONTACTS = {"normally closed": DeviceKind.BUTTON_NC, "normally open": DeviceKind.BUTTON_NO}

_ENDS = {"normally closed": DeviceKind.END_NC, "normally open": DeviceKind.END_NO}
_LOOPS = {"normally closed": DeviceKind.LOOP_NC, "normally open": DeviceKind.LOOP_NO}
_ENCODERS = {"pulses": DeviceKind.ENCODER, "place": DeviceKind.PLACE_ENCODER}


def _devices(file: SiteFile) -> tuple[DeviceSpec, ...]:
    devices = [
        DeviceSpec(
            f"motor-{leaf.name.lower()}", DeviceKind.MOTOR, f"motor {leaf.name}", n, leaf.winding_ohm()
        )
        for n, leaf in enumerate(file.leaf)
    ]
    devices += [DeviceSpec(beam.name, DeviceKind.BEAM, beam.label) for beam in file.beam]
    devices += [DeviceSpec(button.name, _CONTACTS[button.contact], button.label) for button in file.button]
    devices += [DeviceSpec(key.name, DeviceKind.KEY, key.label) for key in file.key]
    devices += [
        DeviceSpec(
            edge.name,
            DeviceKind.EDGE_THROUGH if edge.through else DeviceKind.EDGE,
            edge.label,
            None if edge.leaf is None else LEAVES.index(edge.leaf),
        )
        for edge in file.edge
    ]
    devices += [DeviceSpec(one.name, DeviceKind.RESISTOR, one.label) for one in file.resistor]
    devices += [
        DeviceSpec(end.name, _ENDS[end.contact], end.label, LEAVES.index(end.leaf)) for end in file.end
    ]
    devices += [
        DeviceSpec(one.name, _ENCODERS[one.gives], f"encoder of drive {one.leaf}", LEAVES.index(one.leaf))
        for one in file.encoder
    ]
    devices += [DeviceSpec(loop.name, _LOOPS[loop.contact], loop.label) for loop in file.loop]
    devices += [head for beam in file.line_beam for head in heads(beam)]
    for fitted, name, kind, label in (
        (file.lamp, "lamp", DeviceKind.LAMP, "flashing lamp"),
        (file.light, "light", DeviceKind.LIGHT, "courtesy light"),
        (file.lock, "lock", DeviceKind.LOCK, "electric lock"),
    ):
        if fitted:
            devices.append(DeviceSpec(name, kind, label))
    return tuple(devices)


def _meaning(file: SiteFile, document: Document) -> Iterator[Problem]:
    """What the shape alone cannot say: names used once, wires and links that lead somewhere."""
    for index, leaf in enumerate(file.leaf):
        if leaf.name != LEAVES[index]:
            yield document.problem(
                ["leaf", index, "name"], shown(leaf.name), f"'{LEAVES[index]}': leaves stand in order"
            )
        yield from leaf_problems(leaf, index, document)
    yield from device_problems(file.line_beam, file.remote, document)
    yield from _twice(document, "remote", [one.name for one in file.remote])
    if file.latch and not file.lock:
        yield document.problem(["latch"], shown(file.latch), "lock = true beside it: a bolt needs its coil")
    yield from _twice(document, "wire", [wire.name for wire in file.wire])
    devices = _devices(file)
    yield from _twice(document, "device", [device.name for device in devices])
    points = set(board_points(len(file.leaf)))
    points.update(f"{device.name}.{terminal}" for device in devices for terminal in terminals(device.kind))
    joints = {point for wire in file.wire for point in (wire.a, wire.b) if point.startswith("post-")}
    for index, wire in enumerate(file.wire):
        for end, point in (("a", wire.a), ("b", wire.b)):
            if point not in points | joints:
                yield document.problem(["wire", index, end], shown(point), nearest(point, points | joints))
    for index, pair in enumerate(file.links):
        if len(pair) != 2 or pair[0] == pair[1]:
            yield document.problem(["links", index], shown(pair), "two different points")
        for point in pair:
            if point not in points | joints:
                yield document.problem(["links", index], shown(point), nearest(point, points | joints))


def _twice(document: Document, key: str, names: list[str]) -> Iterator[Problem]:
    for index, name in enumerate(names):
        if name in names[:index]:
            yield document.problem([key, index, "name"], f"'{name}' twice", "each name once")
