"""One leaf with its drive, stops and a body in the way: the whole 1 ms step, in one slots object.

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
from simgate.plant.spec import DriveSpec, LeafSpec, SlideSpec
from simgate.plant.walls import WalledLeaf

EVENTS = 16  # contacts and rests that one step may meet; more would be chatter without end


class Leaf(WalledLeaf):
    """A leaf's state and step. SI, from shut, positive opens.

    Readable: kind (`LeafKind`), place (rad of a leaf that swings, m of one that slides), speed (the same
    per s), current (A in the winding), turns (motor shaft revolutions), stop_force (N at the edge),
    peak_stop_force (N, resettable), body_force, peak_body_force (N, since the body was placed), body
    (radius, place) or None.
    Writable between steps: volts, ohms (outside the winding, inf for a parted circuit), limit (A),
    powered, released, push (N at the edge).
    """

    __slots__ = ("_a", "_b", "_place0", "_speed0", "_turns_per_rad", "current", "turns")

    def __init__(self, leaf: LeafSpec | SlideSpec, drive: DriveSpec, force_coefficient: float = 1.2) -> None:
        super().__init__(leaf, drive, force_coefficient)
        self._turns_per_rad = drive.motor.reduction / TURN
        self.current = self.turns = 0.0
        self._a = self._b = self._place0 = self._speed0 = 0.0

    def put(self, place: float, speed: float = 0.0) -> None:
        """Set the leaf to a place and speed as if it had always been there; turns are kept."""
        self.place, self.speed = place, speed
        self._geared, self._ratio, self._bend = self._linkage.at(place)
        self.wake()

    @property
    def angle(self) -> float:
        """Place of a leaf that swings, rad from shut."""
        return self.place

    @property
    def started(self) -> tuple[float, float]:
        """Place and speed at the beginning of the last ten steps."""
        return self._place0, self._speed0

    def emf(self) -> float:
        """What the turning winding makes, V, opening positive; one that runs free nearly its supply."""
        if not self._coupled:
            return self._source - self.current * self._loop if self._driven else 0.0
        if abs(self.current) == self._relief:
            return self._source - self.current * self._loop
        return self._gain * self.speed

    def _spin(self, amps: float) -> float:
        """Turns in 10 ms of a motor that carries `amps` and that the leaf does not hold."""
        return (self._source - amps * self._loop) / self._constant / TURN * STEP * STEPS

    def state(self) -> tuple[float, ...]:
        """Every float of the leaf: what it does, what was asked of it, and the body in its way."""
        radius, place = self.body or (0.0, 0.0)
        side: tuple[float, ...] = (float(self._opens),) if self._pumped else ()
        side += (self._lash_at,) if self._lash else ()
        return (
            self.place, self.speed, self.current, self.turns, self.stop_force, self.peak_stop_force,
            self.body_force, self.peak_body_force, self.volts, self.ohms, self.limit, self.push,
            float(self.powered), float(self.released), radius, place, *side,
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
        place = self._place0 = self.place
        speed = self._speed0 = self.speed
        if self._varies:
            self._take_place(place + speed * MIDDLE)
            self._piece_low = self._piece_high = 0.0
        return False

    def glide(self) -> bool:
        """Ten steps at once with nothing in reach; False, and nothing done, where that may be wrong."""
        place, speed = self.place, self.speed
        low, high = self._low, self._high
        if not low <= place <= high:
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
        place += h * (speed + v)
        w = a * v + b
        place += h * (v + w)
        v = a * w + b
        place += h * (w + v)
        w = a * v + b
        place += h * (v + w)
        v = a * w + b
        place += h * (w + v)
        w = a * v + b
        place += h * (v + w)
        v = a * w + b
        place += h * (w + v)
        w = a * v + b
        place += h * (v + w)
        v = a * w + b
        place += h * (w + v)
        w = a * v + b
        place += h * (v + w)
        if low < place < high and self._piece_low < w < self._piece_high and a >= 0.0:
            self.place, self.speed = place, w
            return True
        return False

    def grind(self, extra: float) -> None:
        """One step of 1 ms with contacts, starts and rests found within it; `extra` N m (or N) besides."""
        place, speed, left = self.place, self.speed, STEP
        load = self._load + extra
        for _ in range(EVENTS):
            way = math.copysign(1.0, speed) if speed else self._tendency(self._pressed(place, load))
            if way == 0.0:
                break
            span, after = left, self._speed_after(place, speed, way, left, load)
            if after * way < 0.0:  # comes to rest within the step, and is asked again from there
                if speed == 0.0:
                    break
                span, after = self._span_to_rest(place, speed, left, load, after), 0.0
            moved = place + 0.5 * span * (speed + after)
            share = self._share_to_contact(place, moved)
            if share < 1.0:
                place = self._walls[self._met][0]
                speed += share * (after - speed)
            else:
                creeps = abs(after) < CREEP and abs(after) < abs(speed) and self._rubs
                place, speed = moved, 0.0 if creeps else after
            left -= share * span
            self._feel(place, speed)
            if left <= 0.0:
                break
        self.place, self.speed = place, speed
        self._piece_low = self._piece_high = 0.0

    def _cross(self, moved: float) -> None:
        """The drive goes through its play, while the leaf goes its own way by `moved`."""
        at = self._lash_at + self._pace / (self._turns_per_rad * self._ratio) - moved
        self._lash_at = min(max(at, 0.0), self._lash)
        if self._lash_at == (self._lash if self._source > 0.0 else 0.0):
            self.touched = True

    def settle(self) -> None:
        """Bring what can be read (current, turns, forces) in line with place and speed."""
        place, speed = self.place, self.speed
        before = (self.current, self.stop_force, self.body_force, self.turns) if speed == 0.0 else None
        if self._hinged:
            geared = place * self._ratio
        else:
            geared, self._ratio, self._bend = self._linkage.at(place)
        if self._coupled:
            amps = (self._source - self._gain * speed) / self._loop
            ceiling = self._ceiling
            turned = self._turns_per_rad * (geared - self._geared)
            if amps > ceiling or amps < -ceiling:
                amps = ceiling if amps > 0.0 else -ceiling
                if ceiling == self._relief:  # the valve is open: the pump turns, whatever the leaf does
                    turned = self._spin(amps)
            self.current = amps
            self.turns += turned
        else:
            self.current = self._light
            self.turns += self._pace
            if self._lash and not self._released:
                self._cross(place - self._place0)
        self._geared = geared
        if self._low <= place <= self._high:
            self.stop_force = self.body_force = self.bolt_force = 0.0
        else:
            self._feel(place, speed)
        if before is None:
            self._asleep = False  # also where the other leaf has pushed a sleeping one
        else:
            after = (self.current, self.stop_force, self.body_force, self.turns)
            unmoved = self._speed0 == 0.0 and place == self._place0
            self._asleep = unmoved and not self._driven and before == after
