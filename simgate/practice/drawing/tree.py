"""The one-line diagram on a sheet: the board at the top, its runs hanging from it in one column or two."""

from __future__ import annotations

import math
from collections.abc import Sequence

from simgate.practice.drawing.paper import Paper, fitted, long
from simgate.practice.drawing.plan import Branch, Place, Plan, Run, screw
from simgate.practice.drawing.signs import sign
from simgate.practice.names import plain

BOX_HIGH, BOARD_HIGH = 11.0, 19.0  # mm of the board's box, and down to the first row
ONE_COLUMN = 8  # rows up to which one column is enough
GAP = 6.0  # mm between columns
LINE, ONWARD = 28.0, 22.0  # mm: a run from the board, and one further on
LEAST_BOX, MOST_BOX = 23.0, 84.0
DEEP = (80.0, 96.0, 118.0)  # shares of the width for columns of so many places one behind the other


def rows(branch: Branch) -> float:
    """Rows that a branch takes with everything on it."""
    return len(branch.by) + len(branch.also) + math.fsum(rows(one) for one in branch.on)


def deep(branch: Branch) -> int:
    """How many places follow one another at most."""
    return 1 + max((deep(one) for one in branch.on), default=0)


def columns(plan: Plan) -> list[list[Branch]]:
    """The branches of the board, in two columns of like height where one would be high."""
    branches = list(plan.tree.on)
    high = [rows(one) for one in branches]
    total = math.fsum(high)
    if total <= ONE_COLUMN or max((deep(one) for one in branches), default=0) > 2 >= len(branches):
        return [branches]
    best = min(
        range(1, len(branches) + 1), key=lambda n: max(math.fsum(high[:n]), total - math.fsum(high[:n]))
    )
    return [branches[:best], branches[best:]] if best < len(branches) else [branches]


def units(plan: Plan) -> float:
    """Rows of the highest column, with what is not wired to the board below."""
    apart = math.fsum(1 + rows(one) for one in plan.apart)
    return max((math.fsum(rows(one) for one in column) for column in columns(plan)), default=0) + apart


def draw(paper: Paper, plan: Plan, x: float, y: float, wide: float, unit: float) -> None:
    """The whole diagram with its upper left corner at x, y; `unit` mm for each row."""
    _mains(paper, plan, x, y)
    left = x + 44.0
    paper.box(left, y, wide - 44.0, BOX_HIGH, 0.5)
    paper.words(left + 4.0, y + 4.8, plan.tree.place.label, 3.6, wide - 52.0, bold=True)
    paper.words(left + 4.0, y + 8.8, plan.supply, 2.7, wide - 52.0)
    found = columns(plan)
    most = [max((deep(one) for one in column), default=1) for column in found]
    shares = [DEEP[min(places, len(DEEP)) - 1] for places in most]
    at = x
    for number, column in enumerate(found):
        each = (wide - GAP * (len(found) - 1)) * shares[number] / math.fsum(shares)
        start = y + BOX_HIGH
        trunk = at + (3.0 if number else 48.0)
        below = y + BOARD_HIGH - 2.5
        if not number:
            paper.line([(trunk, start), (trunk, below), (at + 3.0, below)], 0.5)
            start = below
        _column(paper, column, at + 3.0, start, y + BOARD_HIGH, at + each, unit, LINE)
        at += each + GAP
    at = y + BOARD_HIGH + max((math.fsum(rows(one) for one in column) for column in found), default=0) * unit
    for tree in plan.apart:
        paper.words(x, at + 0.65 * unit, f"{_told(tree.place)}: not wired to the board", 2.7, wide)
        at = _column(paper, tree.on, x + 3.0, at + unit, at + unit, x + wide, unit, LINE)


def _mains(paper: Paper, plan: Plan, x: float, y: float) -> None:
    """The mains lead: three cores through the isolator into the board."""
    paper.words(x, y + 3.0, "mains", 3.0, 14.0, bold=True)
    middle = y + (BOX_HIGH) / 2
    paper.line([(x, middle), (x + 22.0, middle), (x + 29.0, middle - 3.0)], 0.5)
    paper.line([(x + 29.0, middle), (x + 44.0, middle)], 0.5)
    paper.words(x + 21.0, y + 1.8, "isolator", 2.3, 20.0)
    paper.line([(x + 9.0, middle + 1.4), (x + 11.5, middle - 1.4)])
    paper.words(x + 11.8, middle - 0.8, "3", 2.3, 4.0)
    for number, core in enumerate(plan.mains.split(", ")):
        paper.words(x, middle + 3.0 + 2.6 * number, core, 2.1, 42.0)


