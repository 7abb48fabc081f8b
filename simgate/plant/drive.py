"""A leaf's drive and load as straight lines: what torque a leaf feels at a speed, for given inputs.

Theory. With angle th from shut and speed w the coupled leaf and rotor obey

    J dw/dt = push w_leaf + slope sin(th - at) + wind cos(th) - Jm N^2 r r' w^2      (load)
              + eff g (i - way I0) - viscous w - way capacity + contact torques (leaf.py)

    J = I + Jm (N r)^2,   g = k N r,   i = (V - g w) / (R + ohms) held within +-limit,   r from linkage.py

- No-load loss. The motor's own dry friction takes k I0 of its torque (motor.py) before the gear sees any,
  whichever way it turns; a motor at rest whose current is below I0 stays at rest.
- Efficiency. Motor torque that helps the movement reaches the leaf times the forward efficiency; torque
  that hinders it (the leaf drives the motor) is felt divided by the back efficiency. Both lose energy.
- Dry friction is implicit: a leaf comes to exact rest and stays while the load is within hinge friction,
  gear loss and, with no drive voltage or a parted circuit, the gear's holding torque (times r), which is
  never less than what turns the motor from behind: k I0 N / back efficiency. Dry
  friction also ends a creep: slowing below CREEP is rest, and it takes STICK more to start than to keep
  moving. Otherwise a leaf let go on its stop would creep off the spring for ever, ever more slowly.
- With no drive voltage the bridge shorts the winding: i = -g w / (R + ohms), which no ceiling limits.
- A leaf that slides obeys the same line with its place x in m for th, its mass for I, N for N m, and no
  sine or cosine: its slope pulls alike everywhere, and the wind only rubs it on its guides.
- A released drive runs light, at I0; the leaf has its bare inertia, and no friction but its hinge's.
  Coupling it again to a moving leaf keeps angular momentum, the rotor being at rest.
- Slack between drive and leaf: driven the other way, the motor first runs light through the play, counting
  turns, and then meets the leaf with all the momentum of its rotor. A simplification: without supply the
  play does not show, as if the leaf lay on the side where it was left.
- A sagged leaf drags on its shut stop: over the last SAG of its travel dry friction grows by up to `sag`,
  and half as much pushes it open, for it has to climb.

For given inputs the line is straight between a few speeds: a *piece*, where the current is at its
ceiling or not, and helps or hinders. Load and ratio are taken once per 10 ms, at the angle expected at
its middle. Kept apart from the step so that each can be read alone; they share one slots object because
objects calling each other would halve the speed of the whole bench.
"""

from __future__ import annotations

import math

from simgate.plant.given import Input
from simgate.plant.linkage import TURN, Linkage, Ram, linkage
from simgate.plant.motor import held_by, relief_amps
from simgate.plant.oil import OilRamLinkage
from simgate.plant.spec import DriveSpec, LeafKind, LeafSpec, SlideSpec

STEPS = 10  # per call, the scan of 10 ms
STEP = 0.001  # s
HALF = STEP / 2.0
MIDDLE = STEP * STEPS / 2.0
CREEP = 1.0e-6  # rad/s, or m/s: some micrometres a second at the edge, nobody can see it move
SAG = 0.1  # of its travel over which a sagged leaf drags (invented)
STICK = 1.01  # starting friction over running friction; real hinges have more
INF = math.inf


