"""The Yard's picture: a snapshot in, rows of cells and one line of words out. Pure; no terminal.

The drive is seen from above with its inside at the top. A leaf is a thick line from its hinge, its swing a
dotted arc; one that slides runs along the gate line to its pocket. A beam is a dashed line between two
arrows. Everything is told by shape and word; colour only
helps. What stands still is drawn once per size of picture, because the rest is drawn 30 times a second.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simgate.bench.record import BeamView, LeafView, Snapshot
from simgate.tui.canvas import Canvas, Ink, Row
from simgate.tui.figures import Drive, Labels, ends, moved_by, passer
from simgate.tui.yard_words import hazards, rain_words, wind_words

SLIDE_SIDE = 1.2  # m drawn inside a leaf that slides
ROAD_SIDE = 0.7  # m of road drawn below the gate line
LEAF_THICK = 2.2  # dots
POSTS = 10  # dots beside the gate for a post, a space and a letter
GATE_GAP = 4  # dots between the gate line and the nearest beam: one cell, so that arrows clear the posts

LOCK = "board.LOCK"  # either of its terminals

LEGEND = (
    ("█", "post"),
    ("━", "leaf"),
    ("⡠⠊", "swing"),
    ("▲", "shut stop"),
    ("◆", "open stop"),
    ("▷╌╌◁", "beam"),
    ("▓", "beam blocked"),
    ("■", "body in the way"),
    ("☻", "you, in the way of the leaves"),
    ("▭ ☻ •", "vehicle, person, dog: ↑ goes in, ↓ goes out, ‖ waits"),
    ("HAZARD!", "somebody is in the way of a leaf that moves"),
    ("✺", "lamp lit"),
    ("☼", "courtesy light lit"),
    ("⊠ ⊡", "electric lock, drawn back"),
    ("◎", "drive under or on the hinge"),
    ("▣", "drive of a leaf that slides"),
    ("wind ↑", "it blows the leaves open; ↓ shut"),
)


@dataclass(frozen=True, slots=True)
class Picture:
    """One painted Yard: rows of cells from the top. The same in words is yard_words."""

    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class _Plan:
    """What of a site decides the drawing's scale; equal plans share one background."""

    leaves: tuple[tuple[str, float, float, bool], ...]  # name, width, travel, whether it slides
    beams: tuple[tuple[str, float], ...]
    locked: bool  # whether there is an electric lock