def _column(
    paper: Paper, branches: Sequence[Branch], trunk: float, start: float, y: float, end: float, unit: float,
    line: float,
) -> float:  # fmt: skip
    """Branches hanging from a trunk that begins at `start`; gives where the next row begins."""
    foot = start
    for branch in branches:
        box = min(trunk + line, end - LEAST_BOX)
        wide = min(end - box, MOST_BOX)
        for number, run in enumerate(branch.by):
            foot = y + (number + 0.5) * unit
            paper.line([(trunk, foot), (box, foot)], 0.5)
            _run(paper, run, trunk, foot, box - trunk, unit)
        high = len(branch.by) * unit
        _box(paper, branch.place, box, y, wide, high, unit)
        y += high
        below = y - 0.1 * unit
        aside = box + (10.0 if branch.on else 3.0)  # clear of the trunk of what goes on
        for run, place in branch.also:
            at, size = y + 0.42 * unit, min(2.5, 0.27 * unit)
            paper.line([(aside, below), (aside, at), (aside + 3.0, at)], dash="0.8 0.8")
            to = "between its own screws" if place == branch.place else f"also to {place.title}"
            paper.words(aside + 4.0, at + 0.15 * size, to, size, end - aside - 4.0)
            told = f"{run.named}, no. {run.numbers}"
            paper.words(aside + 4.0, at + 1.2 * size, told, 0.9 * size, end - aside - 4.0)
            y += unit
        if branch.on:
            onward = min(ONWARD, (end - LEAST_BOX - box) / max(deep(one) for one in branch.on) - 3.0)
            y = _column(paper, branch.on, box + 3.0, below, y, end, unit, onward)
    if branches:
        paper.line([(trunk, start), (trunk, foot)], 0.5)
    return y


def _run(paper: Paper, run: Run, x: float, y: float, wide: float, unit: float) -> None:
    """The slash of a run of several cores, its cable above the line, cores and their numbers below."""
    size = min(2.6, 0.26 * unit)
    if len(run.wires) > 1:
        paper.line([(x + 1.1, y + 0.18 * unit), (x + 2.9, y - 0.18 * unit)])
    lines = [*([plain(run.cable)] if run.cable else []), run.told, f"no. {run.numbers}"]
    bold = bool(run.cable)
    size = min(fitted(line, size, wide - 4.0, bold and not number)[1] for number, line in enumerate(lines))
    foot = y - 0.09 * unit
    for number, line in enumerate(lines):
        paper.words(x + 3.5, foot, line, size, wide - 4.0, bold=bold and not number)
        foot = y + 0.06 * unit + (0.8 + 1.04 * number) * size


def _box(paper: Paper, place: Place, x: float, y: float, wide: float, high: float, unit: float) -> None:
    """A place: its sign, its name, what it is."""
    inset = 0.1 * unit
    paper.box(x, y + inset, wide, high - 2 * inset, 0.35, place=place.name)
    middle, r = y + high / 2, min(2.2, 0.28 * unit)
    sign(paper, place.kind, x + 4.6, middle, r)
    room, size = wide - 10.2, min(3.2, 0.34 * unit)
    label = _told(place)
    if label == place.title:
        paper.words(x + 9.4, middle + 0.36 * size, label, size, room, bold=True)
    else:
        lines = _wrapped(label, 0.8 * size, room)
        size = min(size, (high - 2 * inset - 0.6) / (0.96 + len(lines)))
        foot = middle + (0.28 - 0.5 * len(lines)) * size
        paper.words(x + 9.4, foot, place.title, size, room, bold=True)
        for line in lines:
            foot += size
            paper.words(x + 9.4, foot, line, 0.8 * size, room)


def _wrapped(label: str, size: float, room: float) -> list[str]:
    """In one line, a little smaller if it must; where that were too small, in two of like length."""
    whole = label.split(" ")
    if long(label, size) <= 1.15 * room or len(whole) == 1:
        return [label]
    halves = [(" ".join(whole[:at]), " ".join(whole[at:])) for at in range(1, len(whole))]
    return list(min(halves, key=lambda two: max(long(line, size) for line in two)))


def _told(place: Place) -> str:
    if place.kind is None:
        return f"joints {', '.join(screw(point) for point in place.points)}"
    return place.label
