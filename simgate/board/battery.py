"""The battery running down: when it counts as low, and what the gate does about it.

It is judged only while nothing is driven: under a motor every battery looks low. What was low stays low
until it has clearly come up again, or a gate would be woken and refused by turns.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.settings import Settings
from simgate.board.stimuli import Way

RISE = 1.0  # V above the limit before a battery that was low is taken to be well
IS_LOW = "Battery is low"


@dataclass(frozen=True, slots=True)
class Plan:
    """What a low battery leads to. goes: the way that the gate still goes by itself. bars: ways refused."""

    words: str
    goes: Way | None = None
    bars: tuple[Way, ...] = ()


PLANS = {
    "go on": Plan(IS_LOW),
    "open and stay": Plan("Battery low: will not shut", Way.OPENING, (Way.CLOSING,)),
    "shut and stay": Plan("Battery low: will not open", Way.CLOSING, (Way.OPENING,)),
    "refuse calls": Plan("Battery low: calls refused", None, tuple(Way)),
}
"""Choice of the setting battery-low -> what is done."""


class Battery:
    """low: it is. owed: the way that the gate is still to go because of it, when it is at rest.

    waits: it was turned round on its way there, and goes again when whoever did that had time to pass.
    """

    def __init__(self) -> None:
        self.low = self.waits = False
        self.owed: Way | None = None
        self._plan = PLANS["go on"]
        self._limit = 0.0

    def take(self, settings: Settings) -> None:
        """Take the settings over."""
        self._plan = PLANS[settings.choice("battery-low")]
        self._limit = settings.number("battery-low-below")

    def clear(self) -> None:
        """As after power-up."""
        self.low = False
        self.give_up()

    def give_up(self) -> None:
        """The gate goes nowhere for it any more."""
        self.owed = None
        self.waits = False

    def turned(self, way: Way) -> None:
        """The gate was turned round, other than by what it met, while it went that way."""
        if self.low and self._plan.goes is way:
            self.owed = way
            self.waits = True

    def differs(self, volts: float, on_mains: bool) -> bool:
        """Whether a look at it would change anything."""
        return (not on_mains and volts < self._limit + (RISE if self.low else 0.0)) is not self.low

    def look(self, volts: float, on_mains: bool) -> None:
        """Judge it anew, with nothing driven."""
        if self.differs(volts, on_mains):
            self.low = not self.low
            self.waits = False
            self.owed = self._plan.goes if self.low else None

    def forbids(self, way: Way) -> str:
        """Why a movement may not set off that way, '' when it may."""
        return IS_LOW if self.low and way in self._plan.bars else ""

    @property
    def words(self) -> str:
        """What to say of it, '' while it is well."""
        return self._plan.words if self.low else ""

    def state(self) -> tuple[object, ...]:
        """Everything that later scans depend on."""
        return (self.low, self.owed.value if self.owed else 0, self.waits)
