"""Two leaves that overlap: A carries a strip that covers B's edge, so B shuts first and A opens first.

Theory. Near shut the edges stand at y = w sin(th) from the gate line. While the tips are within reach
of each other, (1 - cos thA) wA + (1 - cos thB) wB < overlap, B is on one side of A's strip. Under it
(right order) B cannot open past A: yB <= yA, so B pushes A open and A keeps B shut. On top of it
(wrong order, A was shut first) B cannot come nearer than the strip lets it: yB >= yA + strip, so the
gate stays ajar. The force is a spring with a damper, the same on both leaves, and never pulls. Which side
it is, is decided when the tips come within reach, and kept until they part. Edges that come within reach
already crossed by a little touch without force and part from there: no energy comes from nowhere.

The contact is stepped at 1 ms with its force at the half step; without this file both orders of shutting
would look alike, and the delay between leaves would be a setting that nobody could get wrong.
"""

from __future__ import annotations

import math

from simgate.plant.drive import HALF, STEP, STEPS
from simgate.plant.leaf import Leaf
from simgate.plant.spec import PlantSpec

CALM = 0.25  # of m / dt^2: the stiffest contact that an explicit step still follows closely


class Overlap:
    """The strip between two leaves. side: 0 apart, 1 B under the strip, -1 B on top of it."""

    __slots__ = (
        "_a", "_b", "_damper", "_far_a", "_far_b", "_reach", "_spring", "_strip", "_width_a", "_width_b",
        "force", "side", "slack",
    )  # fmt: skip

    def __init__(self, spec: PlantSpec, a: Leaf, b: Leaf) -> None:
        leaf_a, leaf_b = spec.leaves[0][0], spec.leaves[1][0]
        self._a, self._b = a, b
        self._width_a, self._width_b = leaf_a.width, leaf_b.width
        self._reach, self._strip = spec.overlap, spec.strip
        self._far_a = math.acos(1.0 - spec.overlap / leaf_a.width)
        self._far_b = math.acos(1.0 - spec.overlap / leaf_b.width)
        mass_a = leaf_a.moment / (leaf_a.width * leaf_a.width)
        mass_b = leaf_b.moment / (leaf_b.width * leaf_b.width)
        mass = mass_a * mass_b / (mass_a + mass_b)
        self._spring = min(leaf_a.stop_stiffness, CALM * mass / (STEP * STEP))
        self._damper = min(leaf_a.stop_damping, CALM * mass / STEP)
        self.side = 0.0
        self.slack = 0.0
        self.force = 0.0

    def near(self) -> bool:
        """Whether the tips are within reach of each other; decides the side when they come to be."""
        a, b = self._a.place, self._b.place
        within = a < self._far_a and b < self._far_b
        if within:
            parted = (1.0 - math.cos(a)) * self._width_a + (1.0 - math.cos(b)) * self._width_b
            within = parted < self._reach
        if within == (self.side != 0.0):
            return within
        if within:
            lead = self._width_b * math.sin(b) - self._width_a * math.sin(a)
            self.side = 1.0 if lead < 0.5 * self._strip else -1.0
            self.slack = 0.0
            self.slack = max(0.0, self._depth(a, b))
        else:
            self.side = self.slack = self.force = 0.0
            self._a.wake()
            self._b.wake()
        return within

    def step(self, wind: float) -> None:
        """Advance both leaves by 10 ms."""
        a, b = self._a, self._b
        rests_a, rests_b = a.begin(wind), b.begin(wind)
        if rests_a and rests_b:
            return
        if (rests_a or a.glide()) and (rests_b or b.glide()) and self._clear():
            self.force = 0.0
        else:
            rests_a = rests_b = False
            a.place, a.speed = a.started
            b.place, b.speed = b.started
            for _ in range(STEPS):
                self._grind()
        if not rests_a:
            a.settle()
        if not rests_b:
            b.settle()

    def _grind(self) -> None:
        """One step of 1 ms of both leaves with the force between them."""
        a, b = self._a, self._b
        at_a, at_b = a.place + HALF * a.speed, b.place + HALF * b.speed
        lever_a, lever_b = self._width_a * math.cos(at_a), self._width_b * math.cos(at_b)
        depth = self._depth(at_a, at_b)
        self.force = 0.0
        if depth > 0.0:
            rate = self.side * (lever_b * b.speed - lever_a * a.speed)
            self.force = max(0.0, self._spring * depth + self._damper * rate)
        elif self.slack > 0.0:
            self.slack = max(0.0, self.slack + depth)
        a.grind(self.side * self.force * lever_a)
        b.grind(-self.side * self.force * lever_b)

    def _depth(self, a: float, b: float) -> float:
        """How far, m, the leaves at angles `a` and `b` are pressed into each other; negative apart."""
        lead = self._width_b * math.sin(b) - self._width_a * math.sin(a)
        if self.side < 0.0:
            lead -= self._strip
        return self.side * lead - self.slack

    def _clear(self) -> bool:
        """Whether the leaves, each gone one way since the step began, cannot have touched meanwhile."""
        a, b = self._a, self._b
        from_a, from_b = a.started[0], b.started[0]
        if self.slack > 0.0:
            return False
        if self.side > 0.0:
            return self._depth(min(from_a, a.place), max(from_b, b.place)) < 0.0
        return self._depth(max(from_a, a.place), min(from_b, b.place)) < 0.0
