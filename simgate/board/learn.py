"""The learn cycle: sweep and proof as steps in a table.

The sweep finds the stops slowly, one leaf at a time, in the order that an overlap needs; the proof
runs at set speed and records the current. An end is where the leaf meets a stop, where its END switch
ends the movement, or where a person presses a key; a hydraulic drive turns on at its stop, so it needs one
of the latter two. Whatever goes wrong ends it with a sentence that names the likely cause, and nothing of
it is kept: a half-learned gate would slow down and stop in wrong places.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from simgate.board.arrival import Event
from simgate.board.counters import Reckoned
from simgate.board.drive import Drive
from simgate.board.findings import LOOSELY, OPEN, SHUT, Findings
from simgate.board.happenings import HAPPENINGS, words_for
from simgate.board.settings import Value
from simgate.board.signals import LEAVES
from simgate.board.stimuli import ENDS, Way
from simgate.board.travel import LeafTravel
from simgate.board.tuning import EndUse, Sensing

SETTLE_MS = 700  # between steps, so that coasting is counted
STEP_MS = 120_000  # no step takes longer, not even a wide leaf's at the slowest speed
AT_ONCE = 8  # counts: a leaf that stands after fewer was against a stop already
FURTHER = 1.10  # shutting further than this share of the opening way: it did not start shut


@dataclass(frozen=True, slots=True)
class Step:
    """One pass. leaf: index of the leaf that is swept, None for all leaves in proof."""

    leaf: int | None
    way: Way
    words: str


PROOF = (Step(None, OPEN, "Proof: opening"), Step(None, SHUT, "Proof: shutting"))
STEPS: Mapping[int, tuple[Step, ...]] = {
    1: (Step(0, OPEN, "Sweep: A opens"), Step(0, SHUT, "Sweep: A shuts"), *PROOF),
    2: (
        Step(0, OPEN, "Sweep: A opens"),
        Step(1, OPEN, "Sweep: B opens"),
        Step(1, SHUT, "Sweep: B shuts"),
        Step(0, SHUT, "Sweep: A shuts"),
        *PROOF,
    ),
}
"""Number of leaves -> the passes of a learn cycle, in order."""

AT_A_STOP = "Leaf {0} met a stop at once: turn round its two motor wires"
UNCOUNTED = "Leaf {0} stands or is not counted: turn motor wires, see encoder"  # no pulse tells
NOT_SHUT = "Leaf {0} was not shut at the start, or runs the wrong way"
IN_THE_WAY = "Leaf {0} stopped on its way: something there or force too low"
NO_CURRENT = "No current to motor {0}: look at its wires and the fuse"
TOO_LONG = "Leaf {0} met no stop in time: END switches, or mark its ends"
UNFELT = "Leaf {0} met no stop in time: less force, END switches or mark ends"  # the ceiling alone tells
END_AT_START = "{1} acts at leaf {0}'s start: wires swapped, or its contact?"
END_UNSEEN = "Leaf {0} is at its end, and {1} has not acted"
BY_HAND = "Learn cycle stopped by hand"
PARTED = "{0}: learn cycle stopped"
NO_POWER = "The power went: learn cycle stopped"

TROUBLE: Mapping[Event, str] = {
    **{event: words for event, (_, words) in HAPPENINGS.items()},
    Event.BLOCKED: IN_THE_WAY,
    Event.DEAD: NO_CURRENT,
}


@dataclass(frozen=True, slots=True)
class Learned:
    """What a completed learn cycle leaves: each leaf's travel, and the settings it was made with."""

    leaves: tuple[LeafTravel, ...]
    settings: tuple[tuple[str, Value], ...]

    def fits(self, leaves: int, sensing: Value) -> bool:
        """Whether it is of use to a board with so many leaves, sensed so."""
        return len(self.leaves) == leaves and dict(self.settings)["sensing"] == sensing


class Verdict(Enum):
    """How a learn cycle stands after a scan."""

    GOING = "going"
    DONE = "done"
    ABORTED = "aborted"