class DrivenLeaf:
    """The part of a leaf that knows its drive and load. `Leaf` is the whole.

    touched: an input was changed since the last step.
    """

    __slots__ = (
        "_asleep", "_back", "_bend", "_capacity", "_ceiling", "_constant", "_coulomb", "_coupled", "_drag",
        "_drive", "_driven", "_dry", "_force_coefficient", "_forward", "_gain", "_geared",
        "_hinged", "_holding", "_idle_open", "_idle_shut", "_inertia", "_lash", "_lash_at",
        "_lever", "_light", "_limit", "_linkage", "_load", "_loop", "_moment", "_no_load", "_ohms", "_open",
        "_opens", "_pace", "_piece_high", "_piece_low", "_powered", "_pumped", "_push", "_ratio",
        "_reduction", "_released", "_relief", "_resistance", "_rotor", "_rubs", "_sag", "_sides", "_slope",
        "_slope_at", "_source", "_spec", "_steady", "_varies", "_viscous", "_volts", "_was_released", "_wind",
        "_wind_load", "kind", "place", "speed", "touched",
    )  # fmt: skip

    volts: Input[float] = Input()
    ohms: Input[float] = Input()
    limit: Input[float] = Input()
    push: Input[float] = Input()
    powered: Input[bool] = Input()
    released: Input[bool] = Input()

    def __init__(self, leaf: LeafSpec | SlideSpec, drive: DriveSpec, force_coefficient: float) -> None:
        motor = drive.motor
        self.kind: LeafKind = leaf.kind
        self._spec = leaf
        self._lever = leaf.lever
        self._open = leaf.reach
        self._moment = leaf.moment
        self._viscous = leaf.viscous
        self._coulomb = self._dry = leaf.coulomb
        self._slope, self._slope_at, self._steady = leaf.leaning
        self._force_coefficient = force_coefficient
        self._resistance = motor.resistance
        self._constant = motor.constant
        self._reduction = motor.reduction
        self._rotor = motor.rotor_inertia * motor.reduction * motor.reduction
        self._forward = motor.forward_efficiency
        self._back = 1.0 / motor.back_efficiency
        self._holding = held_by(motor, motor.holding)
        self._no_load = motor.no_load
        self._linkage = linkage(drive.linkage)
        self._hinged = self._linkage.constant
        self._sag = self._lash = self._lash_at = 0.0
        self._take_pump(drive)

        self._geared, self._ratio, self._bend = self._linkage.at(0.0)  # gearbox and ratio at the leaf's place
        self.place = self.speed = self._volts = self._ohms = self._push = 0.0
        self._limit = INF
        self._powered = self._released = self._was_released = self._asleep = False
        self._drive = self._drag = self._wind = self._wind_load = self._light = self._pace = 0.0
        self._take_inputs(0.0)
        self.wake()

    def _take_pump(self, drive: DriveSpec) -> None:
        """A hydraulic ram's two sides, and the current of its relief valve; see oil.py."""
        self._pumped, self._opens, self._relief = False, True, INF
        self._sides: tuple[tuple[Linkage, float], ...] = ()
        if isinstance(drive.linkage, OilRamLinkage):
            pump = drive.linkage.pump
            ways = (False, True)
            self._sides = tuple(
                (Ram(drive.linkage.ram(way)), held_by(drive.motor, pump.holding(way))) for way in ways
            )
            self._relief = relief_amps(drive) + self._no_load
            self._pumped, self._rotor = True, 0.0
            self._linkage, self._holding = self._sides[self._opens]

    def wake(self) -> None:
        """Forget that the leaf was still: something about it changed."""
        self._asleep = False
        self._piece_low = self._piece_high = 0.0

    def stiffen(self, extra: float) -> None:
        """Add so much dry friction, N m (or N), to what the leaf was built with; 0 takes it away."""
        rub = self._spec.blown(self._wind, self._force_coefficient)[1]
        self._coulomb = self._spec.coulomb + extra
        self._dry = self._coulomb + rub
        self.touched = True

    def sag(self, drag: float) -> None:
        """Let the leaf hang so low that it drags by up to `drag` N m before its shut stop; 0 for level."""
        self._sag, self.touched = drag, True

    def loosen(self, play: float) -> None:
        """Give drive and leaf a play of so many rad (or m); 0 for none."""
        if play != self._lash:
            self._lash, self._lash_at, self.touched = play, 0.0, True

    def ease(self, drive: DriveSpec, share: float) -> None:
        """Let the relief valve of a pump open by that share of its pressure too early, below 0 too late."""
        if drive.pump is not None:
            self._relief = relief_amps(drive) * (1.0 - share) + self._no_load
            self.touched = True

    def breakaway(self) -> float:
        """N at the edge that start a released leaf opening, as it stood at the last step."""
        load = self._load - self._push * self._lever
        return (STICK * self._capacity - load) / self._lever

    # Inputs ---------------------------------------------------------------------------------------

    def _take_inputs(self, wind: float) -> None:
        self.touched = False
        self._coupled = not self._released
        self._source = self._volts if self._powered and self._ohms < INF else 0.0
        if self._lash and self._coupled and self._source:
            self._coupled = self._lash_at == (self._lash if self._source > 0.0 else 0.0)
        caught = self._was_released and self._coupled
        self._was_released = not self._coupled
        self._loop = self._resistance + self._ohms
        self._driven = self._source != 0.0
        self._ceiling = self._limit if self._driven else INF
        if self._pumped:
            self._ceiling = min(self._ceiling, self._relief)
            if self._driven and self._opens is not (self._source > 0.0):  # the other side is filled now
                self._opens = not self._opens
                self._linkage, self._holding = self._sides[self._opens]
                self._geared, self._ratio, self._bend = self._linkage.at(self.place)
        idle = self._no_load if self._driven else 0.0  # without a supply it is in the holding torque
        self._idle_open, self._idle_shut = idle, -idle  # signed as the motor turns: with the leaf
        if self._pumped and self._driven:
            self._pump_turns()
        if caught or not self._coupled:
            self._run_light()
        if wind != self._wind:
            self._wind = wind
            self._wind_load, rub = self._spec.blown(wind, self._force_coefficient)
            self._dry = self._coulomb + rub
        bends = self._coupled and not self._hinged
        self._varies = bends or self._slope != 0.0 or self._wind_load != 0.0 or self._sag != 0.0
        self._take_place(self.place)
        if caught:
            self.speed *= self._moment / self._inertia
            if self._lash and self._gain > 0.0:  # the rotor comes out of the play at its light speed
                light = self._source - self._light * self._loop
                self.speed += (1.0 - self._moment / self._inertia) * light / self._gain

    def _pump_turns(self) -> None:
        """A pump behind its valve turns with its supply, whichever way the leaf is pushed meanwhile."""
        source, idle = self._source, self._idle_open
        if min(abs(source) / self._loop, self._ceiling) > STICK * idle:
            if source > 0.0:
                self._idle_shut = idle
            else:
                self._idle_open = -idle

    def _run_light(self) -> None:
        """What a motor does that nothing holds: the current that it takes, and its turns in 10 ms."""
        source, idle = self._source, self._no_load
        most = min(abs(source) / self._loop, self._ceiling)
        light = min(idle, most)
        self._light = -light if source < 0.0 else light
        free = source - self._light * self._loop if most > idle else 0.0
        self._pace = free / self._constant / TURN * STEP * STEPS

    def _take_place(self, middle: float) -> None:
        """Ratio and load for the next 10 ms, at the place expected at its middle.

        The ratio goes there from the leaf's own place in a straight line: over half a scan its curve is
        below a millionth of it.
        """
        place = 0.0 if middle < 0.0 else self._open if middle > self._open else middle
        load = self._push * self._lever + self._steady
        if self._slope != 0.0:
            load += self._slope * math.sin(place - self._slope_at)
        if self._wind_load != 0.0:
            load += self._wind_load * math.cos(place)
        self._capacity = self._dry
        if self._sag != 0.0 and place < SAG * self._open:
            drag = self._sag * (1.0 - place / (SAG * self._open))
            self._capacity += drag
            load += 0.5 * drag
        self._inertia = self._moment
        self._gain = 0.0
        if self._coupled:
            bend = self._bend
            ratio = self._ratio + bend * (place - self.place)
            self._gain = self._constant * self._reduction * ratio
            self._inertia += self._rotor * ratio * ratio
            load -= self._rotor * ratio * bend * self.speed * self.speed
            if not self._driven:
                self._capacity += self._holding * ratio
        self._rubs = self._capacity > 0.0 or self._gain * self._idle_open > 0.0
        self._load = load

    # Motor line and friction ----------------------------------------------------------------------

    def _tendency(self, load: float) -> float:
        """The way in which a leaf at rest starts under `load` N m and its motor: 1, -1, or 0 to stay."""
        opening = closing = 0.0
        if self._driven and self._coupled:
            amps = self._source / self._loop
            amps = min(max(amps, -self._ceiling), self._ceiling)
            grip_open, grip_shut = self._idle_open, self._idle_shut
            opening = amps - (STICK * grip_open if grip_open > 0.0 else grip_open)
            closing = amps - (STICK * grip_shut if grip_shut < 0.0 else grip_shut)
            opening *= self._gain * (self._forward if opening > 0.0 else self._back)
            closing *= self._gain * (self._back if closing > 0.0 else self._forward)
        hold = STICK * self._capacity
        if load + opening > hold:
            return 1.0
        return -1.0 if load + closing < -hold else 0.0

    def _take_piece(self, speed: float, way: float) -> None:
        """The straight piece of the torque line at `speed`: drive - drag w, valid between two speeds."""
        drag, capacity = self._viscous, self._capacity
        creep = CREEP if self._rubs else 0.0
        if way > 0.0:
            low, high, drive = creep, INF, -capacity
        else:
            low, high, drive = -INF, -creep, capacity
        gain, loop = self._gain, self._loop
        if gain > 0.0 and loop < INF:
            source, ceiling = self._source, self._ceiling
            idle = self._idle_open if way > 0.0 else self._idle_shut
            light = (source - idle * loop) / gain  # rad/s, current for no torque
            full, back = (source - ceiling * loop) / gain, (source + ceiling * loop) / gain
            if full <= speed <= back:
                if speed < light or (speed == light and way < 0.0):  # torque that opens
                    pull = gain * (self._forward if way > 0.0 else self._back)
                    back = light if light < back else back
                else:
                    pull = gain * (self._back if way > 0.0 else self._forward)
                    full = light if light > full else full
                low = full if full > low else low
                high = back if back < high else high
                drive += pull * (source / loop - idle)
                drag += pull * gain / loop
            else:  # at its ceiling
                if speed < full:
                    high = full if full < high else high
                else:
                    low = back if back > low else low
                    ceiling = -ceiling
                pull = ceiling - idle
                drive += pull * gain * (self._forward if pull * way > 0.0 else self._back)
        self._drive, self._drag = drive, drag
        self._piece_low, self._piece_high = low, high
