"""One leaf under drive: speed over its way, and what its pulses and current say about it.

A leaf is known by pulses and current only. Silence with current is a stop or an obstacle, silence
without current is a parted wire, current above the learned profile is something in the way. `step` is
the board's hot path: one method, floats in locals.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from simgate.board.position import Position
from simgate.board.stimuli import Way

SCAN_MS = 10
BUCKETS = 48  # current profile over the travel, each direction
STALL_MS = 150  # no pulse for this long while driven: it stands
SLOWEST = 4  # or for this many of the latest pulse intervals, if that is longer
START_MS = 700  # beyond the soft start, until the first pulse must have come
BLANK_MS = 400  # beyond the soft start, in which starting current is no obstacle
HOT_SCANS = 3  # scans above the profile that make an obstacle
DEAD_MS = 2_000  # silence without current that makes a fault
LATE_MS = 90_000  # no movement takes longer
LIVE_AMPERES = 0.2  # below this a motor is not connected
REVERSE_MS = 300  # rest between opposite directions, so that the leaf stands and counting stays true
SLOWING = 2.0  # duty per s when the speed is taken back


class Event(Enum):
    """What a driven leaf has come to."""

    ARRIVED = "arrived"
    BLOCKED = "blocked"  # by something away from the ends
    DEAD = "dead"  # no current, no pulses
    LATE = "late"  # driven far longer than any travel takes


@dataclass(frozen=True, slots=True)
class LeafTravel:
    """What a learn cycle knows of one leaf.

    travel: pulses from the shut to the open end. open_marked, shut_marked: that end is a place which
    a person marked, not a stop. opening, closing: greatest current by BUCKETS of travel, ampere.
    """

    travel: int
    open_marked: bool = False
    shut_marked: bool = False
    opening: tuple[float, ...] = ()
    closing: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Move:
    """One order to a leaf. Duties are shares of the supply, limit and margin ampere, the rest pulses.

    goal: count to go for; None: on, slowly, until a stop is met. exact: stop driving at the goal
    instead of at a stop. zone: way before the goal that is driven slowly. near: way before the goal in
    which standing still is arriving. home: count that the stop stands for, None when it tells nothing.
    profile: current to compare with, () for none. travel: count that the profile spans.
    """

    way: Way
    cruise: float
    slow: float
    limit: float
    soft_start: int  # ms from standing to full duty
    goal: int | None = None
    exact: bool = False
    zone: int = 0
    near: int = 0
    home: int | None = None
    profile: tuple[float, ...] = ()
    margin: float = 0.0
    travel: int = 1


class LeafDrive:
    """The drive of one leaf. sign: direction ordered, 0 for none. duty: what it is given now."""

    __slots__ = (
        "_blank", "_gap", "_hot", "_last", "_patience", "_rest_sign", "_rest_tick", "_running", "_started",
        "_up", "duty", "limit", "move", "name", "position", "recorder", "sign", "start_at",
    )  # fmt: skip

    def __init__(self, name: str) -> None:
        self.name = name
        self.position = Position()
        self.recorder: list[float] | None = None
        self.clear()

    def clear(self) -> None:
        """As after power-up: no order, no memory of one."""
        self.sign = 0
        self.duty = 0.0
        self.limit = 0.0
        self.move: Move | None = None
        self.start_at = 0
        self._running = False
        self._started = self._last = self._blank = self._hot = self._gap = 0
        self._patience = STALL_MS
        self._up = 1.0
        self._rest_sign = 0
        self._rest_tick = 0

    def go(self, move: Move, tick: int, delay: int = 0) -> None:
        """Follow `move`, `delay` ms from now; at once without a new start if it already goes that way."""
        sign = move.way.value
        on = self._running and self.sign == sign
        if self._running and not on:
            self.stop(tick)
        self.move = move
        self.sign = sign
        self._up = SCAN_MS / move.soft_start if move.soft_start else 1.0
        if on:
            self.limit = move.limit
            return
        self.start_at = tick + delay
        if self._rest_sign == -sign:
            self.start_at = max(self.start_at, self._rest_tick + REVERSE_MS)

    def stop(self, tick: int) -> None:
        """Drive no longer, and forget the order."""
        if self._running:
            self.position.let_go(tick)
            self._rest_sign = self.sign
            self._rest_tick = tick
        self._running = False
        self.move = None
        self.sign = 0
        self.duty = 0.0
        self.limit = 0.0

    def _begin(self, move: Move, tick: int) -> None:
        self._running = True
        self._started = self._last = tick
        self._blank = tick + move.soft_start + BLANK_MS
        self._patience = move.soft_start + START_MS
        self._hot = 0
        self.duty = 0.0
        self.limit = move.limit
        self.position.drive(self.sign)

    def step(self, tick: int, raw: int, current: float) -> Event | None:
        """One scan: count, set the duty, and say what became of the leaf, if anything did."""
        position = self.position
        pulsed = raw != position.raw
        if pulsed:
            position.take(raw, tick)
        move = self.move
        if move is None or (not self._running and tick < self.start_at):
            return None
        if not self._running:
            self._begin(move, tick)
        elif pulsed:
            gap = (tick - self._last) * SLOWEST
            self._patience = gap if gap > STALL_MS else STALL_MS
            self._last = tick
        sign = self.sign
        goal = move.goal
        target = move.slow
        left = 0
        if goal is not None:
            left = (goal - position.count) * sign
            if left > move.zone:
                target = move.cruise
            elif move.exact and left <= 0:
                return Event.ARRIVED
        size = self.duty * sign
        if size < target:
            size = size + self._up
            size = target if size > target else size
            self.duty = size * sign
        elif size > target:
            size = size - SLOWING * SCAN_MS / 1000
            self.duty = (target if size < target else size) * sign
        return self._heed(move, tick, left, current * sign, pulsed)

    def _heed(self, move: Move, tick: int, left: int, amperes: float, pulsed: bool) -> Event | None:
        """What pulses and current say. left: pulses to the goal. amperes: current as driven."""
        silent = tick - self._last
        if silent > self._patience:
            if amperes >= LIVE_AMPERES:
                return Event.ARRIVED if move.goal is None or left <= move.near else Event.BLOCKED
            if silent >= DEAD_MS:
                return Event.DEAD
        elif pulsed and self.recorder is not None:
            bucket = self._bucket(move)
            if amperes > self.recorder[bucket]:
                self.recorder[bucket] = amperes
        if move.profile and tick >= self._blank and left > move.near:
            over = amperes > move.profile[self._bucket(move)] + move.margin
            self._hot = self._hot + 1 if over else 0
            if self._hot >= HOT_SCANS:
                return Event.BLOCKED
        return Event.LATE if tick - self._started > LATE_MS else None

    def _bucket(self, move: Move) -> int:
        bucket = self.position.count * BUCKETS // move.travel
        return 0 if bucket < 0 else BUCKETS - 1 if bucket >= BUCKETS else bucket

    def state(self) -> tuple[object, ...]:
        """Everything that the next steps depend on."""
        return (
            self.position.state(), self.sign, self.duty, self.limit, self._running, self._started,
            self.start_at if self.sign else 0, self._last, self._patience, self._hot, self._rest_sign,
            self._rest_tick, self.move,
        )  # fmt: skip


def smoothed(recorded: list[float]) -> tuple[float, ...]:
    """A recorded profile made whole: each bucket at least its neighbours', gaps filled from before.

    A bucket that no pulse fell into would be 0 A, and any current there an obstacle.
    """
    filled: list[float] = []
    first = next((value for value in recorded if value > 0.0), 0.0)
    for value in recorded:
        filled.append(value if value > 0.0 else filled[-1] if filled else first)
    last = len(filled) - 1
    return tuple(max(filled[max(i - 1, 0)], filled[i], filled[min(i + 1, last)]) for i in range(last + 1))
