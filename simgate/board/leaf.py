"""One leaf under drive: speed over its way, and what its pulses and current say about it.

A leaf is known by pulses and current only. Silence with current is a stop or an obstacle, silence
without current is a parted wire, current above the learned profile is something in the way. To be a
stop, what it met must be where a stop was learned to be, or one learned travel away from what it met
before. `step` is the board's hot path: one method, floats in locals.
"""

from __future__ import annotations

from enum import Enum

from simgate.board.position import Position
from simgate.board.stimuli import Way
from simgate.board.travel import Move, bucket

SCAN_MS = 10
STALL_MS = 150  # no pulse for this long while driven: it stands
SLOWEST = 4  # or for this many of the latest pulse intervals, if that is longer
START_MS = 700  # beyond the soft start, before which a leaf is not taken to stand
BLANK_MS = 400  # beyond the soft start, in which starting current is no obstacle
HOT_SCANS = 3  # scans above the profile that make an obstacle
DEAD_MS = 2_000  # silence without current that makes a fault
LATE_MS = 150_000  # no movement takes longer, not even a wide leaf's at the slowest speed
LIVE_AMPERES = 0.2  # below this a motor is not connected
REVERSE_MS = 300  # rest between opposite directions, so that the leaf stands and counting stays true
OVERRUN = 2  # times `near` past a stop that a leaf may come to stand: it springs, and pulses round
NO_CEILING = 1e9  # A: where no profile applies, current alone says nothing
SLOWING = 2.0  # duty per s when the speed is taken back


class Event(Enum):
    """What a driven leaf has come to."""

    ARRIVED = "arrived"
    BLOCKED = "blocked"  # by something away from the ends
    DEAD = "dead"  # no current, no pulses
    LATE = "late"  # driven far longer than any travel takes


