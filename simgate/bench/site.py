"""A site file: the iron and copper of one invented place, read, checked and turned into specs.

This is the only place where mm and degrees become m and rad for the plant, and where a trainer's
mistakes in a site (a wire to nowhere, two leaves called A) are found before anything runs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from simgate.bench.site_cables import cable_problems
from simgate.bench.site_copper import devices_of, wiring_of
from simgate.bench.site_devices import LineBeam, device_problems, line_beam
from simgate.bench.site_file import EndFile, SiteFile
from simgate.bench.site_iron import leaf_problems, leaf_specs
from simgate.board.signals import LEAVES
from simgate.files import Document, Problem, UserError, find, line_of, nearest, parse, shaped, shown
from simgate.plant.spec import LeafKind, LockSpec, PlantSpec
from simgate.toml_text import parsed
from simgate.wiring.check import board_points, check, terminals
from simgate.wiring.spec import WiringSpec


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
    document = parse(path, path.name)
    return _site(path.stem, document.name, document.text)


@lru_cache(maxsize=16)  # most jobs share theirs with others
def _site(name: str, file_name: str, text: str) -> Site:
    document = Document(file_name, text, parsed(text))
    file = shaped(document, SiteFile)
    problems = list(_meaning(file, document))
    if problems:
        raise UserError(problems)
    plant = _plant(file, document)
    misplaced = list(_misplaced(file, plant, document))
    if misplaced:
        raise UserError(misplaced)
    return Site(
        name,
        file.title,
        plant,
        _checked(wiring_of(file), file, document),
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
    yield from _twice(document, "cable", [cable.name for cable in file.cable])
    yield from cable_problems(file.cable, file.wire, document)
    devices = devices_of(file)
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
