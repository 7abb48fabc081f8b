"""One swing leaf with its drive, stops and a body in the way: the whole 1 ms step, in one slots object.

Theory. drive.py gives the torque that the leaf feels as straight pieces, drive - drag w. Contacts are
springs with dampers, felt only while their force is a push; both stops act at the leaf's edge, a body at
its radius. They turn about the hinge as k r^2 and d r^2.

Method. Within a piece one second-order step (implicit midpoint; Crank-Nicolson for the damping) is
w <- a w + b with constant a and b. `glide` does ten such steps with nothing in reach; `grind` does one,
finding the instants at which a contact begins or the leaf comes to rest within it. Both do the same
arithmetic, and a ten-step glide is kept only if its end shows that a grind could not have differed: the
map is monotone for a >= 0, so an end inside the piece and clear of every contact means that all of it
was. Implicit midpoint keeps the energy of a spring exactly, so a contact never gives back more than it
took; a contact left early (the damper would pull) only loses some.
"""

from __future__ import annotations

import math

from simgate.plant.drive import CREEP, HALF, INF, MIDDLE, STEP, STEPS, DrivenLeaf
from simgate.plant.linkage import TURN
from simgate.plant.spec import DriveSpec, LeafSpec

EVENTS = 16  # contacts and rests that one step may meet; more would be chatter without end
BODY_STIFFNESS = 5.0e5  # N/m, a gauge of 500 N/mm


