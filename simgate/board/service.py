"""The maintenance counter: cycles made in all, and since the last service. It advises and never blocks."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(slots=True)
class Service:
    """One cycle is opened and shut again. Kept through power cuts and through a return to default."""

    cycles: int = 0
    served: int = 0  # the count when service was last done
    every: int = 0  # cycles between services, 0 for never

    @property
    def since(self) -> int:
        """Cycles since the last service."""
        return self.cycles - self.served

    @property
    def words(self) -> str:
        """'Service due: 1204 cycles', '' while it is not."""
        return f"Service due: {self.since} cycles" if 0 < self.every <= self.since else ""

    def done(self) -> None:
        """Service was done now."""
        self.served = self.cycles

    def state(self) -> tuple[int, int]:
        """What is kept."""
        return (self.cycles, self.served)
