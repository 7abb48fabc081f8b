"""Input terminals: a voltage becomes made or not made, once it has lasted.

Thresholds are those of IEC 61131-2 type 1 for 24 V DC inputs (from memory): on at 15 V and up, off at
5 V and below; in between an input keeps what it was, so that a leaky or tired joint does not chatter.
A change counts when it has lasted the filter time. A contact that bounces would otherwise be two calls.
"""

from __future__ import annotations

from simgate.board.stimuli import INPUTS, Input

ON_VOLTS = 15.0
OFF_VOLTS = 5.0

EDGE = INPUTS.index(Input.EDGE)
EDGE_VOLTS = 5.0  # what stands behind the pull-up of EDGE
EDGE_PULL_UP = 8200.0  # ohm
EDGE_BAND = (5000.0, 12000.0)  # ohm: below it is pressed, above it is broken


def level(volts: float, before: bool) -> bool:
    """Whether a terminal at `volts` reads as made, having been `before`."""
    return volts >= ON_VOLTS or (volts > OFF_VOLTS and before)


def edge_ohms(volts: float) -> float:
    """What hangs between EDGE and 0 V, from the volts of the divider with the pull-up; inf for nothing."""
    return EDGE_PULL_UP * volts / (EDGE_VOLTS - volts) if volts < EDGE_VOLTS else float("inf")


def healthy(volts: float) -> bool:
    """Whether EDGE at `volts` reads as an edge at rest, neither pressed nor broken."""
    return EDGE_BAND[0] <= edge_ohms(volts) <= EDGE_BAND[1]


class Inputs:
    """All input terminals, in INPUTS order.

    made: the filtered states. due: tick at which the next running filter ends, None when none runs.
    """

    __slots__ = ("_levels", "_since", "due", "made")

    def __init__(self) -> None:
        self.made = (False,) * len(INPUTS)
        self.due: int | None = None
        self._levels = list(self.made)
        self._since = [0] * len(INPUTS)

    def start(self, volts: tuple[float, ...]) -> None:
        """Power came: take the terminals as they stand, so that a contact already made is no call."""
        self._levels = [self._level(index, volt, False) for index, volt in enumerate(volts)]
        self.made = tuple(self._levels)
        self.due = None

    def clear(self) -> None:
        """Power went: nothing is made."""
        self._levels = [False] * len(INPUTS)
        self.made = tuple(self._levels)
        self.due = None

    def read(self, volts: tuple[float, ...], tick: int, filter_ms: int) -> list[tuple[Input, bool]]:
        """Take new voltages at `tick`; returns the inputs that changed, in INPUTS order."""
        changed: list[tuple[Input, bool]] = []
        due: int | None = None
        for index, volt in enumerate(volts):
            now = self._level(index, volt, self._levels[index])
            if now is not self._levels[index]:
                self._levels[index] = now
                self._since[index] = tick
            if now is self.made[index]:
                continue
            end = self._since[index] + filter_ms
            if tick >= end:
                changed.append((INPUTS[index], now))
            elif due is None or end < due:
                due = end
        if changed:
            self.made = tuple(
                now if self._since[index] + filter_ms <= tick else was
                for index, (now, was) in enumerate(zip(self._levels, self.made, strict=True))
            )
        self.due = due
        return changed

    @staticmethod
    def _level(index: int, volts: float, before: bool) -> bool:
        return healthy(volts) if index == EDGE else level(volts, before)

    def state(self) -> tuple[object, ...]:
        """Everything that the next reading depends on."""
        running = tuple(s if now is not was else 0 for s, now, was in zip(self._since, self._levels, self.made, strict=True))  # fmt: skip  # noqa: E501
        return (self.made, tuple(self._levels), running)
