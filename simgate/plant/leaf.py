"""One swing leaf with its drive, stops and a body in the way: the whole 1 ms step, in one slots object.

Theory. drive.py gives the torque that the leaf feels as straight pieces, drive - drag w; walls.py adds
what stands in its way. Three files for reading, one object for running.

Method. Within a piece one second-order step (implicit midpoint; Crank-Nicolson for the damping) is
w <- a w + b with constant a and b. `glide` does ten such steps with nothing in reach; `grind` does one,
finding the instants at which a contact begins or the leaf comes to rest within it. Both do the same
arithmetic, and a ten-step glide is kept only if its end shows that a grind could not have differed: the
map is monotone for a >= 0, so an end inside the piece and clear of every contact means that all of it
was.
"""

from __future__ import annotations

import math

from simgate.plant.drive import CREEP, HALF, MIDDLE, STEP, STEPS
from simgate.plant.linkage import TURN
from simgate.plant.spec import DriveSpec, LeafSpec
from simgate.plant.walls import WalledLeaf

EVENTS = 16  # contacts and rests that one step may meet; more would be chatter without end


class Leaf(WalledLeaf):
    """A leaf's state and step. SI, rad from shut, positive opens.

    Readable: angle, speed, current (A in the winding), turns (motor shaft revolutions), stop_force (N at
    the edge), peak_stop_force (N, resettable), body_force, peak_body_force (N, since the body was
    placed), body (radius, angle) or None.
    Writable between steps: volts, ohms (outside the winding, inf for a parted circuit), limit (A),
    powered, released, push (N at the edge).
    """

    __slots__ = ("_a", "_angle0", "_b", "_speed0", "_turns_per_rad", "current", "turns")

    def __init__(self, leaf: LeafSpec, drive: DriveSpec, force_coefficient: float = 1.2) -> None:
        super().__init__(leaf, drive, force_coefficient)
        self._turns_per_rad = drive.motor.reduction / TURN
        self.current = self.turns = 0.0
        self._a = self._b = self._angle0 = self._speed0 = 0.0

    def put(self, angle: float, speed: float = 0.0) -> None:
        """Set the leaf to `angle` rad and `speed` rad/s as if it had always been there; turns are kept."""
        self.angle, self.speed = angle, speed
        self._geared, self._ratio, self._bend = self._linkage.at(angle)
        self.wake()

    @property
    def started(self) -> tuple[float, float]:
        """Angle and speed at the beginning of the last ten steps."""
        return self._angle0, self._speed0

    def emf(self) -> float:
        """What the turning winding makes, V, opening positive; one that runs free makes all of its supply."""
        return self._gain * self.speed if self._coupled else self._source

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
        return self._asleep and not self.touched and wind == self._wind

    def begin(self, wind: float) -> bool:
        """Take the inputs. True when there is nothing to do."""
        if self.touched or wind != self._wind:
            self._take_inputs(wind)
            self.wake()
        elif self._asleep:
            return True
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
        if self._hinged:
            geared = angle
        else:
            geared, self._ratio, self._bend = self._linkage.at(angle)
        if self._coupled:
            amps = (self._source - self._gain * speed) / self._loop
            ceiling = self._ceiling
            self.current = ceiling if amps > ceiling else -ceiling if amps < -ceiling else amps
            self.turns += self._turns_per_rad * (geared - self._geared)
        else:
            self.current = 0.0
            self.turns += self._pace
        self._geared = geared
        if self._low <= angle <= self._high:
            self.stop_force = self.body_force = 0.0
        else:
            self._feel(angle, speed)
        if before is None:
            self._asleep = False  # also where the other leaf has pushed a sleeping one
        else:
            after = (self.current, self.stop_force, self.body_force, self.turns)
            unmoved = self._speed0 == 0.0 and angle == self._angle0
            self._asleep = unmoved and not self._driven and before == after
