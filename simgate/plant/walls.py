"""What stands in a leaf's way: its two stops and a body, as springs with dampers that only push.

Theory. Each is a wall at a place, on the opening or the shutting side of the leaf. Pressed by a depth x at
a radius r it pushes with max(0, k x + d dx/dt); about the hinge that is k r^2 and d r^2. Both stops act
at the leaf's edge, a body at its own radius; on a leaf that slides r is 1, a place being metres. Implicit
midpoint keeps the energy of a spring exactly, so a contact that begins where it begins, and turns where
it turns (both found within the step), never gives back more than it took; one left early, because the
damper would pull, only loses some.

Contacts between steps, or of a spring stepped explicitly, would make energy with every blow.
"""

from __future__ import annotations

import math

from simgate.plant.drive import INF, DrivenLeaf
from simgate.plant.spec import DriveSpec, LeafKind, LeafSpec, SlideSpec

BODY_STIFFNESS = 5.0e5  # N/m, a gauge of 500 N/mm
STOPS = 2


class WalledLeaf(DrivenLeaf):
    """The part of a leaf that knows what stands in its way. `Leaf` is the whole."""

    __slots__ = (
        "_body_lever", "_body_wall", "_bolt_wall", "_high", "_low", "_met", "_stops", "_walls", "body",
        "body_force", "bolt_force", "peak_body_force", "peak_stop_force", "stop_force",
    )  # fmt: skip

    def __init__(self, leaf: LeafSpec | SlideSpec, drive: DriveSpec, force_coefficient: float) -> None:
        super().__init__(leaf, drive, force_coefficient)
        edge = leaf.lever * leaf.lever
        spring, damper = leaf.stop_stiffness * edge, leaf.stop_damping * edge
        # (place, side on which it stands, N m/rad, N m s/rad or N/m, N s/m); the stops first
        self._walls: tuple[tuple[float, float, float, float], ...] = (
            (0.0, -1.0, spring, damper),
            (leaf.reach, 1.0, spring, damper),
        )
        self._stops = self._walls
        self._body_wall: tuple[tuple[float, float, float, float], ...] = ()
        self._bolt_wall: tuple[tuple[float, float, float, float], ...] = ()
        self._low, self._high = 0.0, leaf.reach  # between these nothing is touched
        self._met = 0
        self._body_lever = leaf.lever
        self.body: tuple[float, float] | None = None
        self.stop_force = self.body_force = self.peak_body_force = self.peak_stop_force = 0.0
        self.bolt_force = 0.0

    def place_body(
        self, radius_m: float, place: float, stiffness: float = BODY_STIFFNESS, damping: float = 0.0
    ) -> None:
        """Put a body in the way at a `place` (rad or m), `radius_m` from the hinge; N/m and N s/m.

        It stands on the side on which it now is: at or past the leaf's place it resists opening, else
        closing. Takes the place of an earlier body and clears the peak. Raises ValueError for a place
        that is not on the leaf or a body that is not elastic. A leaf that slides meets it with its edge,
        whatever the radius.
        """
        lever = radius_m if self.kind is LeafKind.SWINGS else self._lever
        if not 0.0 < lever <= self._lever:
            raise ValueError(f"body radius: {radius_m} m; it must be on the leaf, 0 to {self._lever} m")
        if not math.isfinite(place):
            raise ValueError(f"body place: {place}; it must be a plain number")
        if not (0.0 < stiffness < INF and 0.0 <= damping < INF):
            raise ValueError(f"body: {stiffness} N/m, {damping} N s/m; it must be elastic")
        self.remove_body()
        self.body = (radius_m, place)
        self._body_lever = lever
        self.peak_body_force = 0.0
        side = 1.0 if place >= self.place else -1.0
        square = lever * lever
        self._body_wall = ((place, side, stiffness * square, damping * square),)
        self._put_walls()

    def move_stop(self, share: float) -> None:
        """Set the open stop nearer by a share of the travel; whoever does it takes the leaf along."""
        reach = self._spec.reach * (1.0 - share)
        if reach == self._open:
            return
        self._open = reach
        shut, (_, side, spring, damper), *body = self._walls
        self._walls = (shut, (reach, side, spring, damper), *body)
        self._high = reach
        if self.body is not None and body[0][1] > 0.0:
            self._high = min(reach, self.body[1])
        if self.place > reach:
            self.place, self.speed = reach, 0.0
        self.touched = True

    def remove_body(self) -> None:
        """Take the body away; its peak can still be read."""
        self.body = None
        self.body_force = 0.0
        self._body_wall = ()
        self._put_walls()
        self.wake()

    def bolt_at(self, place: float | None) -> None:
        """Put the bolt of a lock in the way of opening, as stiff as a stop; None draws it."""
        _, _, spring, damper = self._stops[0]
        self._bolt_wall = () if place is None else ((place, 1.0, spring, damper),)
        self.bolt_force = 0.0
        self._put_walls()
        self.wake()

    def _put_walls(self) -> None:
        """All walls anew: the stops first, then the body, then the bolt; between them nothing is touched."""
        self._walls = (*self._stops, *self._body_wall, *self._bolt_wall)
        self._low, self._high = 0.0, self._open
        for place, side, _, _ in (*self._body_wall, *self._bolt_wall):
            if side > 0.0:
                self._high = min(self._high, place)
            else:
                self._low = max(self._low, place)

    # Contacts -------------------------------------------------------------------------------------

    def _pressed(self, place: float, load: float) -> float:
        """`load` with the springs that press on a leaf at rest at `place`."""
        for at, side, spring, _ in self._walls:
            if side * (place - at) > 0.0:
                load -= spring * (place - at)
        return load

    def _speed_after(self, place: float, speed: float, way: float, span: float, load: float) -> float:
        """Speed `span` seconds on, by implicit midpoint, with every contact that pushes (and none pulls)."""
        self._take_piece(speed, way)
        half, inertia, walls = 0.5 * span, self._inertia, self._walls
        touched, bit = 0, 1
        for at, side, _, _ in walls:
            if side * (place - at) > 0.0 or (place == at and side * way > 0.0):
                touched |= bit
            bit += bit
        while True:
            torque, drag, stiff, bit = load + self._drive, self._drag, 0.0, 1
            for at, _, spring, damper in walls:
                if touched & bit:
                    torque -= spring * (place - at)
                    drag += damper
                    stiff += spring
                bit += bit
            damp = (drag + stiff * half) * half
            total = inertia + damp
            after = (inertia - damp) / total * speed + span * torque / total
            mean, pulling, bit = 0.5 * (speed + after), 0, 1
            for at, side, spring, damper in walls:
                if touched & bit and side * (spring * (place - at + half * mean) + damper * mean) < 0.0:
                    pulling |= bit
                bit += bit
            if not pulling:
                return after
            touched &= ~pulling

    def _span_to_rest(self, place: float, speed: float, span: float, load: float, after: float) -> float:
        """Seconds to rest, within `span` seconds which would end at `after` rad/s the other way."""
        way = math.copysign(1.0, speed)
        rest = span * speed / (speed - after)
        for _ in range(2):  # a spring's pull grows on the way: secants, until no energy is made by it
            after = self._speed_after(place, speed, way, rest, load)
            if (speed - after) * way <= 0.0:  # too slow for floats to tell
                break
            rest *= speed / (speed - after)
        return min(rest, span)

    def _share_to_contact(self, place: float, moved: float) -> float:
        """Share of the way from `place` to `moved` at which the first new contact begins; 1 for none."""
        first = 1.0
        for index, (at, side, _, _) in enumerate(self._walls):
            if side * (place - at) < 0.0 < side * (moved - at):
                share = (at - place) / (moved - place)
                if share < first:
                    first, self._met = share, index
        return first

    def _feel(self, place: float, speed: float) -> None:
        """Forces of stops and body as they are at this instant, and their peaks."""
        at_stops, on_body, on_bolt = 0.0, 0.0, 0.0
        bodies = STOPS + len(self._body_wall)
        for index, (at, side, spring, damper) in enumerate(self._walls):
            if side * (place - at) >= 0.0:
                torque = max(0.0, side * (spring * (place - at) + damper * speed))
                if index < STOPS:
                    at_stops += torque / self._lever
                elif index < bodies:
                    on_body = torque / self._body_lever
                else:
                    on_bolt = torque / self._lever
        self.stop_force, self.body_force, self.bolt_force = at_stops, on_body, on_bolt
        if at_stops > self.peak_stop_force:
            self.peak_stop_force = at_stops
        if on_body > self.peak_body_force:
            self.peak_body_force = on_body