class Learn(Findings):
    """One run of the cycle over `drive`. words: the step, or after an abort what went wrong.

    The caller keeps what was learned before, and puts it back when this one is aborted.
    """

    def __init__(self, drive: Drive, tick: int) -> None:
        super().__init__(drive)
        self._steps = STEPS[drive.tuned.leaves]
        drive.take(None)
        self._index = -1
        self._begins: int | None = tick  # when the next step starts, None while one runs
        self._until = tick + STEP_MS
        self.words = self._steps[0].words

    def due(self) -> int | None:
        """When the next step begins, None while one runs."""
        return self._begins

    def state(self) -> tuple[object, ...]:
        """Everything that the rest of the cycle depends on."""
        records = tuple(tuple(record) for way in Way for record in self._records[way])
        turned = tuple(self._turned.values())
        return (
            self._index, self._begins, self._until, self._marked, self._ended, *self._opened, *turned,
            *self._from, *self._travels, *records,
        )  # fmt: skip

    def mark(self, tick: int) -> None:
        """A person says: the stop is here."""
        step = self._steps[self._index] if self._begins is None else None
        if step is None or step.leaf is None:
            return
        count = self._drive.leaves[step.leaf].position.count
        if abs(count - self._from[step.leaf]) < AT_ONCE:
            return
        self._marked = count
        self._ended = self._drive.leaves[step.leaf].position.raw
        self._end(tick)

    def scan(self, tick: int, event: Event | None) -> Verdict:
        """One scan; `event` is what the drive reported in it."""
        if self._begins is not None:
            return self._next(tick) if tick >= self._begins else Verdict.GOING
        step = self._steps[self._index]
        if event is Event.ARRIVED:
            if step.leaf is not None and abs(self._gone(step.leaf)) < AT_ONCE and step.way is OPEN:
                uncounted = not self._gone(step.leaf) and self._drive.tuned.sensing is Sensing.PULSES
                return self._abort(UNCOUNTED if uncounted else AT_A_STOP, step.leaf, tick)
            self._end(tick)
        elif event is not None:
            words = self._too_long if event is Event.LATE else TROUBLE[event]
            return self._abort(words_for(event, self._drive, words), self._drive.at_fault, tick)
        elif step.leaf is not None and step.way is SHUT and self._too_far(step.leaf):
            return self._abort(NOT_SHUT, step.leaf, tick)
        elif tick > self._until:
            return self._abort(self._too_long, step.leaf or 0, tick)
        return Verdict.GOING

    def stop(self, tick: int, words: str) -> None:
        """Abort from outside: STOP, a guard, a hand, the power."""
        self._drive.stop(tick)
        self._drive.proving = False
        self._record(None)
        self.words = words

    def _abort(self, words: str, leaf: int, tick: int) -> Verdict:
        self.stop(tick, words.format(LEAVES[leaf]))
        return Verdict.ABORTED

    def _end_words(self, words: str, leaf: int, way: Way) -> str:
        """Words that name the END switch which that way leads to."""
        return words.format(LEAVES[leaf], ENDS[leaf][0 if way is OPEN else 1].value)

    @property
    def _too_long(self) -> str:
        return UNFELT if self._timed else TOO_LONG

    def _too_far(self, leaf: int) -> bool:
        further = LOOSELY[0] if self._timed else FURTHER
        return -self._gone(leaf) > further * self._from[leaf] + AT_ONCE

    def _end(self, tick: int) -> None:
        """The step has done its way; let the leaf come to rest."""
        self._drive.stop(tick)
        self._record(None)
        self._begins = tick + SETTLE_MS

    def _next(self, tick: int) -> Verdict:
        """Take what the ended step found, then start the next one."""
        if self._index >= 0:
            wrong = self._take_step(self._steps[self._index])
            if wrong:
                return self._abort(wrong, 0, tick)
        self._marked = None
        self._index += 1
        if self._index == len(self._steps):
            self._drive.proving = False
            return Verdict.DONE
        step = self._steps[self._index]
        if step.leaf is not None and self._drive.leaves[step.leaf].at(step.way):
            return self._abort(self._end_words(END_AT_START, step.leaf, step.way), step.leaf, tick)
        self._begins = None
        self._until = tick + STEP_MS
        self._start(step, tick)
        return Verdict.GOING

    def _take_step(self, step: Step) -> str:
        """Take what a step found. Returns what is wrong with it, in words, or ''."""
        if step.leaf is None:
            if self._timed:
                self._take_pace(step.way)
            return ""
        leaf = self._drive.leaves[step.leaf]
        use = self._drive.tuned.each[step.leaf].ends[step.way]
        acted = leaf.at(step.way) if use is EndUse.STOP else leaf.slowed_at is not None
        if use is not EndUse.NONE and not acted:
            return self._end_words(END_UNSEEN, step.leaf, step.way)
        if self._marked is None:
            self._ended = leaf.position.raw
        return "" if self._take(step.leaf, step.way) else IN_THE_WAY.format(LEAVES[step.leaf])

    def _start(self, step: Step, tick: int) -> None:
        self.words = step.words
        counter = self._drive.counter
        if isinstance(counter, Reckoned):
            counter.turned = [[0.0, 0.0] for _ in counter.turned]
        if step.leaf is not None:
            position = self._drive.leaves[step.leaf].position
            if step.way is OPEN:
                position.lose(position.raw)
                position.refer(0)
            self._from[step.leaf] = position.count
            self._drive.creep(step.leaf, step.way, tick)
            return
        self._drive.take(tuple(self._travels))
        self._drive.proving = True
        self._record(self._records[step.way])
        if step.way is OPEN:
            self._drive.open(tick)
        else:
            self._drive.close(tick)

    def _record(self, records: list[list[float]] | None) -> None:
        for index in range(len(self._travels)):
            self._drive.leaves[index].recorder = records[index] if records else None