class Leaf(DrivenLeaf):
    """A leaf's state and step. SI, rad from shut, positive opens.

    Readable: angle, speed, current (A in the winding), turns (motor shaft revolutions), stop_force (N at
    the edge), peak_stop_force (N, resettable), body_force, peak_body_force (N, since the body was
    placed), body (radius, angle) or None.
    Writable between steps: volts, ohms (outside the winding, inf for a parted circuit), limit (A),
    powered, released, push (N at the edge).
    """

    __slots__ = (
        "_a", "_angle0", "_b", "_high", "_low", "_met", "_speed0", "_turns_per_rad", "_walls", "body",
        "body_force", "current", "peak_body_force", "peak_stop_force", "stop_force", "turns",
    )  # fmt: skip

    def __init__(self, leaf: LeafSpec, drive: DriveSpec, force_coefficient: float = 1.2) -> None:
        super().__init__(leaf, drive, force_coefficient)
        self._turns_per_rad = drive.motor.reduction / TURN
        self.current = self.turns = 0.0
        self.stop_force = self.body_force = self.peak_body_force = self.peak_stop_force = 0.0
        self.body: tuple[float, float] | None = None
        self._a = self._b = self._angle0 = self._speed0 = 0.0
        self._met = 0
        edge = leaf.width * leaf.width
        spring, damper = leaf.stop_stiffness * edge, leaf.stop_damping * edge
        self._walls: tuple[tuple[float, float, float, float], ...] = (
            (0.0, -1.0, spring, damper),
            (leaf.open_angle, 1.0, spring, damper),
        )  # (angle, side on which it stands, N m/rad, N m s/rad)
        self._low, self._high = 0.0, leaf.open_angle

    # Hands ----------------------------------------------------------------------------------------

    def put(self, angle: float, speed: float = 0.0) -> None:
        """Set the leaf to `angle` rad and `speed` rad/s as if it had always been there; turns are kept."""
        self.angle, self.speed = angle, speed
        self.wake()

    def place_body(
        self, radius_m: float, angle_rad: float, stiffness: float = BODY_STIFFNESS, damping: float = 0.0
    ) -> None:
        """Put a body in the way at `radius_m` from the hinge; N/m and N s/m.

        It stands on the side on which it now is: at or past the leaf's angle it resists opening, else
        closing. Takes the place of an earlier body and clears the peak. Raises ValueError for a place
        that is not on the leaf or a body that is not elastic.
        """
        if not 0.0 < radius_m <= self._width:
            raise ValueError(f"body radius: {radius_m} m; it must be on the leaf, 0 to {self._width} m")
        if not math.isfinite(angle_rad):
            raise ValueError(f"body angle: {angle_rad} rad; it must be a plain number")
        if not (0.0 < stiffness < INF and 0.0 <= damping < INF):
            raise ValueError(f"body: {stiffness} N/m, {damping} N s/m; it must be elastic")
        self.remove_body()
        self.body = (radius_m, angle_rad)
        self.peak_body_force = 0.0
        side = 1.0 if angle_rad >= self.angle else -1.0
        square = radius_m * radius_m
        self._walls = (*self._walls[:2], (angle_rad, side, stiffness * square, damping * square))
        if side > 0.0:
            self._high = min(self._open, angle_rad)
        else:
            self._low = max(0.0, angle_rad)

    def remove_body(self) -> None:
        """Take the body away; its peak can still be read."""
        self.body = None
        self.body_force = 0.0
        self._walls = self._walls[:2]
        self._low, self._high = 0.0, self._open
        self.wake()

    # Reading --------------------------------------------------------------------------------------

    @property
    def started(self) -> tuple[float, float]:
        """Angle and speed at the beginning of the last ten steps."""
        return self._angle0, self._speed0

    def state(self) -> tuple[float, ...]:
        """Every float of the leaf: what it does, what was asked of it, and the body in its way."""
        radius, angle = self.body or (0.0, 0.0)
        return (
            self.angle, self.speed, self.current, self.turns, self.stop_force, self.peak_stop_force,
            self.body_force, self.peak_body_force, self.volts, self.ohms, self.limit, self.push,
            float(self.powered), float(self.released), radius, angle,
        )  # fmt: skip

    # Step -----------------------------------------------------------------------------------------

    def step(self, wind: float) -> None:
        """Advance 10 ms in a wind of `wind` m/s."""
        if not self.begin(wind):
            if not self.glide():
                for _ in range(STEPS):
                    self.grind(0.0)
            self.settle()

    def idle(self, wind: float) -> bool:
        """True when a step would change nothing: the last one did not, and nothing was touched since."""
        return self._asleep and self._same(wind)

    def begin(self, wind: float) -> bool:
        """Take the inputs. True when there is nothing to do."""
        if self._same(wind):
            if self._asleep:
                return True
        else:
            self._take_inputs(wind)
            self.wake()
        angle = self._angle0 = self.angle
        speed = self._speed0 = self.speed
        if self._varies:
            self._take_angle(angle + speed * MIDDLE)
            self._piece_low = self._piece_high = 0.0
        return False

    def glide(self) -> bool:
        """Ten steps at once with nothing in reach; False, and nothing done, where that may be wrong."""
        angle, speed = self.angle, self.speed
        low, high = self._low, self._high
        if not low <= angle <= high:
            return False
        if not self._piece_low < speed < self._piece_high:
            way = 1.0 if speed > 0.0 else -1.0 if speed < 0.0 else self._tendency(self._load)
            if way == 0.0:
                return True
            self._take_piece(speed, way)
            damp = self._drag * HALF
            total = self._inertia + damp
            self._a = (self._inertia - damp) / total
            self._b = STEP * (self._load + self._drive) / total
        a, b, h = self._a, self._b, HALF
        v = a * speed + b
        angle += h * (speed + v)
        w = a * v + b
        angle += h * (v + w)
        v = a * w + b
        angle += h * (w + v)
        w = a * v + b
        angle += h * (v + w)
        v = a * w + b
        angle += h * (w + v)
        w = a * v + b
        angle += h * (v + w)
        v = a * w + b
        angle += h * (w + v)
        w = a * v + b
        angle += h * (v + w)
        v = a * w + b
        angle += h * (w + v)
        w = a * v + b
        angle += h * (v + w)
        if low < angle < high and self._piece_low < w < self._piece_high and a >= 0.0:
            self.angle, self.speed = angle, w
            return True
        return False

    def grind(self, extra: float) -> None:
        """One step of 1 ms with contacts, starts and rests found within it; `extra` N m besides."""
        angle, speed, left = self.angle, self.speed, STEP
        load = self._load + extra
        for _ in range(EVENTS):
            way = math.copysign(1.0, speed) if speed else self._tendency(self._pressed(angle, load))
            if way == 0.0:
                break
            span, after = left, self._speed_after(angle, speed, way, left, load)
            if after * way < 0.0:  # comes to rest within the step, and is asked again from there
                if speed == 0.0:
                    break
                span, after = self._span_to_rest(angle, speed, left, load, after), 0.0
            moved = angle + 0.5 * span * (speed + after)
            share = self._share_to_contact(angle, moved)
            if share < 1.0:
                angle = self._walls[self._met][0]
                speed += share * (after - speed)
            else:
                creeps = abs(after) < CREEP and abs(after) < abs(speed) and self._capacity > 0.0
                angle, speed = moved, 0.0 if creeps else after
            left -= share * span
            self._feel(angle, speed)
            if left <= 0.0:
                break
        self.angle, self.speed = angle, speed
        self._piece_low = self._piece_high = 0.0

    def settle(self) -> None:
        """Bring what can be read (current, turns, forces) in line with angle and speed."""
        angle, speed = self.angle, self.speed
        before = (self.current, self.stop_force, self.body_force, self.turns) if speed == 0.0 else None
        if self._coupled:
            amps = (self._source - self._gain * speed) / self._loop
            ceiling = self._ceiling
            self.current = ceiling if amps > ceiling else -ceiling if amps < -ceiling else amps
            if self._hinged:
                self.turns += self._turns_per_rad * (angle - self._angle0)
            else:
                turned = self._linkage.turned
                self.turns += self._turns_per_rad * (turned(angle) - turned(self._angle0))
        else:
            self.current = 0.0
            self.turns += self._pace
        if self._low <= angle <= self._high:
            self.stop_force = self.body_force = 0.0
        else:
            self._feel(angle, speed)
        if before is not None:
            after = (self.current, self.stop_force, self.body_force, self.turns)
            unmoved = self._speed0 == 0.0 and angle == self._angle0
            self._asleep = unmoved and not self._driven and before == after

    # Contacts -------------------------------------------------------------------------------------

    def _pressed(self, angle: float, load: float) -> float:
        """`load` with the springs that press on a leaf at rest at `angle`."""
        for at, side, spring, _ in self._walls:
            if side * (angle - at) > 0.0:
                load -= spring * (angle - at)
        return load

    def _speed_after(self, angle: float, speed: float, way: float, span: float, load: float) -> float:
        """Speed `span` seconds on, by implicit midpoint, with every contact that pushes (and none pulls)."""
        self._take_piece(speed, way)
        half, inertia = 0.5 * span, self._inertia
        touched = [
            wall
            for wall in self._walls
            if wall[1] * (angle - wall[0]) > 0.0 or (angle == wall[0] and wall[1] * way > 0.0)
        ]
        while True:
            torque, drag, stiff = load + self._drive, self._drag, 0.0
            for at, _, spring, damper in touched:
                torque -= spring * (angle - at)
                drag += damper
                stiff += spring
            damp = (drag + stiff * half) * half
            total = inertia + damp
            after = (inertia - damp) / total * speed + span * torque / total
            mean = 0.5 * (speed + after)
            pushing = [
                wall
                for wall in touched
                if wall[1] * (wall[2] * (angle - wall[0] + half * mean) + wall[3] * mean) >= 0.0
            ]
            if len(pushing) == len(touched):
                return after
            touched = pushing

    def _span_to_rest(self, angle: float, speed: float, span: float, load: float, after: float) -> float:
        """Seconds to rest, within `span` seconds which would end at `after` rad/s the other way."""
        way = math.copysign(1.0, speed)
        rest = span * speed / (speed - after)
        for _ in range(2):  # a spring's pull grows on the way: secants, until no energy is made by it
            after = self._speed_after(angle, speed, way, rest, load)
            if (speed - after) * way <= 0.0:  # too slow for floats to tell
                break
            rest *= speed / (speed - after)
        return min(rest, span)

    def _share_to_contact(self, angle: float, moved: float) -> float:
        """Share of the way from `angle` to `moved` at which the first new contact begins; 1 for none."""
        first = 1.0
        for index, (at, side, _, _) in enumerate(self._walls):
            if side * (angle - at) < 0.0 < side * (moved - at):
                share = (at - angle) / (moved - angle)
                if share < first:
                    first, self._met = share, index
        return first

    def _feel(self, angle: float, speed: float) -> None:
        """Forces of body and stops as they are at this instant, and their peaks."""
        low, high, *others = self._walls
        force = 0.0
        for at, side, spring, damper in (low, high):
            if side * (angle - at) > 0.0:
                force = max(0.0, side * (spring * (angle - at) + damper * speed) / self._width)
        self.stop_force = force
        if force > self.peak_stop_force:
            self.peak_stop_force = force
        for at, side, spring, damper in others:
            force = 0.0
            if side * (angle - at) >= 0.0 and self.body is not None:
                force = max(0.0, side * (spring * (angle - at) + damper * speed) / self.body[0])
            self.body_force = force
            if force > self.peak_body_force:
                self.peak_body_force = force