class Stage:
    """The drawing of one site at one size. `paint` it with each snapshot.

    Not thread-safe; made again by `paint` itself when the plan of the site changes.
    """

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._plan: _Plan | None = None

    def paint(self, snapshot: Snapshot) -> Picture:
        """The picture of `snapshot`, `height` rows of `width` cells."""
        plan = _Plan(
            tuple((leaf.name, leaf.width, leaf.travel, leaf.slides) for leaf in snapshot.leaves),
            tuple((beam.name, beam.offset) for beam in snapshot.beams),
            any(LOCK in wire.a or LOCK in wire.b for wire in snapshot.wires),
        )
        if plan != self._plan:
            self._plan = plan
            self._measure(plan)
        canvas = self._ground.copy()
        taken = self._beams(canvas, snapshot)
        for number, leaf in enumerate(snapshot.leaves):
            self._leaf(canvas, number, leaf)
        self._marks(canvas, snapshot, taken)
        still = self._still
        rows = tuple(canvas.row(n) if n in canvas.touched else still[n] for n in range(self.height))
        return Picture(rows)

    # The part that stands still ----------------------------------------------------------------

    def _measure(self, plan: _Plan) -> None:
        """Choose the scale (dots per metre) and draw posts, arcs, stops and words once."""
        widths = [width for _, width, _, _ in plan.leaves]
        span = math.fsum(widths)
        side = max(_aside(width, travel, slides) for _, width, travel, slides in plan.leaves)
        reach = max(
            SLIDE_SIDE if slides else width * (1.0 if travel >= math.pi / 2 else math.sin(travel))
            for _, width, travel, slides in plan.leaves
        )
        inside = max([reach, *(-offset for _, offset in plan.beams)])
        road = max([ROAD_SIDE, *(offset + 0.2 for _, offset in plan.beams)])
        across, down = 2 * self.width, 4 * self.height
        right = side if len(widths) == 2 else 0.0
        self._scale = min((across - 2 * POSTS) / (span + side + right), (down - 6) / (inside + road))
        used = (span + side + right) * self._scale
        left = (across - used) / 2 + side * self._scale
        gate = min(
            down - 1 - road * self._scale,
            3 + inside * self._scale + (down - (inside + road) * self._scale) / 2,
        )
        self._gate = 4 * math.floor(gate / 4) + 1.5
        self._left = 2 * math.floor(left / 2) + 0.5
        self._right = 2 * math.floor((left + span * self._scale) / 2) + 0.5
        self._drive = Drive(self._left, self._gate, self._scale, span)
        self._ground = self._draw_ground(plan)
        self._still = tuple(self._ground.row(n) for n in range(self.height))

    def _draw_ground(self, plan: _Plan) -> Canvas:
        canvas = Canvas(self.width, self.height)
        row = int(self._gate) // 4
        for number, (name, width, opens, slides) in enumerate(plan.leaves):
            x, _ = self._at(number, width, 0.0)
            canvas.put(int(x) // 2, row + 1, "▲", Ink.STOP)
            if slides:
                self._pocket(canvas, number, name, opens)
                continue
            steps = max(8, round(width * self._scale * opens / 2.5))
            for step in range(steps + 1):
                canvas.dot(*self._at(number, width, opens * step / steps), Ink.ARC)
            x, y = self._at(number, width, opens)
            canvas.put(int(x) // 2, int(y) // 4, "◆", Ink.STOP)
            canvas.put(self._post(number) + (-2 if number == 0 else 3), row, name, Ink.WORD)
        for number in range(2):
            canvas.put(self._post(number), row, "██", Ink.POST)
        canvas.put(1, 0, "inside", Ink.WORD)
        canvas.put(1, self.height - 1, "road", Ink.WORD)
        return canvas

    def _pocket(self, canvas: Canvas, number: int, name: str, travel: float) -> None:
        """Where a leaf that slides runs to, with its drive inside the post and the stop at the end."""
        row, out = int(self._gate) // 4, -1 if number == 0 else 1
        post = self._post(number)
        x, y = self._at(number, 0.0, 0.0)
        end = x + out * travel * self._scale
        canvas.dashes(min(x, end), max(x, end), y, Ink.ARC, 1, 2)
        canvas.put(int(end) // 2, row + 1, "◆", Ink.STOP)
        canvas.put(post + (2 if number == 0 else -1), row - 1, "▣", Ink.STOP)
        canvas.put(post + (-2 if number == 0 else 3), row + 1, name, Ink.WORD)
        canvas.put(post + (-8 if number == 0 else 3), row - 1, "pocket", Ink.WORD)

    def _post(self, number: int) -> int:
        """Leftmost cell of the left (0) or right (1) post, which is two cells wide."""
        return int(self._left) // 2 - 2 if number == 0 else int(self._right) // 2 + 1

    def _at(self, number: int, radius: float, angle: float) -> tuple[float, float]:
        """Dot of a place on leaf `number`, at `radius` m from its hinge and `angle` rad from shut."""
        x = radius * math.cos(angle) * self._scale
        y = self._gate - radius * math.sin(angle) * self._scale
        return (self._left + x if number == 0 else self._right - x), y

    # The part that moves -----------------------------------------------------------------------

    def _leaf(self, canvas: Canvas, number: int, leaf: LeafView) -> None:
        if leaf.slides:
            back, edge = (self._at(number, end - leaf.place, 0.0) for end in (0.0, leaf.width - 0.02))
            canvas.line(back, edge, Ink.LEAF, LEAF_THICK)
            canvas.put(self._post(number), int(self._gate) // 4, "██", Ink.POST)
        else:
            moved_by(canvas, leaf, lambda r, a: self._at(number, r, a), -1.0 if number == 0 else 1.0)
            ends = self._at(number, 0.0, 0.0), self._at(number, leaf.width - 0.02, leaf.place)
            canvas.line(*ends, Ink.LEAF, LEAF_THICK)
        if leaf.body is not None:
            radius, place = leaf.body
            x, y = (
                self._at(number, leaf.width - place, 0.0) if leaf.slides else self._at(number, radius, place)
            )
            canvas.put(round(x) // 2, round(y) // 4, "■", Ink.BODY)

    def _beams(self, canvas: Canvas, snapshot: Snapshot) -> set[int]:
        """Draws the beams. Gives the rows that are taken, by them and by the gate."""
        used: set[int] = {int(self._gate) // 4}
        for beam in snapshot.beams:
            gap = beam.offset * self._scale
            y = self._gate + math.copysign(max(abs(gap), GATE_GAP), gap)
            row = min(max(int(y) // 4, 0), self.height - 1)
            while row in used and 0 < row < self.height - 1:
                row += 1 if gap >= 0 else -1
            used.add(row)
            self._beam(canvas, beam, row, self._drive.first(snapshot.passing, beam.offset))
        return used

    def _beam(self, canvas: Canvas, beam: BeamView, row: int, stands: int | None) -> None:
        """Sender left, receiver right; the line ends where something stands in it, by default half way."""
        first, last = self._post(0) + 1, self._post(1)
        blocked = beam.blocked or beam.crossed
        ink = Ink.BEAM if beam.powered and not blocked else Ink.BROKEN
        middle = (first + last) // 2 if stands is None else min(max(stands, first + 2), last)
        if beam.powered:
            end = middle - 1 if blocked else last
            canvas.dashes(2 * first + 3, 2 * end, 4 * row + 1.5, ink)
        if blocked:
            canvas.put(middle - 1, row, "▓▓", Ink.BROKEN)
        canvas.put(first, row, "▷" if beam.powered else "▹", ink)
        canvas.put(last, row, "◁" if beam.powered else "◃", ink)

    def _marks(self, canvas: Canvas, snapshot: Snapshot, taken: set[int]) -> None:
        row = int(self._gate) // 4
        canvas.put(self._post(0), row - 1, "✺" if snapshot.lamp else "○", Ink.LAMP)
        assert self._plan is not None, "painted with a plan"
        if snapshot.light:
            canvas.put(self._post(1) + 1, row - 1, "☼", Ink.LAMP)
        if self._plan.locked:
            x, _ = self._at(0, self._plan.leaves[0][1], 0.0)
            canvas.put(int(x) // 2 - 2, row + 1, "⊡" if snapshot.drawn else "⊠", Ink.STOP)
        labels = Labels()
        if snapshot.inside:
            self._you(canvas, snapshot, labels)
        for one in snapshot.passing:
            passer(canvas, self._drive, one, labels, taken)
        if wind := wind_words(snapshot.wind):
            canvas.put(max(self.width - len(wind) - 7, 7), 0, f" wind {wind}", Ink.WORD)
        if rain := rain_words(snapshot.rain):
            canvas.put(max(self.width - len(rain) - 2, 7), 1 if wind else 0, f" {rain}", Ink.WORD)

    def _you(self, canvas: Canvas, snapshot: Snapshot, labels: Labels) -> None:
        """Whoever works at the gate, in the way of its leaves."""
        row = int(self._gate) // 4
        middle = int(self._left + self._right) // 4
        depth = int(0.45 * max(leaf.width for leaf in snapshot.leaves) * self._scale) // 4
        if snapshot.you is not None:  # where there was room
            low, high = self._drive.lane(snapshot.you)
            inner, outer = ends(snapshot.you)
            middle = int(self._drive.left + (low + high) / 2 * self._drive.scale) // 2
            depth = int(-(inner + outer) / 2 * self._scale) // 4
        danger = any("you are" in words for words in hazards(snapshot))
        words, ink = ("☻ you HAZARD!", Ink.BROKEN) if danger else ("☻ you", Ink.PERSON)
        labels.put(canvas, middle, row - depth, words, ink)


def _aside(width: float, travel: float, slides: bool) -> float:
    """How far, m, an open leaf stands out beside its post."""
    return travel if slides else max(0.0, -width * math.cos(travel))
