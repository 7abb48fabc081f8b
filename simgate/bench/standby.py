"""What the battery gives or takes as time goes by, and when that next matters.

Charge changes in idle time too, so what is skipped is reckoned here at once: whole microampere times whole
milliseconds, the same number as step by step.
"""

from __future__ import annotations

from simgate.board.signals import Outputs
from simgate.plant.plant import Plant
from simgate.wiring.harness import Harness, Solution

MICRO = 1_000_000


class Standby:
    """The battery at the bench. `step` once in each scan, `skip` for scans that were left out."""

    __slots__ = ("_battery", "_draw", "_harness", "_outputs", "_plant", "_solution", "_standing")

    def __init__(self, harness: Harness, plant: Plant, outputs: Outputs) -> None:
        assert harness.battery is not None
        self._harness, self._battery = harness, harness.battery
        self._plant, self._outputs = plant, outputs
        self._solution: Solution | None = None
        self._standing = self._draw = 0  # microampere, what the motor bridges draw left out; and with it

    def step(self, solution: Solution, ms: int) -> bool:
        """Let one scan pass at `solution`. Returns whether the copper now meets another voltage."""
        self._draw = self._drawn(solution)
        if not self._battery.flow(self._draw, ms):
            return False
        self._harness.changed()
        return True

    def skip(self, ms: int) -> None:
        """Let time pass in which nothing else changed, and less of it than `ms_to_next` says."""
        if ms:
            self._battery.flow(self._draw, ms)

    def ms_to_next(self) -> int | None:
        """ms until the copper meets another voltage if nothing else changes; None for never."""
        return self._battery.ms_to_next_level(self._draw)

    def _drawn(self, solution: Solution) -> int:
        if self._harness.battery_off:
            return 0
        if solution.on_mains:
            return self._battery.charging()
        if solution is not self._solution:
            self._solution = solution
            self._standing = max(round(-solution.current("board/battery") * MICRO), 0)
        drawn = 0.0
        for duty, leaf in zip(self._outputs.duty, self._plant.leaves, strict=False):
            drawn += abs(duty * leaf.current)  # the bridge takes its duty's share of the motor's current
        return self._standing + round(drawn * MICRO) if self._battery.level else 0
