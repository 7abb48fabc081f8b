"""One leaf under drive: speed over its way, and what its count, current and END switches say about it.

Where the count comes from is a counter's business (counters.py). Here it only goes on or is silent; what its
silence means stands in arrival.py. Current above the learned profile is something in the way. An END switch
says outright where the leaf is; what it says is held against the count, for a switch may be wired wrongly.
`step` is the board's hot path: one method, floats in locals.
"""

from __future__ import annotations

from simgate.board.arrival import Arriving, Event
from simgate.board.position import Position
from simgate.board.stimuli import Way
from simgate.board.travel import Move, bucket
from simgate.board.tuning import EndUse

SCAN_MS = 10
STALL_MS = 150  # no pulse for this long while driven: it stands
SLOWEST = 4  # or for this many of the latest pulse intervals, if that is longer
START_MS = 700  # beyond the soft start, before which a leaf is not taken to stand
RECKONED_START_MS = 2_500  # the same without an encoder: a heavy leaf gathers speed at its ceiling
BLANK_MS = 400  # beyond the soft start, in which starting current is no obstacle
HOT_SCANS = 3  # scans above the profile that make an obstacle
LATE_MS = 150_000  # no movement takes longer, not even a wide leaf's at the slowest speed
EARLY = 0.25  # share of the travel before its end at which no END switch can be right; twice if reckoned
REVERSE_MS = 300  # rest between opposite directions, so that the leaf stands and counting stays true
NO_CEILING = 1e9  # A: where no profile applies, current alone says nothing
SLOWING = 2.0  # duty per s when the speed is taken back


class LeafDrive(Arriving):
    """The drive of one leaf.

    sign: direction ordered, 0 for none. driven: direction driven now, 0 while it waits or rests.
    duty, limit: what its motor is given now. recorder: BUCKETS of greatest current, filled while set.
    slowed_at: count at which an END switch began the slow-down of this movement, None when none did.
    """

    __slots__ = (
        "_at",
        "_blank",
        "_ceiling",
        "_coasts",
        "_earliest",
        "_hot",
        "_late",
        "_left",
        "_ready",
        "_rest_sign",
        "_rest_tick",
        "_stands_at",
        "_target",
        "_told",
        "_up",
        "driven",
        "duty",
        "recorder",
        "slowed_at",
        "start_at",
    )  # fmt: skip

    def __init__(self, name: str) -> None:
        self.name = name
        self.position = Position()
        self.driven = self._rest_sign = self._ready = 0
        self.recorder: list[float] | None = None
        self._at = {Way.OPENING: False, Way.CLOSING: False}  # whether the END switch of that end acts
        self.clear()

    def clear(self) -> None:
        """As after power-up: no order, and no memory of one but that the leaf may still be going."""
        self._coasts = bool(self.driven or self._rest_sign or self._ready)
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
        self._begun = self._begun_at = 0  # tick and count of the start
        self._left = True  # the END switch behind it may still act, or act again
        self._told: Event | None = None  # what an END switch has just said
        self.slowed_at: int | None = None

    def coast(self, tick: int) -> None:
        """Power came: a leaf that had been driven may still be going, whichever way."""
        if self._coasts:
            self._ready = tick + REVERSE_MS

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
        self.start_at = max(tick, self._ready) + delay
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
        self._told = None

    def see(self, opened: bool, shut: bool, tick: int) -> None:
        """Whether the END switches act now; one that is not fitted never does."""
        before, self._at = self._at, {Way.OPENING: opened, Way.CLOSING: shut}
        move = self.move
        if not self.driven or move is None or self._at == before:
            return
        behind = Way(-self.sign)
        if opened and shut:
            self._told = Event.BOTH_ENDS
        elif self._at[behind] and not before[behind] and not self._left and tick >= self._blank:
            self._told = Event.WRONG_END
        elif self._at[move.way] and not before[move.way]:
            self._told = self._at_switch(move)

    def at(self, way: Way) -> bool:
        """Whether the END switch of that end acts."""
        return self._at[way]

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
        if self._told is not None:
            event, self._told = self._told, None
        return event if event is not None or tick <= self._late else Event.LATE

    def _begin(self, move: Move, tick: int) -> None:
        self.driven = self.sign
        self.position.drive(self.sign)
        self.limit = move.limit
        self._last = self._begun = tick
        self._begun_at = self.position.count
        self._late = tick + LATE_MS
        self._blank = tick + move.soft_start + BLANK_MS
        start = RECKONED_START_MS if move.timed else START_MS
        self._earliest = self._stands_at = tick + move.soft_start + start
        self._hot = 0
        self.slowed_at = None
        self._left = self._at[Way(-self.sign)]
        ahead = self._at[move.way]
        self._told = Event.BOTH_ENDS if ahead and self._left else self._at_switch(move) if ahead else None
        self._aim(move)
        self._slew()

    def _at_switch(self, move: Move) -> Event | None:
        """The END switch ahead acts: what that means for this movement."""
        position = self.position
        if move.goal is not None and move.home is not None and position.sure:
            early = EARLY * move.travel * (2 if move.timed else 1)
            if (move.home - position.count) * self.sign > early:
                return Event.EARLY_END
        if move.switch is EndUse.STOP:
            if move.home is not None:
                position.refer(move.home)
            return Event.ARRIVED
        self.slowed_at = position.count
        if move.timed and move.slow_at is not None and position.known:
            position.count = self.slowed_at = move.slow_at  # the switch knows better than a reckoning
        self._aim(move)
        return None

    def _aim(self, move: Move) -> int:
        """Speed and greatest current for where the leaf is now; returns the counts left to the goal."""
        self._target = move.slow
        self._ceiling = NO_CEILING
        if move.goal is None:
            return 0
        left = (move.goal - self.position.count) * self.sign
        if left > move.zone and self.slowed_at is None:
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
            if move.timed and move.least and self._gone() > move.travel + move.over:
                return self._by_time(move)
        elif move.exact:
            position.doubted = position.doubted and move.goal != move.home
            return Event.ARRIVED
        elif left < -move.over:
            if move.switch is EndUse.STOP and position.sure:
                position.contradict()
                return Event.PAST_END
            if move.timed:
                return self._by_time(move)
            position.contradict()
            self.move = move.searching()
            self._aim(self.move)
        return None

    def state(self) -> tuple[object, ...]:
        """Everything that the next steps depend on, as plain values."""
        order = self.move.plain() if self.move else ()
        timing = (self.start_at, self._last, self._stands_at, self._hot, self._blank) if self.sign else ()
        start = (self._begun, self._begun_at, self._left, self.slowed_at) if self.sign else ()
        return (
            self.position.state(), self.sign, self.driven, self.duty, self.limit, order, timing, start,
            *self._at.values(), self._rest_sign, self._rest_tick, self._ready, self._coasts,
        )  # fmt: skip
