"""The cables of a site file: which wires are their cores, and how that tells each core's colour.

A core has its colour from one place, its own line or its cable's, or the two would disagree one day.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simgate.bench.site_file import CableFile, WireFile
from simgate.files import Document, Problem, nearest, shown
from simgate.wiring.marking import colour_wrong


def in_cables(cables: Sequence[CableFile]) -> dict[str, str]:
    """The cable of each wire that is a core of one."""
    return {wire: cable.name for cable in cables for wire in cable.wires}


def colours(cables: Sequence[CableFile], wires: Sequence[WireFile]) -> dict[str, str]:
    """The colour of each wire, its own or its cable's."""
    cores = {name: colour for one in cables for name, colour in zip(one.wires, one.colours, strict=False)}
    return {wire.name: wire.colour or cores.get(wire.name, "") for wire in wires}


def cable_problems(
    cables: Sequence[CableFile], wires: Sequence[WireFile], document: Document
) -> Iterator[Problem]:
    """What the shapes alone cannot say of cables, colours and numbers."""
    known = {wire.name: wire for wire in wires}
    taken: dict[str, str] = {}
    for index, cable in enumerate(cables):
        place: list[str | int] = ["cable", index]
        for core, name in enumerate(cable.wires):
            if name not in known:
                yield document.problem([*place, "wires", core], shown(name), nearest(name, known))
            elif name in taken:
                found = f"'{name}' twice, first in '{taken[name]}'"
                yield document.problem([*place, "wires", core], found, "each wire in one cable")
            taken.setdefault(name, cable.name)
        sizes = sorted({known[name].size_mm2 for name in cable.wires if name in known})
        if len(sizes) > 1:
            found = " and ".join(f"{size:g}" for size in sizes) + " mm2"
            yield document.problem([*place, "wires"], found, "cores of one size")
        if cable.colours and len(cable.colours) != len(cable.wires):
            found = f"{len(cable.colours)} for {len(cable.wires)} wires"
            yield document.problem([*place, "colours"], found, "one for each core, or none")
        for core, colour in enumerate(cable.colours):
            if wrong := colour_wrong(colour):
                yield document.problem([*place, "colours", core], shown(colour), wrong)
            elif colour in cable.colours[:core]:
                yield document.problem([*place, "colours", core], f"{colour} twice", "each colour once")
    theirs = {name for cable in cables if cable.colours for name in cable.wires}
    for index, wire in enumerate(wires):
        key: list[str | int] = ["wire", index, "colour"]
        if not wire.colour and wire.name not in theirs:
            yield document.problem(key, "nothing", "a colour, here or of its core in a cable")
        elif wire.colour and wire.name in theirs:
            yield document.problem(key, shown(wire.colour), "nothing: its cable tells the colours")
        elif wire.colour and (wrong := colour_wrong(wire.colour)):
            yield document.problem(key, shown(wire.colour), wrong)
