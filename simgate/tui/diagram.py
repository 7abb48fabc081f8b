"""The wiring as paths to be followed: from a terminal of the board by wire, joint and device to its end.

Made from a snapshot's wires, links and points alone, so it shows what stands at the gate and nothing that a
hand could not find out. Every wire and link is drawn once; a device is crossed between terminals of one
pair ('1' and '2', 'nc1' and 'nc2'), because that is how somebody follows a chain.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from simgate.bench.record import Snapshot
from simgate.tui.canvas import Ink, Row, Run
from simgate.tui.captions import core
from simgate.tui.captions import point as spelt

BOARD = "board."
HANGING = "╳─"  # where an undone wire hangs free
INDENT = 4  # cells by which a path goes on in its next row


class Kind(Enum):
    """What stands on a path."""

    JOINT = "point"
    WIRE = "wire"
    LINK = "link"
    THROUGH = "through a device"


@dataclass(frozen=True, slots=True)
class Item:
    """One thing on a path. name: the point, the wire, 'a|b' of a link, or the device that is crossed.

    label: as it is drawn. undone: -1 hangs free on the side where it comes from, 1 on the other, 0 made.
    """

    kind: Kind
    name: str
    label: str
    undone: int = 0


Path = tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class _Edge:
    kind: Kind
    name: str
    label: str
    a: str
    b: str
    undone: bool

    def other(self, point: str) -> str:
        return self.b if point == self.a else self.a


def paths(shot: Snapshot) -> tuple[Path, ...]:
    """Every path, the board's terminals first; at last, as one, the points where nothing is connected."""
    edges = [
        *(
            _Edge(Kind.WIRE, wire.name, core(wire.number, wire.colour), wire.a, wire.b, wire.undone)
            for wire in shot.wires
        ),
        *(_Edge(Kind.LINK, f"{a}|{b}", "link", a, b, False) for a, b in shot.links),
    ]
    at: dict[str, list[_Edge]] = {point: [] for point in shot.points}
    for edge in edges:
        for end in (edge.a, edge.b):
            at.setdefault(end, []).append(edge)
    free = tuple(Item(Kind.JOINT, point, spelt(point)) for point, here in at.items() if not here)
    found = []
    for start in sorted(at, key=lambda point: not point.startswith(BOARD)):  # stable: else as they stand
        while at[start]:
            found.append(tuple(_follow(shot, at, start)))
    return (*found, free) if free else tuple(found)


def _follow(shot: Snapshot, at: dict[str, list[_Edge]], point: str) -> Iterator[Item]:
    """From `point` on, taking each wire out of `at` as it is passed."""
    yield Item(Kind.JOINT, point, spelt(point))
    while True:
        if at[point]:
            edge = at[point][0]
            for end in (edge.a, edge.b):
                if edge in at[end]:
                    at[end].remove(edge)
            yield Item(edge.kind, edge.name, edge.label, _hangs(edge, point))
            point = edge.other(point)
            yield Item(Kind.JOINT, point, spelt(point))
            if point.startswith(BOARD):
                return
        else:
            across = shot.through.get(point)
            if across is None or not at.get(across):
                return
            yield Item(Kind.THROUGH, point.partition(".")[0], "")
            point = across
            yield Item(Kind.JOINT, point, spelt(point))


def _hangs(edge: _Edge, start: str) -> int:
    """On which side, walked from `start`, an undone wire hangs free: it was undone at its first end."""
    return 0 if not edge.undone else -1 if start == edge.a else 1


# Drawing ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Sheet:
    """The paths drawn in rows. cursor: the row in which it stands."""

    rows: tuple[Row, ...]
    cursor: int


_LINES = {Kind.WIRE: "──", Kind.LINK: "══", Kind.THROUGH: "┄┄"}
_INKS = {Kind.WIRE: Ink.BEAM, Kind.LINK: Ink.BODY, Kind.THROUGH: Ink.WORD}


def draw(found: Sequence[Path], cursor: tuple[int, int], width: int, marks: dict[str, str]) -> Sheet:
    """All paths, broken between their parts. cursor: (path, item). marks: what to write at a point."""
    rows: list[Row] = []
    where = 0
    for number, path in enumerate(found):
        row: list[Run] = []
        used = 0
        for place, item in enumerate(path):
            here = (number, place) == cursor
            runs = _drawn(item, here, marks)
            long = sum(len(run.text) for run in runs)
            if used > INDENT and used + long > width:
                rows.append(_full(row, used, width))
                row, used = [Run(Ink.GROUND, " " * INDENT)], INDENT
            row += runs
            used += long
            if here:
                where = len(rows)
        rows.append(_full(row, used, width))
    return Sheet(tuple(rows), where)


def _full(row: Sequence[Run], used: int, width: int) -> Row:
    return (*row, Run(Ink.GROUND, " " * (width - used))) if used < width else tuple(row)


def _drawn(item: Item, here: bool, marks: dict[str, str]) -> list[Run]:
    left, right = ("▸", "◂") if here else (" ", " ")
    if item.kind is Kind.JOINT:
        label = item.label + (f" ({marks[item.name]} probe)" if item.name in marks else "")
        return [Run(Ink.PICKED if here else Ink.LEAF, f"{left}{label}{right}")]
    line, ink = _LINES[item.kind], Ink.BROKEN if item.undone else _INKS[item.kind]
    if item.kind is Kind.THROUGH:
        return [Run(ink, line)]
    return [
        Run(ink, HANGING if item.undone < 0 else line),
        Run(Ink.PICKED if here else ink, f"{left}{item.label}{right}"),
        Run(ink, HANGING[::-1] if item.undone > 0 else line),
    ]


# The cursor ---------------------------------------------------------------------------------------


def step(found: Sequence[Path], cursor: tuple[int, int], along: int) -> tuple[int, int]:
    """`along` items further on the same path, past what cannot be taken; stays at its ends."""
    number, place = cursor
    path = found[number]
    place += along
    while 0 <= place < len(path) and path[place].kind is Kind.THROUGH:
        place += along
    return (number, place) if 0 <= place < len(path) else cursor


def other_path(found: Sequence[Path], cursor: tuple[int, int], by: int) -> tuple[int, int]:
    """The same point on the next path that has it, if it is a junction; else the beginning of that path."""
    number = min(max(cursor[0] + by, 0), len(found) - 1)
    if number == cursor[0]:
        return cursor
    name = found[cursor[0]][cursor[1]].name
    return number, next((n for n, item in enumerate(found[number]) if item.name == name), 0)


def find(found: Sequence[Path], name: str) -> tuple[int, int]:
    """Where a point or wire stands, the first place if twice; the beginning if nowhere."""
    for number, path in enumerate(found):
        for place, item in enumerate(path):
            if item.name == name:
                return number, place
    return 0, 0
