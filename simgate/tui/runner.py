"""Between the screen and the bench: presses that let go by themselves, and running in the right order.

A terminal tells of a key going down but never of it coming up, so a light press is an action now and its
opposite a moment of simulated time later. Kept out of the screen, because it decides what is on the tape.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from simgate.bench.actions import Action, Operate, PressKey
from simgate.bench.record import ScanRecord, Snapshot
from simgate.wiring.faults import Fault

Press = PressKey | Operate

SCAN_MS = 10
TOUCH_MS = 200  # a light press of a finger
SHORTEST_MS = 100  # of a press that is followed by another at once
BETWEEN_MS = 60  # how long it is up between two
NEXT_LIMIT_MS = 60_000  # how far 'on to the next thing' looks before it gives up


class BenchLike(Protocol):
    """What the screens need of a bench."""

    @property
    def tick(self) -> int: ...
    @property
    def finished(self) -> bool: ...
    def act(self, action: Action) -> None: ...
    def run(self, ms: int) -> Sequence[ScanRecord]: ...
    def run_to_next(self, limit_ms: int) -> Sequence[ScanRecord]: ...
    def snapshot(self) -> Snapshot: ...
    def faults(self) -> Sequence[Fault]: ...
    def fault_choices(self) -> Sequence[tuple[str, Sequence[str]]]: ...


class Runner:
    """Runs one bench. Every method that acts raises UserError when the hands cannot do it now."""

    def __init__(self, bench: BenchLike) -> None:
        self.bench = bench
        self._later: list[tuple[int, Press]] = []  # presses to make or to end, by tick
        self._since: dict[Press, int] = {}  # when what is down went down

    def act(self, action: Action) -> None:
        """Do it now. Letting go of something waits until a light press would have ended."""
        if not isinstance(action, PressKey | Operate):
            self.bench.act(action)
        elif action.down:
            self._press(action)
        else:
            self._let_go(action)

    def touch(self, action: Press) -> None:
        """Press, and let go by itself. A touch on a touch is a second press, after a moment up.

        More touches than fingers can make (a terminal repeats a key that is held) are left out.
        """
        if opposite(action) not in [later for _, later in self._later]:
            self._press(action)
            self._later.append((self.bench.tick + TOUCH_MS, opposite(action)))
        elif action not in [later for _, later in self._later]:
            up = max(self.bench.tick, self._since[action] + SHORTEST_MS)
            again = up + BETWEEN_MS
            kept = [(tick, later) for tick, later in self._later if later != opposite(action)]
            self._later = [
                *kept,
                (up, opposite(action)),
                (again, action),
                (again + TOUCH_MS, opposite(action)),
            ]
            self._do_due()

    def run(self, ms: int) -> list[ScanRecord]:
        """Run `ms`, making and ending presses on the way as they come due."""
        records: list[ScanRecord] = []
        end = self.bench.tick + ms
        while self.bench.tick < end and not self.bench.finished:
            stop = min([end, *(tick for tick, _ in self._later)])
            before = self.bench.tick
            if stop > before:
                records += self.bench.run(stop - before)
                if self.bench.tick == before:
                    break  # less than a whole scan was left
            self._do_due()
        return records

    def run_to_next(self) -> list[ScanRecord]:
        """On to the next thing that happens, or a press that begins or ends before it."""
        first = min((tick for tick, _ in self._later), default=None)
        limit = NEXT_LIMIT_MS if first is None else max(first - self.bench.tick, SCAN_MS)
        records = list(self.bench.run_to_next(limit))
        self._do_due()
        return records

    def _press(self, action: Press) -> None:
        self.bench.act(action)
        self._since[action] = self.bench.tick
        self._later = [
            (tick, later) for tick, later in self._later if later not in (action, opposite(action))
        ]

    def _let_go(self, action: Press) -> None:
        due = self._since.get(opposite(action), -TOUCH_MS) + TOUCH_MS
        if due > self.bench.tick:
            self._later.append((due, action))
        else:
            self._end(action)

    def _end(self, action: Press) -> None:
        self._since.pop(opposite(action), None)
        self.bench.act(action)

    def _do_due(self) -> None:
        due = [later for tick, later in self._later if tick <= self.bench.tick]
        self._later = [(tick, later) for tick, later in self._later if tick > self.bench.tick]
        for action in due:
            if self.bench.finished:
                return
            if action.down:
                self.bench.act(action)
                self._since[action] = self.bench.tick
            else:
                self._end(action)


def opposite(action: Press) -> Press:
    """The press that ends this press, or the other way round."""
    if isinstance(action, PressKey):
        return PressKey(action.key, not action.down)
    return Operate(action.device, not action.down)
