"""A battery: what it holds, what it gives, and when that next changes what the copper sees.

Charge is a whole number (microampere milliseconds) and so is every draw, because idle time is skipped: a
hundred thousand small steps and one large one must come to the very same charge. What the copper sees is
the voltage of a *level*, one of a few dozen; a level that holds leaves the network as it was solved.

INVENTED: the voltages over the state of charge are those of no product, in the manner of two lead-acid
blocks in series (from memory: about 2.13 V a cell full at rest, 2.0 V with a third left, and in the last
tenth a steep fall to the 1.75 V a cell at which discharge is ended by common practice).
"""

from __future__ import annotations

from dataclasses import dataclass

LEVELS = 40
PER_AH = 3_600_000 * 1_000_000  # ms in an hour, microampere in an ampere
# (share of its charge, V at rest) with straight lines between
REST_VOLTS = ((0.0, 21.0), (0.1, 22.4), (0.2, 23.5), (0.3, 24.0), (0.6, 25.0), (0.9, 25.5), (1.0, 25.8))
CHARGE_HOURS = 20.0  # from empty to full; a slow, gentle charge is common practice


@dataclass(frozen=True, slots=True)
class BatterySpec:
    """capacity: Ah. ohms: internal. charge: share that it holds when the run starts."""

    capacity: float
    ohms: float = 0.15
    charge: float = 1.0


def rest_volts(share: float) -> float:
    """V at rest at a share of the charge, from the table above."""
    low, volts = REST_VOLTS[0]
    for high, above in REST_VOLTS[1:]:
        if share <= high:
            return volts + (above - volts) * (share - low) / (high - low)
        low, volts = high, above
    return volts


class Battery:
    """One battery. charge: microampere ms left. level: 0 (empty, and cut off) to LEVELS.

    worn: share of its capacity that is left, 1 for a sound one.
    """

    __slots__ = ("_rate", "charge", "level", "spec", "worn")

    def __init__(self, spec: BatterySpec) -> None:
        self.spec = spec
        self.worn = 1.0
        self.charge = int(self.full * spec.charge)
        self.level = self._level()
        self._rate = int(spec.capacity * 1_000_000 / CHARGE_HOURS)

    @property
    def full(self) -> int:
        """What it holds when full."""
        return int(self.spec.capacity * PER_AH * self.worn)

    @property
    def volts(self) -> float:
        """V at rest at its present level."""
        return rest_volts(self.level / LEVELS)

    def age(self, worn: float) -> None:
        """Be worn to a share of its capacity, or sound (1); it holds the same share of that as before."""
        share = self.charge / self.full
        self.worn = worn
        self.charge = int(self.full * share)
        self.level = self._level()

    def flow(self, microampere: int, ms: int) -> bool:
        """Give (above zero) for `ms`, or be charged (below zero). Returns whether the level changed."""
        self.charge = max(0, min(self.full, self.charge - microampere * ms))
        level = self._level()
        changed = level != self.level
        self.level = level
        return changed

    def charging(self) -> int:
        """Microampere that its charger gives, below zero; 0 when it is full."""
        return -self._rate if self.charge < self.full else 0

    def ms_to_next_level(self, microampere: int) -> int | None:
        """ms of that draw until the level changes; None for never."""
        if not microampere:
            return None
        if microampere > 0:
            if not self.charge:
                return None
            left = self.charge - self._least(self.level) + 1 if self.level else self.charge
        else:
            left = (self.full if self.level == LEVELS else self._least(self.level + 1)) - self.charge
        return max(-(-left // abs(microampere)), 1)

    def _level(self) -> int:
        return -(-self.charge * LEVELS // self.full) if self.charge < self.full else LEVELS

    def _least(self, level: int) -> int:
        """The least charge of a level above zero."""
        return self.full * (level - 1) // LEVELS + 1

    def state(self) -> tuple[int, float]:
        """Everything that its future depends on."""
        return self.charge, self.worn
