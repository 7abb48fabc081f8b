"""Between the screen and the bench: presses that let go by themselves, and running in the right order.

A terminal tells of a key going down but never of it coming up, so a light press is an action now and its
opposite 300 ms of simulated time later. Kept out of the screen, because it decides what is on the tape.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from simgate.bench.actions import Action, Operate, PressKey
from simgate.bench.record import ScanRecord, Snapshot
from simgate.wiring.faults import Fault

TOUCH_MS = 300
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
        self._let_go: list[tuple[int, Action]] = []
        self._since: dict[Action, int] = {}

    def act(self, action: Action) -> None:
        """Do it now. Letting go of something waits until a light press would have ended."""
        if isinstance(action, PressKey | Operate):
            if action.down:
                self._since[opposite(action)] = self.bench.tick
                self._let_go = [(tick, other) for tick, other in self._let_go if other != opposite(action)]
            elif (due := self._since.pop(action, -TOUCH_MS) + TOUCH_MS) > self.bench.tick:
                self._let_go.append((due, action))
                return
        self.bench.act(action)

    def touch(self, action: PressKey | Operate) -> None:
        """Press, and let go after 300 ms of simulated time."""
        self.act(action)
        self.act(opposite(action))

    def run(self, ms: int) -> list[ScanRecord]:
        """Run `ms`, letting go on the way of what is due."""
        records: list[ScanRecord] = []
        end = self.bench.tick + ms
        while self.bench.tick < end and not self.bench.finished:
            stop = min([end, *(tick for tick, _ in self._let_go)])
            if stop > self.bench.tick:
                records += self.bench.run(stop - self.bench.tick)
                if self.bench.tick < stop:
                    break  # less than a whole scan was left
            self._drop_due()
        return records

    def run_to_next(self) -> list[ScanRecord]:
        """On to the next thing that happens, or a press that ends before it."""
        first = min((tick for tick, _ in self._let_go), default=None)
        limit = NEXT_LIMIT_MS if first is None else max(first - self.bench.tick, 10)
        records = list(self.bench.run_to_next(limit))
        self._drop_due()
        return records

    def _drop_due(self) -> None:
        due = [action for tick, action in self._let_go if tick <= self.bench.tick]
        self._let_go = [(tick, action) for tick, action in self._let_go if tick > self.bench.tick]
        for action in due:
            if not self.bench.finished:
                self.bench.act(action)


def opposite(action: PressKey | Operate) -> PressKey | Operate:
    """The press that ends this press, or the other way round."""
    if isinstance(action, PressKey):
        return PressKey(action.key, not action.down)
    return Operate(action.device, not action.down)