class LeafDrive:
    """The drive of one leaf.

    sign: direction ordered, 0 for none. driven: direction driven now, 0 while it waits or rests.
    duty, limit: what its motor is given now. recorder: BUCKETS of greatest current, filled while set.
    """

    __slots__ = (
        "_blank",
        "_ceiling",
        "_earliest",
        "_hot",
        "_last",
        "_late",
        "_rest_sign",
        "_rest_tick",
        "_stands_at",
        "_target",
        "_up",
        "driven",
        "duty",
        "limit",
        "move",
        "name",
        "position",
        "recorder",
        "sign",
        "start_at",
    )  # fmt: skip

    def __init__(self, name: str) -> None:
        self.name = name
        self.position = Position()
        self.recorder: list[float] | None = None
        self.clear()

    def clear(self) -> None:
        """As after power-up: no order, no memory of one."""
        self.sign = self.driven = 0
        self.duty = self.limit = 0.0
        self.move: Move | None = None
        self.start_at = 0
        self._target = 0.0
        self._ceiling = 0.0  # A above which something is in the way
        self._up = 1.0  # duty gained in one scan
        self._last = 0  # tick of the start or of the last pulse
        self._stands_at = 0  # tick after which, without a pulse, it is taken to stand
        self._earliest = self._blank = self._late = self._hot = 0
        self._rest_sign = self._rest_tick = 0

    def go(self, move: Move, tick: int, delay: int = 0) -> None:
        """Follow `move`, `delay` ms from now; at once without a new start if it already goes that way."""
        sign = move.way.value
        if self.driven == -sign:
            self.stop(tick)
        self.move = move
        self.sign = sign
        self._up = SCAN_MS / move.soft_start if move.soft_start else 1.0
        if self.driven:
            self.limit = move.limit
            self._aim(move)
            return
        self.start_at = tick + delay
        if self._rest_sign == -sign:
            self.start_at = max(self.start_at, self._rest_tick + REVERSE_MS)

    def stop(self, tick: int) -> None:
        """Drive no longer, and forget the order."""
        if self.driven:
            self.position.let_go(tick)
            self._rest_sign = self.driven
            self._rest_tick = tick
        self.move = None
        self.sign = self.driven = 0
        self.duty = self.limit = 0.0

    def step(self, tick: int, raw: int, current: float) -> Event | None:
        """One scan: count, set the duty, and say what became of the leaf, if anything did."""
        driven = self.driven
        event = None
        if raw != self.position.raw:
            self.position.take(raw, tick)
            if driven:
                event = self._pulsed(tick, current * driven)
        elif driven and tick > self._stands_at:
            event = self._silent(tick, current * driven)
        if not driven:
            if self.move is not None and tick >= self.start_at:
                self._begin(self.move, tick)
            return None
        if self.duty != self._target * driven:
            self._slew()
        if current * driven > self._ceiling and tick >= self._blank:
            self._hot += 1
            if self._hot >= HOT_SCANS:
                self.position.doubt()
                return Event.BLOCKED
        elif self._hot:
            self._hot = 0
        return event if event is not None or tick <= self._late else Event.LATE

    def _begin(self, move: Move, tick: int) -> None:
        self.driven = self.sign
        self.position.drive(self.sign)
        self.limit = move.limit
        self._last = tick
        self._late = tick + LATE_MS
        self._blank = tick + move.soft_start + BLANK_MS
        self._earliest = self._stands_at = tick + move.soft_start + START_MS
        self._hot = 0
        self._aim(move)
        self._slew()

    def _aim(self, move: Move) -> int:
        """Speed and greatest current for where the leaf is now; returns the pulses left to the goal."""
        self._target = move.slow
        self._ceiling = NO_CEILING
        if move.goal is None:
            return 0
        left = (move.goal - self.position.count) * self.sign
        if left > move.zone:
            self._target = move.cruise
        if move.profile and left > move.near:
            self._ceiling = move.profile[bucket(self.position.count, move.travel)] + move.margin
        return left

    def _slew(self) -> None:
        """One scan nearer to the target speed: up as the soft start allows, down as SLOWING does."""
        size = abs(self.duty)
        if size < self._target:
            size = min(size + self._up, self._target)
        else:
            size = max(size - SLOWING * SCAN_MS / 1000, self._target)
        self.duty = size * self.driven

    def _pulsed(self, tick: int, amperes: float) -> Event | None:
        """The leaf moves: look again where it is, and wait for the next pulse about as long."""
        move = self.move
        self._stands_at = max(self._earliest, tick + max(STALL_MS, (tick - self._last) * SLOWEST))
        self._last = tick
        if move is None:
            return None
        left = self._aim(move)
        if self.recorder is not None and left > move.near:  # the stop's own rise is no running current
            place = bucket(self.position.count, move.travel)
            self.recorder[place] = max(self.recorder[place], amperes)
        return self._at_goal(move, left) if left <= 0 else None

    def _at_goal(self, move: Move, left: int) -> Event | None:
        """It moves at or past the goal, or without one: a marked end is there, a stop would have held it."""
        position = self.position
        if move.goal is None:
            if move.exact and move.home is not None and self._span() >= move.travel:
                position.refer(move.home)
                return Event.ARRIVED
        elif move.exact:
            position.doubted = position.doubted and move.goal != move.home
            return Event.ARRIVED
        elif left < -OVERRUN * move.near:
            position.contradict()
            self.move = move.searching()
            self._aim(self.move)
        return None

    def _silent(self, tick: int, amperes: float) -> Event | None:
        """The leaf stands: at a stop, against something, or for want of current."""
        move = self.move
        if move is not None and abs(amperes) >= LIVE_AMPERES:
            return self._met(move)
        return Event.DEAD if tick - self._last >= DEAD_MS else None

    def _met(self, move: Move) -> Event:
        """The leaf stands against something: a stop where one must be, else something in its way.

        Of a leaf whose place is lost the first thing met opening is taken for the open stop, for the gate
        has to begin somewhere; but its place is known only when the way back was as long as learned.
        """
        position = self.position
        place = move.home if move.goal is None else move.goal
        if move.least and place is not None:
            left = (place - position.count) * self.sign
            here = position.known and -OVERRUN * move.near <= left <= move.near
            apart = not position.sure and place == move.home and move.least <= self._span() <= move.most
            if not (here or apart):
                lost = not position.known
                position.doubt()
                return Event.ARRIVED if lost and move.way is Way.OPENING else Event.BLOCKED
        if move.home is not None and (move.goal is None or not move.exact):
            position.refer(move.home)
        return Event.ARRIVED

    def _span(self) -> int:
        """Pulses gone from what the leaf last stood against; below 0 when there is no telling."""
        anchor = self.position.anchor
        return -1 if anchor is None else (self.position.count - anchor) * self.sign

    def state(self) -> tuple[object, ...]:
        """Everything that the next steps depend on, as plain values."""
        order = self.move.plain() if self.move else ()
        timing = (self.start_at, self._last, self._stands_at, self._hot, self._blank) if self.sign else ()
        return (
            self.position.state(), self.sign, self.driven, self.duty, self.limit, order, timing,
            self._rest_sign, self._rest_tick,
        )  # fmt: skip
