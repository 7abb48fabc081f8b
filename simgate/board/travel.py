"""What is known of a leaf's travel, and one order to go along it.

Values only: what a learn cycle found, and what the drive asks of a leaf. They stand apart from the leaf
that follows them so that the drive, the learn cycle and the leaf mean the same by each number.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from simgate.board.stimuli import Way

BUCKETS = 48  # current profile over the travel, each direction
FAR = 1 << 30  # pulses: further than any leaf goes


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
    which standing still is arriving; twice as much past it shows that the place was wrong. home: count
    that the stop stands for, None when it tells nothing. least, most: way from the last thing met that
    makes this one the other stop; least 0: nothing is learned, and whatever stands is a stop. profile:
    current to compare with, () for none. travel: count that the profile spans.
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

    def searching(self) -> Move:
        """The same way without a place to go by; only from an open stop can a marked shut end be found."""
        return replace(self, goal=None, profile=(), exact=self.exact and self.way is Way.CLOSING)

    def plain(self) -> tuple[object, ...]:
        """The order as plain values."""
        return (
            self.way.value, self.cruise, self.slow, self.limit, self.soft_start, self.goal, self.exact,
            self.zone, self.near, self.home, self.least, self.most, self.margin, self.travel, *self.profile,
        )  # fmt: skip


def bucket(count: int, travel: int) -> int:
    """Which of BUCKETS over `travel` pulses `count` falls in; the outer ones take what lies beyond."""
    return min(max(count * BUCKETS // travel, 0), BUCKETS - 1)


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
