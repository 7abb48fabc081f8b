"""Between the screen and the bench: presses that let go by themselves, and running in the right order.

A terminal tells of a key going down but never of it coming up, so a light press is an action now and its
opposite a moment of simulated time later. Kept out of the screen, because it decides what is on the tape.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Protocol

from simgate.bench.actions import Action, Operate, PressKey, RemoteKey
from simgate.bench.record import ScanRecord, Snapshot
from simgate.bench.tape import TapeError
from simgate.board.stimuli import Condition, Task
from simgate.files import UserError
from simgate.wiring.faults import Fault

Press = PressKey | Operate | RemoteKey

SCAN_MS = 10
TOUCH_MS = 200  # a light press of a finger
# of a press followed by another of the same; inputs are filtered
SHORTEST_MS = {PressKey: 60, Operate: 100, RemoteKey: 100}
BETWEEN_MS = {PressKey: 40, Operate: 60, RemoteKey: 60}  # how long it is up between two
WAITING = 3  # presses that may wait for their turn; a terminal repeats a held key faster than a finger
NEXT_LIMIT_MS = 60_000  # how far 'on to the next thing' looks before it gives up
LOOK_MS = 500  # how far it looks at a time
MOVING = (Condition.OPENING, Condition.PART_OPENING, Condition.CLOSING)


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
        self.seen: Callable[[Snapshot], object] = lambda shot: None  # told of what is looked at on the way
        self._since: dict[Press, int] = {}  # when what is down went down
        self._ended: dict[Press, int] = {}  # when what was pressed last came up again

    def take_up(self, done: Iterable[tuple[int, Action]], in_order: bool) -> None:
        """Go on after `done`, (tick, action) in order. in_order: hands had time to let go of light presses.

        A process that was killed had not: what went down in the last moment of its tape is taken for a
        light press, or the key would be down for good and nobody's finger on it.
        """
        for tick, action in done:
            if isinstance(action, Press):
                self._since.pop(opposite(action), None)
                if action.down:
                    self._since[action] = tick
        if not in_order:
            ends = [(since + TOUCH_MS, opposite(press)) for press, since in self._since.items()]
            self._later += [(tick, end) for tick, end in ends if tick >= self.bench.tick]

    def let_go(self) -> None:
        """Run on until no light press is under way: before hands leave the run."""
        while self._later and not self.bench.finished:
            self.run(max(max(tick for tick, _ in self._later) - self.bench.tick, SCAN_MS))

    def act(self, action: Action) -> None:
        """Do it now. Letting go of something waits until a light press would have ended."""
        if not isinstance(action, Press):
            self.bench.act(action)
        elif action.down:
            self._begin(action)
            self._do_due()
        else:
            self._let_go(action)

    def touch(self, action: Press) -> None:
        """Press, and let go by itself. A touch on a touch is a second press, after a moment up.

        More of them than fingers can make (a terminal repeats a key that is held) are left out.
        """
        if sum(later.down for _, later in self._later) < WAITING:
            begin = self._begin(action)
            self._later.append((begin + TOUCH_MS, opposite(action)))
            self._do_due()

    def _begin(self, action: Press) -> int:
        """Press as soon as a finger could. Returns the tick at which it goes down.

        Presses begin in the order in which they were asked for ('More, More, Next' typed in one breath must
        not become 'More, Next, More'), and one finger works the five keys: it leaves one for the next.
        """
        waiting = [(tick, later) for tick, later in self._later if later.down]
        between = BETWEEN_MS[type(action)]
        ended = [at + between for press, at in self._ended.items() if _same_finger(press, action)]
        begin = max([self.bench.tick, *ended, *(tick + SCAN_MS for tick, _ in waiting)])
        for tick, later in [entry for entry in self._later if not entry[1].down]:
            if _same_finger(later, action):
                began = [at for at, other in waiting if other == opposite(later) and at < tick]
                since = max(began, default=self._since.get(opposite(later), self.bench.tick))
                up = min(tick, max(self.bench.tick, since + SHORTEST_MS[type(action)]))
                self._later.remove((tick, later))
                self._later.append((up, later))
                begin = max(begin, up + between)
        if begin <= self.bench.tick:
            self._press(action)
        else:
            self._later.append((begin, action))
        return begin

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

    def waits_for_hands(self) -> bool:
        """Whether nothing will happen, however long one waits, until somebody does something."""
        shot = self.bench.snapshot()
        self.seen(shot)
        under_way = (
            shot.task is not Task.MODE
            or shot.condition in MOVING
            or shot.pause_left
            or any(leaf.speed for leaf in shot.leaves)
            or any(not passer.waiting for passer in shot.passing)
        )
        return not (under_way or self._later)

    def run_to_next(self) -> list[ScanRecord]:
        """On to the next thing that happens, or a press that begins or ends before it.

        In short looks: once the leaves have come to rest and nothing is due, waiting longer only costs time.
        """
        first = min((tick for tick, _ in self._later), default=None)
        end = self.bench.tick + (NEXT_LIMIT_MS if first is None else max(first - self.bench.tick, SCAN_MS))
        records: list[ScanRecord] = []
        while not records and self.bench.tick < end and not self.waits_for_hands():
            records += self.bench.run_to_next(min(end - self.bench.tick, LOOK_MS))
        self._do_due()
        return records

    def _press(self, action: Press) -> None:
        self.bench.act(action)
        self._since[action] = self.bench.tick

    def _let_go(self, action: Press) -> None:
        begins = [tick for tick, later in self._later if later == opposite(action)]
        began = max(begins, default=self._since.get(opposite(action), -TOUCH_MS))
        if began + TOUCH_MS > self.bench.tick:
            self._later.append((began + TOUCH_MS, action))
        else:
            self._end(action)

    def _end(self, action: Press) -> None:
        self.bench.act(action)
        self._since.pop(opposite(action), None)
        self._ended[opposite(action)] = self.bench.tick

    def _do_due(self) -> None:
        """What is due, in order. One that no tape would take stays due, and so does all that comes after."""
        due = [entry for entry in sorted(self._later, key=_when) if entry[0] <= self.bench.tick]
        for entry in due:
            if self.bench.finished:
                self._later.clear()
                return
            try:
                (self._press if entry[1].down else self._end)(entry[1])
            except TapeError:
                raise
            except UserError:
                self._later.remove(entry)
                raise
            self._later.remove(entry)


def _when(press: tuple[int, Press]) -> int:
    return press[0]


def _same_finger(one: Press, other: Press) -> bool:
    """Whether one hand makes both presses, one after the other: the five keys, or twice the same button."""
    if isinstance(one, PressKey) or isinstance(other, PressKey):
        return type(one) is type(other)
    if isinstance(one, RemoteKey) or isinstance(other, RemoteKey):
        return isinstance(one, RemoteKey) and isinstance(other, RemoteKey) and one.remote == other.remote
    return one.device == other.device


def opposite(action: Press) -> Press:
    """The press that ends this press, or the other way round."""
    if isinstance(action, PressKey):
        return PressKey(action.key, not action.down)
    if isinstance(action, RemoteKey):
        return RemoteKey(action.remote, action.key, not action.down)
    return Operate(action.device, not action.down)
