"""Where a leaf meets something that stands in the drive: plane geometry, seen from above.

Theory. A leaf that swings is a line of length w from its hinge, at angle th from shut, sweeping inwards. A
box in its quarter (near to far across the drive from the hinge's post, front to back inwards from the gate
line) is met by a closing leaf at the greatest angle that any point of it within reach of the leaf has, and
by an opening one at the least. That is a corner, or where the tip of the leaf runs on a side of the box:
acos(near / w) or asin(front / w). A leaf that slides runs along the gate line, away from its own post's
opposite, and meets what stands across that line with its edge.

Lengths in m; places as the plant has them: rad of a leaf that swings, m of one that slides.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from simgate.plant.spec import LeafKind, LeafSpec, SlideSpec

THICK = 0.1  # m on each side of the gate line that a leaf that slides takes up; invented, plausible
NEVER = -1.0  # the place of an opening leaf that meets nothing


class Box(NamedTuple):
    """A box in the drive, m: across from the leaf's own post, and inwards from the gate line."""

    near: float
    far: float
    front: float
    back: float


class Meeting(NamedTuple):
    """Where a leaf meets a box: place and radius, opening (from below) and closing (from above)."""

    opening: float
    opening_radius: float
    closing: float
    closing_radius: float

    def holds(self, place: float, margin: float) -> bool:
        """Whether a leaf at `place` would be within `margin` of the box, or in it."""
        return self.opening - margin < place < self.closing + margin


@dataclass(frozen=True, slots=True)
class Sweep:
    """What one leaf can reach. lever: m that its edge moves for one unit of its place."""

    slides: bool
    length: float  # m: of the leaf that swings, of the way of one that slides
    reach: float
    lever: float

    @staticmethod
    def of(leaf: LeafSpec | SlideSpec) -> Sweep:
        """The sweep of a leaf."""
        slides = leaf.kind is LeafKind.SLIDES
        return Sweep(slides, leaf.reach if slides else leaf.width, leaf.reach, leaf.lever)

    @property
    def depth(self) -> float:
        """How far inwards, m, it comes on its way."""
        if self.slides:
            return THICK
        return self.length * (1.0 if self.reach >= math.pi / 2 else math.sin(self.reach))

    def covers(self, place: float) -> float:
        """How much of the drive's width, m from its own post, a leaf at `place` takes up."""
        if self.slides:
            return max(0.0, self.length - place)
        return self.length * max(0.0, math.cos(place))

    def meets(self, box: Box) -> Meeting | None:
        """Where it meets `box`, or None for one that it never reaches."""
        return self._edge_on(box) if self.slides else self._swings_on(box)

    def _edge_on(self, box: Box) -> Meeting | None:
        place = self.length - box.near
        if place <= 0.0 or box.front >= THICK or box.back <= -THICK:
            return None
        return Meeting(NEVER, self.lever, place, self.lever)

    def _swings_on(self, box: Box) -> Meeting | None:
        near, front, w = max(box.near, 0.01), max(box.front, 0.0), self.length
        if box.back <= 0.0 or math.hypot(near, front) >= w:
            return None
        if math.hypot(near, box.back) <= w:
            closing, closing_radius = math.atan2(box.back, near), math.hypot(near, box.back)
        else:
            closing, closing_radius = math.acos(near / w), w
        if front == 0.0:
            opening, opening_radius = NEVER, w
        elif math.hypot(box.far, front) <= w:
            opening, opening_radius = math.atan2(front, box.far), math.hypot(box.far, front)
        else:
            opening, opening_radius = math.asin(front / w), w
        return Meeting(opening, opening_radius, closing, closing_radius)
