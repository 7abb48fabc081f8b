"""The terminal diagram on a sheet: screw by screw, each wire a line to the device at its other end."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from textwrap import wrap

from simgate.practice.drawing.paper import Paper
from simgate.practice.drawing.plan import Core, Plan, Screw, Strip, owner, screw
from simgate.practice.names import plain
from simgate.wiring.tables import BOARD

HEAD, GAP = 1.25, 0.55  # rows of a strip's head, and between two strips
NAME, START, END, CELL = (
    18.6,
    20.4,
    57.6,
    10.0,
)  # mm: box of a screw, wire from, wire to, box of the far screw
MAINS = "MAINS: behind its cover, from the isolator; for a licensed person"
FREE_LETTERS = 72  # of a row of free screws


@dataclass(frozen=True, slots=True)
class Block:
    """A strip, or a part of it that stands in one column."""

    strip: Strip
    rows: float
    notes: tuple[str, ...]
    goes_on: bool = False


def columns(plan: Plan, count: int = 2) -> list[list[Block]]:
    """The strips in columns of like height; a long one goes on in the next."""
    whole = [_block(strip) for strip in plan.strips]
    mean = math.fsum(block.rows for block in whole) / count
    tried = [_filled(whole, count, mean * (1.0 + step / 20.0)) for step in range(10)]
    return min(tried, key=_highest)


def _filled(whole: list[Block], count: int, most: float) -> list[list[Block]]:
    """The strips one below the other, a new column at about `most` rows."""
    found: list[list[Block]] = [[]]
    used = 0.0
    for block in whole:
        for part in _parted(block, most - used, most, len(found) < count):
            if part.goes_on and found[-1]:
                found.append([])
                used = 0.0
            found[-1].append(part)
            used += part.rows
        if used >= most - 1.0 and len(found) < count and block is not whole[-1]:
            found.append([])
            used = 0.0
    return found


def units(plan: Plan) -> float:
    """Rows of the highest column."""
    return _highest(columns(plan))


def _highest(found: list[list[Block]]) -> float:
    return max(math.fsum(block.rows for block in column) for column in found)


def draw(paper: Paper, plan: Plan, x: float, y: float, wide: float, unit: float) -> None:
    """The whole diagram with its upper left corner at x, y; `unit` mm for each row."""
    found = columns(plan)
    each = (wide - 6.0 * (len(found) - 1)) / len(found)
    for number, column in enumerate(found):
        at = y
        for block in column:
            _draw(paper, block, x + number * (each + 6.0), at, each, unit)
            at += block.rows * unit


def high(one: Screw) -> int:
    """Rows of a screw: one for each wire and link, and one if there is none."""
    return max(len(one.cores) + len(one.links), 1)


def _notes(strip: Strip) -> tuple[str, ...]:
    free = wrap(f"free: {', '.join(strip.free)}", FREE_LETTERS, break_on_hyphens=False) if strip.free else []
    return (*free, *((MAINS,) if strip.place.name == BOARD else ()))


def _block(strip: Strip) -> Block:
    notes = _notes(strip)
    return Block(strip, HEAD + math.fsum(high(one) for one in strip.screws) + 0.85 * len(notes) + GAP, notes)


def _parted(block: Block, room: float, most: float, more: bool) -> Iterator[Block]:
    """A block as it is when it fits, else what fits and the rest, which goes on in the next column."""
    if not more or block.rows <= room + 1.0:
        yield block
        return
    first: list[Screw] = []
    used = HEAD + GAP
    for one in block.strip.screws:
        if used + high(one) > room:
            break
        first.append(one)
        used += high(one)
    if not first:
        yield replace(block, goes_on=True)
        return
    rest = block.strip.screws[len(first) :]
    yield Block(replace(block.strip, screws=tuple(first), free=()), used, ())
    if rest or block.notes:
        rows = HEAD + math.fsum(high(one) for one in rest) + 0.85 * len(block.notes) + GAP
        yield Block(replace(block.strip, screws=rest), rows, block.notes, goes_on=True)


def _draw(paper: Paper, block: Block, x: float, y: float, wide: float, unit: float) -> None:
    place = block.strip.place
    size = min(2.8, 0.56 * unit)
    paper.box(x, y, wide, (HEAD - 0.25) * unit, dark=True)
    title = place.label if place.name == BOARD else place.title
    told = f"{title}, going on" if block.goes_on else title
    if not block.goes_on and place.label not in (title, ""):
        told += f" – {place.label}"
    paper.words(x + 1.5, y + 0.72 * unit, told, 1.1 * size, wide - 3.0, bold=True, light=True)
    y += HEAD * unit
    for one in block.strip.screws:
        rows = high(one)
        paper.box(x, y, NAME, rows * unit)
        came = f" with {', '.join(map(str, one.came))}" if one.came else ""
        middle = y + rows * unit / 2 + 0.36 * size
        if came:
            paper.words(x + 1.2, middle, screw(one.point), size, 6.0, bold=True)
            paper.words(x + NAME - 1.0, middle, came, 0.8 * size, NAME - 8.0, at="end")
        else:
            paper.words(x + NAME / 2, middle, screw(one.point), size, NAME - 1.6, at="middle", bold=True)
        for number, core in enumerate(one.cores):
            _core(paper, core, x, y + (number + 0.5) * unit, size)
        for number, link in enumerate(one.links, len(one.cores)):
            _link(paper, link, place.name, x, y + (number + 0.5) * unit, wide, size)
        y += rows * unit
    _far_ends(
        paper, block.strip.screws, x, y - math.fsum(map(high, block.strip.screws)) * unit, wide, unit, size
    )
    for note in block.notes:
        paper.words(x + 1.5, y + 0.62 * unit, note, 0.85 * size, wide - 3.0)
        y += 0.85 * unit


def _core(paper: Paper, core: Core, x: float, y: float, size: float) -> None:
    """The wire: ferrules with its number at both ends, colour and size between them."""
    wire = core.wire
    paper.line([(x + START, y), (x + END, y)], 0.4, wire=wire.name)
    for at in (x + START, x + END):
        paper.ring(at, y, 0.55, dark=True)
    ferrule = 5.6
    paper.box(x + START + 2.4, y - 0.62 * size, ferrule, 1.24 * size)
    paper.words(
        x + START + 2.4 + ferrule / 2, y + 0.36 * size, str(wire.number), size, ferrule - 0.8, at="middle"
    )
    paper.words(x + START + 9.0, y - 0.22 * size, core.code, 0.9 * size, 7.5, bold=True)
    told = f"{wire.size:g} mm², {wire.length:g} m"
    paper.words(x + END - 1.6, y - 0.22 * size, told, 0.85 * size, 20.0, at="end")


def _link(paper: Paper, to: str, place: str, x: float, y: float, wide: float, size: float) -> None:
    for dy in (-0.35, 0.35):
        paper.line([(x + START, y + dy), (x + END, y + dy)])
    far = screw(to) if owner(to) == place else f"{plain(owner(to))} {screw(to)}"
    paper.words(x + START + 9.0, y - 0.32 * size, "link", 0.9 * size, 12.0)
    paper.words(x + END + 1.6, y + 0.36 * size, f"to {far}", size, wide - END - 2.0)


def _far_ends(
    paper: Paper, screws: Sequence[Screw], x: float, y: float, wide: float, unit: float, size: float
) -> None:
    """Boxes of the devices at the far ends; wires side by side to one device end in one box."""
    rows: list[Core | None] = []
    for one in screws:
        rows += [*one.cores, *[None] * (high(one) - len(one.cores))]
    at = 0
    while at < len(rows):
        first = rows[at]
        if first is None:
            at += 1
            continue
        upto = at + 1
        while upto < len(rows) and (core := rows[upto]) and owner(core.far) == owner(first.far):
            upto += 1
        left, top, height = x + END + 1.4, y + at * unit, (upto - at) * unit
        paper.box(left, top + 0.06 * unit, wide - END - 1.4, height - 0.12 * unit)
        paper.line([(left + CELL, top + 0.06 * unit), (left + CELL, top + height - 0.06 * unit)])
        for row in range(at, upto):
            if (core := rows[row]) is not None:
                middle = y + (row + 0.5) * unit + 0.36 * size
                paper.words(left + CELL / 2, middle, screw(core.far), size, CELL - 1.0, at="middle")
        room = wide - END - CELL - 3.0
        title = plain(owner(first.far)) if owner(first.far) != BOARD else "control board"
        paper.words(left + CELL + 1.0, top + height / 2 + 0.36 * size, title, size, room)
        at = upto
