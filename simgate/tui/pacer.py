"""Wall time into milliseconds of simulated time to run: the only clock of the program.

Everything below the screens is handed its time. If a pane read a clock of its own, the picture and the
tape would drift apart, and a slow terminal would change the run.
"""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

SPEEDS = (1, 4, 16)
SCAN_MS = 10
LONGEST_STEP = 0.25  # s of wall time made up for at once; a machine that slept does not leap
FARTHEST_AHEAD = 50  # ms that the bench may be ahead of the wall, however fast keys come


class Pacer:
    """Hands out whole scans at a chosen multiple of wall time. `clock` gives seconds, never going back."""

    def __init__(self, clock: Callable[[], float] = monotonic) -> None:
        self._clock = clock
        self._last = clock()
        self._owed = 0.0
        self._place = 0
        self.paused = False

    @property
    def speed(self) -> int:
        """How many simulated seconds pass in one of the wall."""
        return SPEEDS[self._place]

    def change(self, by: int) -> None:
        """Some steps faster, or slower if negative; stays between real time and the fastest."""
        self._place = min(max(self._place + by, 0), len(SPEEDS) - 1)

    def due(self) -> int:
        """Simulated ms to run now: a whole number of scans, the rest is owed to the next call."""
        now = self._clock()
        passed = min(now - self._last, LONGEST_STEP)
        self._last = now
        if self.paused:
            self._owed = 0.0
            return 0
        self._owed += passed * 1000 * self.speed
        due = max(int(self._owed // SCAN_MS) * SCAN_MS, 0)
        self._owed -= due
        return due

    def ahead(self) -> int:
        """Simulated ms to run now though the wall has not come to them: what answers a hand at once.

        One scan, taken off what is due next, so that time keeps its pace; 0 while paused, and when hands
        have been answered so often that the bench is well ahead already.
        """
        if self.paused or self._owed - SCAN_MS < -FARTHEST_AHEAD:
            return 0
        self._owed -= SCAN_MS
        return SCAN_MS

    @property
    def caption(self) -> str:
        """'paused', or the speed as '×4'."""
        return "paused" if self.paused else f"×{self.speed}"
