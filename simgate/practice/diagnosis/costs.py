"""costs.toml as values: what looking costs, how exact it is, how far gone a typical fault is."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from simgate.files import Shape, read
from simgate.wiring.faults import Fault, FaultKind, row


class Tolerance(Shape, frozen=True):
    """How far a reading may be off: a share of it, and something more in its unit."""

    of: str
    share: float
    floor: float

    def off(self, value: float) -> float:
        """The most that a reading of `value` may be off, either way."""
        return self.share * abs(value) + self.floor


class Costs(Shape, frozen=True):
    """Seconds by what is done, tolerances, typical amounts by kind of fault."""

    fetch: dict[str, float]
    place: dict[str, float]
    open: dict[str, float]
    state: dict[str, float]
    tolerance: list[Tolerance]
    amount: dict[str, float]

    def tolerance_of(self, how: str) -> Tolerance | None:
        """Of an instrument; None where a look tells exactly."""
        return next((one for one in self.tolerance if one.of == how), None)


@cache
def costs() -> Costs:
    """The table."""
    return read(Path(__file__).with_name("costs.toml"), Costs)[0]


def typical(kind: FaultKind, place: str) -> Fault:
    """A fault of a kind as far gone as is usual; half way where the table does not say."""
    given = row(kind)
    amount = costs().amount.get(kind.value, (given.least * given.most) ** 0.5)
    return Fault(kind, place, min(max(amount, given.least), given.most))
