"""Where a leaf's count comes from: counted pulses, the board's own reckoning, or a sensor on the leaf.

A counter gives one running number per leaf; what it means that the number stands still is the leaf's
business (leaf.py), the same for all three. So a board without an encoder is not another kind of drive: its
count is only worse. The reckoning knows the board's own duties and the time, and from the current and its
ripple only whether the motor can be turning at all; wind, supply and friction are hidden from it, as in life.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping

from simgate.board.arrival import HELD
from simgate.board.leaf import LeafDrive
from simgate.board.signals import Signals
from simgate.board.stimuli import Way
from simgate.board.travel import LeafTravel, Reckoning
from simgate.board.tuning import Sensing

RATE = 1.0  # counts in a scan at full duty, less what the motor needs to move at all
NO_AMPERES = 0.05  # below this, and without ripple, the circuit is open and nothing turns


class Counter(ABC):
    """Where the counts of all leaves come from. deaf: what is said when nothing is heard, {0} the leaf.

    heard: whether each leaf's count could be told at all, as last read.
    """

    deaf = "No pulses from motor {0}"

    def __init__(self) -> None:
        self.heard = [True, True]

    @abstractmethod
    def read(self, signals: Signals, leaves: tuple[LeafDrive, ...]) -> list[int]:
        """A running count per leaf."""

    def learned(self, travels: tuple[LeafTravel, ...] | None, leaves: tuple[LeafDrive, ...]) -> None:
        """What is known of the leaves has changed."""
        return

    def state(self) -> tuple[object, ...]:
        """Everything that later readings depend on."""
        return ()


class Pulses(Counter):
    """A pulse lead per motor: counted, without a direction."""

    def read(self, signals: Signals, leaves: tuple[LeafDrive, ...]) -> list[int]:
        return signals.pulses


class Reckoned(Counter):
    """No encoder: a motor in a closed circuit, yet not at its ceiling, is taken to turn as it is driven.

    Speed is taken to be duty less `idle`, times `pace`; both per direction, as a learn cycle found them.
    turned: sums of duty and of scans while it turned, for the learn cycle.
    """

    def __init__(self) -> None:
        super().__init__()
        self.turned = [[0.0, 0.0], [0.0, 0.0]]
        self._sums = [0.0, 0.0]
        self._counts = [0, 0]
        self._as: list[Reckoning] = [Reckoning(), Reckoning()]

    def read(self, signals: Signals, leaves: tuple[LeafDrive, ...]) -> list[int]:
        for index, leaf in enumerate(leaves):
            driven = leaf.driven
            if not driven:
                continue
            amperes = signals.currents[index] * driven
            if amperes >= HELD * leaf.limit:
                continue
            if -NO_AMPERES < amperes < NO_AMPERES and not signals.ripple[index]:
                continue
            speed = self._speed(index, driven < 0, abs(leaf.duty))
            if speed > 0.0:
                self._sums[index] += speed
                self._counts[index] = int(self._sums[index])
                self.turned[index][0] += abs(leaf.duty)
                self.turned[index][1] += 1.0
        return self._counts

    def pace(self, index: int, way: Way, duty: float) -> float:
        """Counts in a scan at a steady duty."""
        return max(self._speed(index, way is Way.CLOSING, duty), 0.0)

    def _speed(self, index: int, shutting: bool, duty: float) -> float:
        reckoning = self._as[index]
        return (duty - reckoning.idle[shutting]) * reckoning.pace[shutting] * RATE

    def learned(self, travels: tuple[LeafTravel, ...] | None, leaves: tuple[LeafDrive, ...]) -> None:
        for index in range(len(self._as)):
            known = travels is not None and index < len(travels)
            self._as[index] = travels[index].reckoning if travels is not None and known else Reckoning()

    def state(self) -> tuple[object, ...]:
        return (*self._sums, *self.turned[0], *self.turned[1], *self._as)


class Absolute(Counter):
    """A sensor on the leaf, heard or not; once learned its count is the place, whatever happened before."""

    deaf = "Sensor of leaf {0} is not heard"

    def __init__(self) -> None:
        super().__init__()
        self.heard = [False, False]
        self._last = [0, 0]
        self._learned: list[LeafTravel | None] = [None, None]

    def read(self, signals: Signals, leaves: tuple[LeafDrive, ...]) -> list[int]:
        for index, leaf in enumerate(leaves):
            place = signals.places[index]
            if place is not None:
                self._last[index] = place
            if (place is not None) is not self.heard[index]:
                self.heard[index] = place is not None
                if place is None:
                    leaf.position.forget()
                else:
                    self._put(index, leaf)
        return self._last

    def learned(self, travels: tuple[LeafTravel, ...] | None, leaves: tuple[LeafDrive, ...]) -> None:
        for index, leaf in enumerate(leaves):
            self._learned[index] = travels[index] if travels is not None and index < len(travels) else None
            self._put(index, leaf)

    def _put(self, index: int, leaf: LeafDrive) -> None:
        """Take the leaf to be where its sensor says, if that can be known."""
        travel = self._learned[index]
        if self.heard[index] and travel is not None and travel.turn:
            leaf.position.place(self._last[index], travel.turn, travel.zero)

    def state(self) -> tuple[object, ...]:
        return (*self._last, *self.heard, *self._learned)


COUNTERS: Mapping[Sensing, type[Counter]] = {
    Sensing.PULSES: Pulses,
    Sensing.TIME: Reckoned,
    Sensing.ABSOLUTE: Absolute,
}
