"""Linkages as numbers: brackets, arms and rods, and the angles at which they can work no more.

Every linkage is drawn from the hinge: shut leaf along x, opening towards y, which is the drive's side; post
pivot at (-a, b). A linkage that comes to a dead centre within its leaf's travel would turn the leaf with
no force, or be turned by it with no end; `check_reach` refuses it in plain words where the plant is made.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simgate.plant.checks import above, not_below

MARGIN = 0.02  # rad kept from every dead centre: beyond it the leverage is too small to mean anything


@dataclass(frozen=True, slots=True)
class HingeLinkage:
    """The gearbox output turns the leaf itself: ratio 1 at every angle. mount: where the drive sits."""

    mount: str = "hinge"

    @property
    def word(self) -> str:
        """What moves the leaf, in a word or two."""
        return self.mount

    def check_reach(self, width: float, open_angle: float) -> None:
        """A drive at the hinge reaches every angle."""


@dataclass(frozen=True, slots=True)
class RackLinkage:
    """A pinion on the gearbox output in a rack along a sliding leaf. pinion_radius: m, at the pitch line."""

    pinion_radius: float

    def __post_init__(self) -> None:
        above("pinion radius", self.pinion_radius, "m")

    @property
    def word(self) -> str:
        """See `HingeLinkage`."""
        return "rack"

    def check_reach(self, width: float, open_angle: float) -> None:
        """A rack is as long as its leaf needs it."""


@dataclass(frozen=True, slots=True)
class RamLinkage:
    """A linear ram between a post bracket and a leaf bracket.

    a: m, from the hinge along the shut leaf's line, outward past the post, to the post pivot.
    b: m, from the hinge at right angles to the shut leaf, on the drive's side, to the post pivot.
    arm: m, from the hinge along the leaf to the leaf pivot. screw_lead: m of ram travel per turn of the
    gearbox output. The ram shortens as the leaf opens towards its own side.
    """

    a: float
    b: float
    arm: float
    screw_lead: float

    def __post_init__(self) -> None:
        not_below("ram bracket a", self.a, "m")
        not_below("ram bracket b", self.b, "m")
        above("ram arm", self.arm, "m")
        above("ram screw lead", self.screw_lead, "m")
        if self.a == 0.0 and self.b == 0.0:
            raise ValueError("ram brackets a and b are both 0 m; the ram would have no leverage")

    @property
    def word(self) -> str:
        """See `HingeLinkage`."""
        return "ram"

    def dead_centre(self) -> float:
        """Angle in rad at which post pivot, hinge and leaf pivot are in line and the ram can pull no more."""
        return math.pi - math.atan2(self.b, self.a)

    def least_length(self, open_angle: float) -> float:
        """Length in m between the pivots with the leaf fully open, where the ram is shortest."""
        across = self.a * math.cos(open_angle) - self.b * math.sin(open_angle)
        square = self.arm * self.arm + self.a * self.a + self.b * self.b + 2.0 * self.arm * across
        return math.sqrt(max(square, 0.0))

    def check_reach(self, width: float, open_angle: float) -> None:
        """Refuse a ram that would come to its dead centre, or to nothing, within the leaf's travel."""
        if self.b == 0.0:
            raise ValueError("ram bracket b: 0 m; with the leaf shut the ram would have no leverage")
        if open_angle >= self.dead_centre() - MARGIN:
            raise ValueError(
                f"leaf open angle: {open_angle:.3f} rad; the ram on these brackets reaches its dead centre "
                f"at {self.dead_centre():.3f} rad"
            )
        if self.least_length(open_angle) < 0.01 * self.arm:
            raise ValueError("ram: its two pivots meet within the leaf's travel; change a, b or the arm")
        if self.arm > width:
            raise ValueError(f"ram arm: {self.arm} m; it must be on the leaf, {width} m wide")


