"""Linkages: how far the gearbox output turns for a turn of the leaf, at every angle (or a metre of slide).

Theory. r(th) = d(gearbox angle) / d(leaf angle). It multiplies torque and divides speed, so a ram that
pulls with little leverage near shut is strong and slow there, or weak and fast, only by its brackets.

- Hinge: r = 1. Rack: r = 1 / pinion radius, rad/m.
- Ram: hinge at the origin, shut leaf along x, opening towards y. Post pivot at (-a, b), leaf pivot at
  arm (cos th, sin th). Length s^2 = arm^2 + a^2 + b^2 + 2 arm (a cos th - b sin th). The moment arm is
  m = -ds/dth = arm (a sin th + b cos th) / s, and r = 2 pi m / lead, so opening polarity shortens the
  ram. dm/dth = (arm (a cos th - b sin th) + m^2) / s.
- Folding arm: output P = (-a, b), bracket Q at the leaf angle, elbow E. With u = E - P (the arm) and
  v = E - Q (the rod), the rod keeps its length: v . (E' - Q') = 0, so r = (Q x v) / (u x v), and
  dr/dth = (r Q.u - Q.v - Q.Q - r (r u.u - r u.v - u.Q)) / (u x v). The output's angle is that of Q, plus
  that from Q to the line P-Q (never a quarter turn, Q being farther out), plus that at P, from a triangle.
"""

from __future__ import annotations

import math
from math import atan2, cos, sin, sqrt
from typing import Protocol

from simgate.plant.brackets import ArmLinkage, HingeLinkage, RackLinkage, RamLinkage
from simgate.plant.oil import OilRamLinkage

TURN = 2.0 * math.pi
FLAT = 1.0e-6  # of the arm squared: past its margin a stretched arm keeps this much, so that it stays finite


class Linkage(Protocol):
    """What the leaf's step asks of a linkage; a leaf's angle in rad from shut, or its place in m."""

    @property
    def constant(self) -> bool:
        """Whether the ratio is the same at every angle."""

    def at(self, angle: float) -> tuple[float, float, float]:
        """(turned, ratio, bend) at a leaf angle.

        turned: gearbox angle, rad, counted from the shut leaf, positive in opening direction.
        ratio: d(gearbox angle) / d(leaf angle). bend: its own slope over the leaf angle, 1/rad.
        """


class Hinge:
    """The gearbox output on the hinge itself."""

    __slots__ = ()
    constant = True

    def at(self, angle: float) -> tuple[float, float, float]:
        """See `Linkage`."""
        return angle, 1.0, 0.0


class Rack:
    """A pinion in the rack of a sliding leaf."""

    __slots__ = ("_ratio",)
    constant = True

    def __init__(self, spec: RackLinkage) -> None:
        self._ratio = 1.0 / spec.pinion_radius

    def at(self, angle: float) -> tuple[float, float, float]:
        """See `Linkage`."""
        return angle * self._ratio, self._ratio, 0.0


class Ram:
    """A screw ram between post and leaf."""

    __slots__ = ("_a", "_arm", "_b", "_shut", "_square", "_turn_per_metre")
    constant = False

    def __init__(self, spec: RamLinkage) -> None:
        self._a = spec.a
        self._b = spec.b
        self._arm = spec.arm
        self._square = spec.arm * spec.arm + spec.a * spec.a + spec.b * spec.b
        self._turn_per_metre = TURN / spec.screw_lead
        self._shut = self.length(0.0)

    def length(self, angle: float) -> float:
        """Distance between the pivots, m."""
        across = self._a * cos(angle) - self._b * sin(angle)
        return sqrt(self._square + 2.0 * self._arm * across)

    def leverage(self, angle: float) -> float:
        """Moment arm of the ram about the hinge, m, positive when pulling opens."""
        along = self._a * sin(angle) + self._b * cos(angle)
        return self._arm * along / self.length(angle)

    def at(self, angle: float) -> tuple[float, float, float]:
        """See `Linkage`."""
        sine, cosine = sin(angle), cos(angle)
        arm, across = self._arm, self._a * cosine - self._b * sine
        length = sqrt(self._square + 2.0 * arm * across)
        lever = arm * (self._a * sine + self._b * cosine) / length
        scale = self._turn_per_metre
        bend = (arm * across + lever * lever) / length
        return (self._shut - length) * scale, lever * scale, bend * scale


class Arm:
    """An arm on the gearbox output and a rod to the leaf."""

    __slots__ = ("_a", "_along", "_arm", "_b", "_off", "_part", "_shut", "_square")
    constant = False

    def __init__(self, spec: ArmLinkage) -> None:
        self._a = spec.a
        self._b = spec.b
        self._along = spec.along
        self._off = spec.off
        self._arm = spec.arm * spec.arm
        self._part = spec.arm * spec.arm - spec.rod * spec.rod
        self._square = spec.along * spec.along + spec.off * spec.off
        self._shut = 0.0
        self._shut = self.at(0.0)[0]

    def at(self, angle: float) -> tuple[float, float, float]:
        """See `Linkage`."""
        sine, cosine = sin(angle), cos(angle)
        qx = self._along * cosine - self._off * sine
        qy = self._along * sine + self._off * cosine
        wx, wy = qx + self._a, qy - self._b  # from output to bracket
        span2 = wx * wx + wy * wy
        span = sqrt(span2)
        along = (self._part + span2) / (2.0 * span)
        up = sqrt(max(FLAT * self._arm, self._arm - along * along))
        ux, uy = (along * wx - up * wy) / span, (along * wy + up * wx) / span
        vx, vy = ux - wx, uy - wy
        fold = span * up  # u x v
        ratio = (qx * vy - qy * vx) / fold
        qu = qx * ux + qy * uy
        bend = ratio * qu - (qx * vx + qy * vy) - self._square
        bend -= ratio * (ratio * (ux * ux + uy * uy - ux * vx - uy * vy) - qu)
        turned = angle + atan2(qx * wy - qy * wx, qx * wx + qy * wy) + atan2(up, along)
        return turned - self._shut, ratio, bend / fold


def linkage(spec: HingeLinkage | RackLinkage | RamLinkage | ArmLinkage | OilRamLinkage) -> Linkage:
    """The linkage for its spec; of a hydraulic ram, while it opens."""
    match spec:
        case RamLinkage():
            return Ram(spec)
        case ArmLinkage():
            return Arm(spec)
        case RackLinkage():
            return Rack(spec)
        case OilRamLinkage():
            return Ram(spec.ram(opening=True))
    return Hinge()
