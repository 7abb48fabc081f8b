"""A site file: the iron and copper of one invented place, read, checked and turned into specs.

This is the only place where mm and degrees become m and rad for the plant, and where a trainer's
mistakes in a site (a wire to nowhere, two leaves called A) are found before anything runs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta, field

from simgate.bench.site_iron import LeafFile, leaf_problems, leaf_specs
from simgate.board.signals import LEAVES
from simgate.files import Document, Problem, Shape, UserError, find, line_of, nearest, read, shown
from simgate.plant.spec import PlantSpec
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


class SiteFile(Shape, frozen=True):
    """A site file as it is written."""

    title: str
    leaf: Annotated[list[LeafFile], Meta(min_length=1, max_length=2)]
    wire: Annotated[list[WireFile], MOST]
    overlap_mm: NotNegative = 0.0
    wind_m_s: Annotated[float, Meta(ge=-40, le=40)] = 0.0
    supply: SupplyFile = SupplyFile()
    beam: Annotated[list[BeamFile], MOST] = field(default_factory=list)
    button: Annotated[list[ButtonFile], MOST] = field(default_factory=list)
    lamp: bool = False
    links: Annotated[list[list[str]], MOST] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Beam:
    """Where a photocell stands. offset: m from the gate line, outside positive."""

    name: str
    label: str
    offset: float


@dataclass(frozen=True, slots=True)
class Site:
    """A checked site: what the bench is built from."""

    name: str
    title: str
    plant: PlantSpec
    wiring: WiringSpec
    beams: tuple[Beam, ...]
    text: str  # the file as read; its digest goes on the tape


def load_site(name: str, beside: Path | None = None) -> Site:
    """The site called `name` (shipped) or at that path. Raises UserError with every mistake."""
    path = find("sites", name, beside)
    file, document = read(path, SiteFile, path.name)
    problems = list(_meaning(file, document))
    if problems:
        raise UserError(problems)
    return Site(
        path.stem,
        file.title,
        _plant(file, document),
        _checked(_wiring(file), file, document),
        tuple(Beam(beam.name, beam.label, beam.offset_m) for beam in file.beam),
        document.text,
    )


def _plant(file: SiteFile, document: Document) -> PlantSpec:
    """The iron, refused with the words of the room that knows what can be built."""
    try:
        return PlantSpec(tuple(leaf_specs(leaf) for leaf in file.leaf), file.overlap_mm / 1000, file.wind_m_s)
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
            file.supply.volts, file.supply.resistance_ohm, file.supply.mains_fuse_a, file.supply.aux_fuse_a
        ),
    )


_CONTACTS = {"normally closed": DeviceKind.BUTTON_NC, "normally open": DeviceKind.BUTTON_NO}


def _devices(file: SiteFile) -> tuple[DeviceSpec, ...]:
    devices = [
        DeviceSpec(
            f"motor-{leaf.name.lower()}", DeviceKind.MOTOR, f"motor {leaf.name}", n, leaf.winding_ohm()
        )
        for n, leaf in enumerate(file.leaf)
    ]
    devices += [DeviceSpec(beam.name, DeviceKind.BEAM, beam.label) for beam in file.beam]
    devices += [DeviceSpec(button.name, _CONTACTS[button.contact], button.label) for button in file.button]
    if file.lamp:
        devices.append(DeviceSpec("lamp", DeviceKind.LAMP, "flashing lamp"))
    return tuple(devices)


def _meaning(file: SiteFile, document: Document) -> Iterator[Problem]:
    """What the shape alone cannot say: names used once, wires and links that lead somewhere."""
    for index, leaf in enumerate(file.leaf):
        if leaf.name != LEAVES[index]:
            yield document.problem(
                ["leaf", index, "name"], shown(leaf.name), f"'{LEAVES[index]}': leaves stand in order"
            )
        yield from leaf_problems(leaf, index, document)
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