@dataclass(frozen=True, slots=True)
class ArmLinkage:
    """A folding arm: the gearbox output turns an arm on the post, a rod joins the arm to a leaf bracket.

    a, b: m, from the hinge to the gearbox output, as for a ram. arm: m, from output to elbow. rod: m, from
    elbow to bracket. along, off: m, from the hinge along the leaf to the bracket and, at right angles, off
    the leaf's line towards the drive. The elbow folds away from the leaf, into the yard when shut and
    behind the leaf when open, so that the gearbox turns the same way as the leaf.
    """

    a: float
    b: float
    arm: float
    rod: float
    along: float
    off: float

    def __post_init__(self) -> None:
        not_below("folding arm bracket a", self.a, "m")
        not_below("folding arm bracket b", self.b, "m")
        above("folding arm", self.arm, "m")
        above("folding arm rod", self.rod, "m")
        above("folding arm leaf bracket along the leaf", self.along, "m")
        not_below("folding arm leaf bracket off the leaf", self.off, "m")
        if self.a == 0.0 and self.b == 0.0:
            raise ValueError("folding arm brackets a and b are both 0 m; the drive would sit on the hinge")
        if math.hypot(self.a, self.b) >= math.hypot(self.along, self.off):
            raise ValueError(
                f"folding arm leaf bracket: {math.hypot(self.along, self.off):.3f} m from the hinge; it must "
                f"be farther out than the drive, {math.hypot(self.a, self.b):.3f} m"
            )

    @property
    def word(self) -> str:
        """See `HingeLinkage`."""
        return "folding arm"

    def span(self, angle: float) -> float:
        """Distance, m, from gearbox output to leaf bracket at a leaf angle."""
        along = self.along * math.cos(angle) - self.off * math.sin(angle) + self.a
        up = self.along * math.sin(angle) + self.off * math.cos(angle) - self.b
        return math.hypot(along, up)

    def spans(self, first: float, last: float) -> tuple[float, float]:
        """Least and greatest span, m, between two leaf angles less than half a turn apart.

        The span grows or shrinks all the way but where bracket, hinge and output are in line.
        """
        ends = [self.span(first), self.span(last)]
        lined_up = math.atan2(self.b, -self.a) - math.atan2(self.off, self.along)
        ends += [self.span(angle) for angle in (lined_up, lined_up - math.pi) if first < angle < last]
        return min(ends), max(ends)

    def leads(self) -> bool:
        """Whether the elbow of the shut leaf is on the drive's side of the line through hinge and bracket."""
        x, y = self.along + self.a, self.off - self.b
        span = math.hypot(x, y)
        along = (self.arm * self.arm - self.rod * self.rod + span * span) / (2.0 * span)
        up = math.sqrt(max(0.0, self.arm * self.arm - along * along))
        elbow_x, elbow_y = (along * x - up * y) / span - self.a, (along * y + up * x) / span + self.b
        return self.along * elbow_y - self.off * elbow_x > 0.0

    def dead_centres(self) -> list[float]:
        """Leaf angles, rad from -pi to pi, at which the rod points at the hinge and turns the leaf no more.

        Then the elbow is on the line from hinge to bracket, a rod's length from the bracket either way;
        hinge, output and elbow make a triangle with three known sides.
        """
        post, reach = math.hypot(self.a, self.b), math.hypot(self.along, self.off)
        found = []
        for out in (reach + self.rod, reach - self.rod):  # of the elbow from the hinge; behind it if negative
            cosine = (out * out + post * post - self.arm * self.arm) / (2.0 * out * post) if out else 2.0
            if abs(cosine) > 1.0:
                continue
            for at_hinge in (math.acos(cosine), -math.acos(cosine)):
                line = math.atan2(self.b, -self.a) + at_hinge  # of the elbow's and the bracket's ray
                if self._folds_away(line, out):
                    angle = line - math.atan2(self.off, self.along)
                    found.append(math.remainder(angle, 2.0 * math.pi))
        return sorted(found)

    def _folds_away(self, line: float, out: float) -> bool:
        """Whether an elbow `out` m from the hinge on `line` is on its side of output and bracket."""
        reach = math.hypot(self.along, self.off)
        cosine, sine = math.cos(line), math.sin(line)
        across = (reach * cosine + self.a) * (out * sine - self.b)
        return across - (reach * sine - self.b) * (out * cosine + self.a) > 0.0

    def check_reach(self, width: float, open_angle: float) -> None:
        """Refuse an arm that is stretched, folded flat or at its dead centre within the leaf's travel."""
        if self.along > width:
            raise ValueError(
                f"folding arm leaf bracket: {self.along} m along; it must be on the leaf, {width} m wide"
            )
        if open_angle >= math.pi - MARGIN:
            raise ValueError(
                f"leaf open angle: {open_angle:.3f} rad; a folding arm needs less than half a turn"
            )
        least, most = self.spans(-MARGIN, open_angle + MARGIN)
        if most > self._across(math.pi - MARGIN):
            raise ValueError(
                f"folding arm: arm and rod are {self.arm + self.rod:.3f} m in line, a dead centre; "
                f"the bracket goes {most:.3f} m from the drive and must stay nearer"
            )
        if least < self._across(MARGIN):
            raise ValueError(
                f"folding arm: folded flat, arm and rod are {abs(self.arm - self.rod):.3f} m long, a dead "
                f"centre; the bracket comes to {least:.3f} m from the drive and must stay farther"
            )
        if not self.leads():
            raise ValueError(
                "folding arm: with the leaf shut the arm reaches past the leaf bracket, and pulls the leaf "
                "shut when it should open; make the arm shorter"
            )
        for angle in self.dead_centres():
            if -MARGIN <= angle <= open_angle + MARGIN:
                raise ValueError(
                    f"leaf open angle: {open_angle:.3f} rad; the folding arm on these brackets reaches its "
                    f"dead centre at {angle:.3f} rad, where the rod points at the hinge"
                )

    def _across(self, at_elbow: float) -> float:
        """Span, m, for an angle between arm and rod (law of cosines)."""
        square = self.arm * self.arm + self.rod * self.rod
        return math.sqrt(max(0.0, square - 2.0 * self.arm * self.rod * math.cos(at_elbow)))
