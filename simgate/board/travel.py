"""What is known of a leaf's travel, and one order to go along it.

Values only: what a learn cycle found, and what the drive asks of a leaf. They stand apart from the leaf
that follows them so that the drive, the learn cycle and the leaf mean the same by each number.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from simgate.board.stimuli import Way
from simgate.board.tuning import EndUse

BUCKETS = 48  # current profile over the travel, each direction
FAR = 1 << 30  # counts: further than any leaf goes


@dataclass(frozen=True, slots=True)
class Reckoning:
    """How fast a leaf without an encoder is taken to go: (duty - idle) * pace; opening, then shutting."""

    idle: tuple[float, float] = (0.1, 0.1)  # share of the supply that friction takes, before it is learned
    pace: tuple[float, float] = (1.0, 1.0)


@dataclass(frozen=True, slots=True)
class LeafTravel:
    """What a learn cycle knows of one leaf.

    travel: counts from the shut to the open end. open_marked, shut_marked: that end is a place which
    a person marked, not a stop. opening, closing: greatest current by BUCKETS of travel, ampere.
    open_slow, shut_slow: counts before that end at which its switch began the slow-down, 0 without one.
    reckoning: for a leaf without an encoder. zero, turn: what its sensor reads shut, and 1 or -1 as it
    counts up opening or shutting; turn 0 without a sensor.
    """

    travel: int
    open_marked: bool = False
    shut_marked: bool = False
    opening: tuple[float, ...] = ()
    closing: tuple[float, ...] = ()
    open_slow: int = 0
    shut_slow: int = 0
    reckoning: Reckoning = Reckoning()
    zero: int = 0
    turn: int = 0


@dataclass(frozen=True, slots=True)
class Move:
    """One order to a leaf. Duties are shares of the supply, limit and margin ampere, the rest counts.

    goal: count to go for; None: on, slowly, until a stop is met. exact: stop driving at the goal
    instead of at a stop. zone: way before the goal that is driven slowly. near: way before the goal in
    which standing still is arriving; twice as much past it shows that the place was wrong. home: count
    that the stop stands for, None when it tells nothing. least, most: way from the last thing met that
    makes this one the other stop; least 0: nothing is learned, and whatever stands is a stop. profile:
    current to compare with, () for none. travel: count that the profile spans. over: way past the goal
    that shows that something is wrong, or, of a leaf that is timed, that it must be there by now. switch:
    what the END switch ahead does. slow_at: count at which that switch was learned to begin the slow-down.
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
    least: int = 0
    most: int = FAR
    profile: tuple[float, ...] = ()
    margin: float = 0.0
    travel: int = 1
    over: int = FAR
    timed: bool = False
    switch: EndUse = EndUse.NONE
    slow_at: int | None = None

    def searching(self) -> Move:
        """The same way without a place to go by; only from an open stop can a marked shut end be found."""
        return replace(self, goal=None, profile=(), exact=self.exact and self.way is Way.CLOSING)

    def plain(self) -> tuple[object, ...]:
        """The order as plain values."""
        return (
            self.way.value, self.cruise, self.slow, self.limit, self.soft_start, self.goal, self.exact,
            self.zone, self.near, self.home, self.least, self.most, self.margin, self.travel, self.over,
            self.timed, self.switch.value, self.slow_at, *self.profile,
        )  # fmt: skip


def bucket(count: int, travel: int) -> int:
    """Which of BUCKETS over `travel` counts `count` falls in; the outer ones take what lies beyond."""
    return min(max(count * BUCKETS // travel, 0), BUCKETS - 1)


def smoothed(recorded: list[float]) -> tuple[float, ...]:
    """A recorded profile made whole: each bucket at least its neighbours', gaps filled from before.

    A bucket that no count fell into would be 0 A, and any current there an obstacle.
    """
    filled: list[float] = []
    first = next((value for value in recorded if value > 0.0), 0.0)
    for value in recorded:
        filled.append(value if value > 0.0 else filled[-1] if filled else first)
    last = len(filled) - 1
    return tuple(max(filled[max(i - 1, 0)], filled[i], filled[min(i + 1, last)]) for i in range(last + 1))
