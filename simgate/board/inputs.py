"""Input terminals: a voltage becomes made or not made, once it has lasted.

Thresholds are those of IEC 61131-2 type 1 for 24 V DC inputs (from memory): on at 15 V and up, off at
5 V and below; in between an input keeps what it was, so that a leaky or tired joint does not chatter.
A change counts when it has lasted the filter time. A contact that bounces would otherwise be two calls.

EDGE is another kind: an edge at rest shows its end resistor, a pressed one a short, a broken wire nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.settings import Settings
from simgate.board.stimuli import INPUTS, Input

ON_VOLTS = 15.0
OFF_VOLTS = 5.0

EDGE = INPUTS.index(Input.EDGE)
EDGE_VOLTS = 5.0  # what stands behind the pull-up of EDGE
EDGE_PULL_UP = 8200.0  # ohm
KOHM = 1000.0


def level(volts: float, before: bool) -> bool:
    """Whether a terminal at `volts` reads as made, having been `before`."""
    return volts >= ON_VOLTS or (volts > OFF_VOLTS and before)


def edge_ohms(volts: float) -> float:
    """What hangs between EDGE and 0 V, from the volts of the divider with the pull-up; inf for nothing."""
    return EDGE_PULL_UP * volts / (EDGE_VOLTS - volts) if volts < EDGE_VOLTS else float("inf")


@dataclass(frozen=True, slots=True)
class Band:
    """Resistance of an edge at rest, ohm: below it is pressed, above it is broken."""

    low: float = 5.0 * KOHM
    high: float = 12.0 * KOHM

    @classmethod
    def of(cls, settings: Settings) -> Band:
        """As set in the book."""
        low, high = (settings.number(key) for key in ("edge-pressed-below", "edge-broken-above"))
        return cls(low * KOHM, high * KOHM)

    def healthy(self, volts: float) -> bool:
        """Whether EDGE at `volts` reads as an edge at rest, neither pressed nor broken."""
        return self.low <= edge_ohms(volts) <= self.high

    def pressed(self, volts: float) -> bool:
        """Whether EDGE at `volts` reads as a pressed edge."""
        return edge_ohms(volts) < self.low


class Inputs:
    """All input terminals, in INPUTS order.

    made: the filtered states. due: tick at which the next running filter ends, None when none runs.
    edge_pressed: of an edge that is not made, whether it is pressed and not broken; one that is let go stays
    pressed until its filter has run.
    """

    __slots__ = ("_band", "_levels", "_since", "due", "edge_pressed", "made")

    def __init__(self) -> None:
        self.made = (False,) * len(INPUTS)
        self.due: int | None = None
        self.edge_pressed = False
        self._band = Band()
        self._levels = list(self.made)
        self._since = [0] * len(INPUTS)

    def take(self, band: Band, tick: int) -> None:
        """Another band from the book; the terminals are read again with it in this scan or the next."""
        if band != self._band:
            self._band = band
            self.due = tick

    def start(self, volts: tuple[float, ...]) -> None:
        """Power came: take the terminals as they stand, so that a contact already made is no call."""
        self._see_edge(volts)
        self._levels = [self._level(index, volt, False) for index, volt in enumerate(volts)]
        self.made = tuple(self._levels)
        self.due = None

    def clear(self) -> None:
        """Power went: nothing is made."""
        self._levels = [False] * len(INPUTS)
        self.made = tuple(self._levels)
        self.due = None
        self.edge_pressed = False

    def put(self, made: tuple[bool, ...], levels: tuple[bool, ...], since: int) -> None:
        """Be as in another moment: `made` as filtered, `levels` as they stand since then. For the prover."""
        self.made = made
        self._levels[:] = levels
        self._since[:] = (since,) * len(INPUTS)
        self.due = None
        self.edge_pressed = False

    def read(self, volts: tuple[float, ...], tick: int, filter_ms: int) -> list[tuple[Input, bool]]:
        """Take new voltages at `tick`; returns the inputs that changed, in INPUTS order."""
        changed: list[tuple[Input, bool]] = []
        due: int | None = None
        made, levels, since = list(self.made), self._levels, self._since
        self._see_edge(volts)
        for index, volt in enumerate(volts):
            was = levels[index]
            now = volt >= ON_VOLTS or (was and volt > OFF_VOLTS)  # `level`, in the hot path
            if index == EDGE:
                now = self._band.healthy(volt)
            if now is not was:
                levels[index] = now
                since[index] = tick
            if now is made[index]:
                continue
            end = since[index] + filter_ms
            if tick >= end:
                changed.append((INPUTS[index], now))
                made[index] = now
            elif due is None or end < due:
                due = end
        if changed:
            self.made = tuple(made)
            if (Input.EDGE, True) in changed:
                self.edge_pressed = False
        self.due = due
        return changed

    def hurry_edge(self) -> bool:
        """Believe an edge that is amiss before its filter has run; whether there was one.

        For a leaf that has met something: what presses the edge then is no bounce of a contact.
        """
        if self._levels[EDGE] or not self.made[EDGE]:
            return False
        self.made = tuple(now and index != EDGE for index, now in enumerate(self.made))
        return True

    def _level(self, index: int, volts: float, before: bool) -> bool:
        return self._band.healthy(volts) if index == EDGE else level(volts, before)

    def _see_edge(self, volts: tuple[float, ...]) -> None:
        if len(volts) > EDGE:
            if not self._band.healthy(volts[EDGE]):
                self.edge_pressed = self._band.pressed(volts[EDGE])
            elif self.made[EDGE]:
                self.edge_pressed = False

    def state(self) -> tuple[object, ...]:
        """Everything that the next reading depends on."""
        running = tuple(s if now is not was else 0 for s, now, was in zip(self._since, self._levels, self.made, strict=True))  # fmt: skip  # noqa: E501
        return (self.made, tuple(self._levels), running, self.edge_pressed)
