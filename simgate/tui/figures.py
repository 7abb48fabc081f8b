"""Figures of the Yard: who passes, and what moves a leaf. Drawn by somebody who knows the scale."""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass

from simgate.bench.record import LeafView, PassingView
from simgate.tui.canvas import Canvas, Ink

SIGNS = {"person": "☻", "dog": "•"}
Place = Callable[[float, float], tuple[float, float]]  # radius, angle -> dot
ON_HINGE = ("in-ground", "post-top")
RAMS = ("ram", "hydraulic ram")
FOOT = (0.14, 0.30)  # share of the leaf's width: behind the hinge, and inwards; schematic, not to scale
ASIDE = (0, -1, 1, -2, 2, -3)  # rows: where words go that would cover others, the nearest first
HOLD = 0.38  # share of the leaf's width at which a ram or an arm holds it


@dataclass(frozen=True, slots=True)
class Drive:
    """The drive seen from above, in dots. left, gate: of the left post's inner edge and the gate line."""

    left: float
    gate: float
    scale: float  # dots per m
    span: float  # m between the posts

    def lane(self, one: PassingView) -> tuple[float, float]:
        """Left and right of who passes, m from the left post."""
        return one.lane or ((self.span - one.width) / 2, (self.span + one.width) / 2)

    def first(self, passing: Sequence[PassingView], offset: float) -> int | None:
        """The first column from the left at which somebody stands in a line across the drive."""
        lefts = [self.lane(one)[0] for one in passing if (e := ends(one))[0] <= offset <= e[1]]
        return int(self.left + min(lefts) * self.scale) // 2 if lefts else None


def ends(one: PassingView) -> tuple[float, float]:
    """The ends of who passes, m from the gate line, the one further inside first."""
    rear = one.position + (one.length if one.inwards else -one.length)
    return min(one.position, rear), max(one.position, rear)


class Labels:
    """Where words stand already, so that whoever comes close to another is still named."""

    def __init__(self) -> None:
        self._stand: list[tuple[int, int, int]] = []  # row, first column, one past the last

    def put(self, canvas: Canvas, column: int, row: int, words: str, ink: Ink) -> None:
        """Put them there, or in the nearest row in which they cover no others, within the picture."""
        top, bottom = min(1, canvas.height - 1), canvas.height - 1
        column = min(max(column, 0), max(canvas.width - len(words), 0))
        row = min(max(row, top), bottom)
        rows = (row + aside for aside in ASIDE if top <= row + aside <= bottom)
        row = next((one for one in rows if self._free(one, column, len(words))), row)
        self._stand.append((row, column, column + len(words)))
        canvas.put(column, row, words, ink)

    def _free(self, row: int, column: int, length: int) -> bool:
        return not any(
            row == taken and first <= column + length and column <= last for taken, first, last in self._stand
        )


def passer(
    canvas: Canvas, drive: Drive, one: PassingView, labels: Labels, taken: Container[int] = ()
) -> None:
    """A box for what is long, a sign for what is not; and who it is, which way, in what danger, in words.

    Who is out of the picture is named at its edge. taken: rows that the words of a box keep off where it is
    long enough.
    """
    low, high = drive.lane(one)
    inner, outer = ends(one)
    x0, x1 = drive.left + low * drive.scale, drive.left + high * drive.scale
    y0, y1 = drive.gate + inner * drive.scale, drive.gate + outer * drive.scale
    words = f"{one.kind} {'‖' if one.waiting else '↑' if one.inwards else '↓'}"
    danger = one.force > 1.0 or (one.alive and bool(one.in_way_of))
    if danger:
        words += " HAZARD!"
    ink = Ink.BROKEN if danger else Ink.PERSON
    column, row = round((x0 + x1) / 2) // 2, round((y0 + y1) / 2) // 4
    if one.kind in SIGNS:
        words = f"{SIGNS[one.kind]} {words}"
    elif y1 >= 0 and y0 < 4 * canvas.height:
        _box(canvas, (x0, y0), (x1, y1), ink)
        top, bottom = max(y0, 0.0), min(y1, 4.0 * canvas.height - 1)
        column -= len(words) // 2
        middle, inside = int((top + bottom) / 2) // 4, range(int(top) // 4 + 1, int(bottom) // 4 + 1)
        free = [row for row in inside if row not in taken]
        row = min(free, key=lambda row: abs(row - middle)) if free else middle
    else:
        column -= len(words) // 2
    labels.put(canvas, column, row, words, ink)


def _box(canvas: Canvas, first: tuple[float, float], last: tuple[float, float], ink: Ink) -> None:
    (x0, y0), (x1, y1) = first, last
    bottom = 4.0 * canvas.height
    for a, b in (((x0, y0), (x1, y0)), ((x0, y1), (x1, y1)), ((x0, y0), (x0, y1)), ((x1, y0), (x1, y1))):
        if min(a[1], b[1]) < bottom and max(a[1], b[1]) >= 0:
            canvas.line((a[0], max(a[1], -1.0)), (b[0], min(b[1], bottom)), ink)


def moved_by(canvas: Canvas, leaf: LeafView, at: Place, outward: float) -> None:
    """The drive of a leaf that swings: a ram's rod, an arm's two links, or its shaft under the hinge.

    outward: -1 on the left post, 1 on the right: dots that lie behind the hinge.
    """
    x, y = at(0.0, 0.0)
    scale = math.dist(at(1.0, 0.0), (x, y))
    foot = (x + outward * FOOT[0] * leaf.width * scale, y - FOOT[1] * leaf.width * scale)
    hold = at(HOLD * leaf.width, leaf.place)
    if leaf.linkage in RAMS:
        canvas.line(foot, hold, Ink.STOP, 1.6 if leaf.linkage == RAMS[1] else 1.0)
    elif leaf.linkage == "folding arm":
        reach = max(math.dist(foot, hold), 0.35 * leaf.width * scale)
        canvas.line(foot, elbow := _elbow(foot, hold, reach, outward), Ink.STOP)
        canvas.line(elbow, hold, Ink.STOP)
    elif leaf.linkage in ON_HINGE:
        canvas.put(int(x) // 2, int(y) // 4, "◎", Ink.STOP)


def _elbow(
    foot: tuple[float, float], hold: tuple[float, float], reach: float, outward: float
) -> tuple[float, float]:
    """Where two links of equal length, together a tenth longer than `reach`, fold away from the leaf."""
    apart = math.dist(foot, hold) or 1.0
    height = math.sqrt(max((0.55 * reach) ** 2 - (apart / 2) ** 2, 0.0))
    middle = ((foot[0] + hold[0]) / 2, (foot[1] + hold[1]) / 2)
    away = ((hold[1] - foot[1]) / apart * outward, -(hold[0] - foot[0]) / apart * outward)
    side = -1.0 if away[1] > 0 else 1.0  # upwards in the picture: inwards, clear of the gate line
    return middle[0] + side * away[0] * height, middle[1] + side * away[1] * height
