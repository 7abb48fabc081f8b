"""The learn cycle: sweep and proof as steps in a table.

The sweep finds the stops slowly, one leaf at a time, in the order that an overlap needs; the proof
runs at set speed and records the current. Whatever goes wrong ends it with a sentence that names the
likely cause, and nothing of it is kept: a half-learned gate would slow down and stop in wrong places.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum

from simgate.board.drive import Drive
from simgate.board.leaf import Event
from simgate.board.settings import Value
from simgate.board.stimuli import Way
from simgate.board.travel import BUCKETS, LeafTravel, smoothed

SETTLE_MS = 700  # between steps, so that coasting is counted
STEP_MS = 120_000  # no step takes longer, not even a wide leaf's at the slowest speed
AT_ONCE = 8  # pulses: a leaf that stands after fewer was against a stop already
FURTHER = 1.10  # shutting further than this share of the opening way: it did not start shut
SHORT = 0.85  # shutting less than this share: something stopped it on the way


@dataclass(frozen=True, slots=True)
class Step:
    """One pass. leaf: index of the leaf that is swept, None for all leaves in proof."""

    leaf: int | None
    way: Way
    words: str


OPEN, SHUT = Way.OPENING, Way.CLOSING
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
NOT_SHUT = "Leaf {0} was not shut at the start, or runs the wrong way"
IN_THE_WAY = "Leaf {0} stopped on its way: something there, or force too low"
NO_CURRENT = "No current to motor {0}: look at its wires and the fuse"
TOO_LONG = "Leaf {0} met no stop in time: are both stops there?"
BY_HAND = "Learn cycle stopped by hand"
PARTED = "{0}: learn cycle stopped"
NO_POWER = "The power went: learn cycle stopped"

TROUBLE: Mapping[Event, str] = {Event.BLOCKED: IN_THE_WAY, Event.DEAD: NO_CURRENT, Event.LATE: TOO_LONG}


@dataclass(frozen=True, slots=True)
class Learned:
    """What a completed learn cycle leaves: each leaf's travel, and the settings it was made with."""

    leaves: tuple[LeafTravel, ...]
    settings: tuple[tuple[str, Value], ...]


class Verdict(Enum):
    """How a learn cycle stands after a scan."""

    GOING = "going"
    DONE = "done"
    ABORTED = "aborted"


class Learn:
    """One run of the cycle over `drive`. words: the step, or after an abort what went wrong.

    The caller keeps what was learned before, and puts it back when this one is aborted.
    """

    def __init__(self, drive: Drive, tick: int) -> None:
        self._drive = drive
        self._steps = STEPS[drive.tuned.leaves]
        self._travels = [LeafTravel(travel=1) for _ in range(drive.tuned.leaves)]
        self._records = {way: [[0.0] * BUCKETS for _ in self._travels] for way in Way}
        self._from = [0 for _ in self._travels]
        self._marked: int | None = None  # count at which a key was pressed in this step
        self._index = -1
        self._begins: int | None = tick  # when the next step starts, None while one runs
        self._until = tick + STEP_MS
        self.words = self._steps[0].words

    @property
    def travels(self) -> tuple[LeafTravel, ...]:
        """What was learned; complete once the verdict is DONE."""
        return tuple(
            replace(
                travel, opening=smoothed(self._records[OPEN][i]), closing=smoothed(self._records[SHUT][i])
            )
            for i, travel in enumerate(self._travels)
        )

    def due(self) -> int | None:
        """When the next step begins, None while one runs."""
        return self._begins

    def state(self) -> tuple[object, ...]:
        """Everything that the rest of the cycle depends on."""
        records = tuple(tuple(record) for way in Way for record in self._records[way])
        return (self._index, self._begins, self._until, self._marked, *self._from, *self._travels, *records)

    def mark(self, tick: int) -> None:
        """A person says: the stop is here."""
        step = self._steps[self._index] if self._begins is None else None
        if step is None or step.leaf is None:
            return
        count = self._drive.leaves[step.leaf].position.count
        if abs(count - self._from[step.leaf]) < AT_ONCE:
            return
        self._marked = count
        self._end(tick)

    def scan(self, tick: int, event: Event | None) -> Verdict:
        """One scan; `event` is what the drive reported in it."""
        if self._begins is not None:
            return self._next(tick) if tick >= self._begins else Verdict.GOING
        step = self._steps[self._index]
        if event is Event.ARRIVED:
            if step.leaf is not None and abs(self._gone(step.leaf)) < AT_ONCE and step.way is OPEN:
                return self._abort(AT_A_STOP, step.leaf, tick)
            self._end(tick)
        elif event is not None:
            return self._abort(TROUBLE[event], self._drive.at_fault, tick)
        elif step.leaf is not None and step.way is SHUT and self._too_far(step.leaf):
            return self._abort(NOT_SHUT, step.leaf, tick)
        elif tick > self._until:
            return self._abort(TOO_LONG, step.leaf or 0, tick)
        return Verdict.GOING

    def stop(self, tick: int, words: str) -> None:
        """Abort from outside: STOP, a guard, a hand, the power."""
        self._drive.stop(tick)
        self._record(None)
        self.words = words

    def _abort(self, words: str, leaf: int, tick: int) -> Verdict:
        self.stop(tick, words.format("AB"[leaf]))
        return Verdict.ABORTED

    def _gone(self, leaf: int) -> int:
        return self._drive.leaves[leaf].position.count - self._from[leaf]

    def _too_far(self, leaf: int) -> bool:
        return -self._gone(leaf) > FURTHER * self._from[leaf] + AT_ONCE

    def _end(self, tick: int) -> None:
        """The step has done its way; let the leaf come to rest."""
        self._drive.stop(tick)
        self._record(None)
        self._begins = tick + SETTLE_MS

    def _next(self, tick: int) -> Verdict:
        """Take what the ended step found, then start the next one."""
        if self._index >= 0:
            step = self._steps[self._index]
            if step.leaf is not None and not self._take(step.leaf, step.way):
                return self._abort(IN_THE_WAY, step.leaf, tick)
        self._marked = None
        self._index += 1
        if self._index == len(self._steps):
            return Verdict.DONE
        self._begins = None
        self._until = tick + STEP_MS
        self._start(self._steps[self._index], tick)
        return Verdict.GOING

    def _take(self, leaf: int, way: Way) -> bool:
        """Turn a sweep's counts into travel and place. False when the way back was too short."""
        position = self._drive.leaves[leaf].position
        marked = self._marked is not None
        coasted = position.count - self._marked if self._marked is not None else 0
        travel = self._travels[leaf]
        if way is OPEN:
            self._travels[leaf] = replace(travel, open_marked=marked, travel=-coasted if marked else 0)
            return True
        back = self._from[leaf] - (position.count - coasted)
        if not marked and back < SHORT * self._from[leaf]:
            return False
        # The open end was left at -travel pulses beyond its mark; a stop has nothing beyond it.
        self._travels[leaf] = replace(travel, shut_marked=marked, travel=back + travel.travel)
        position.refer(coasted)
        return True

    def _start(self, step: Step, tick: int) -> None:
        self.words = step.words
        if step.leaf is not None:
            position = self._drive.leaves[step.leaf].position
            if step.way is OPEN:
                position.refer(0)
            self._from[step.leaf] = position.count
            self._drive.creep(step.leaf, step.way, tick)
            return
        self._drive.travels = tuple(self._travels)
        self._record(self._records[step.way])
        if step.way is OPEN:
            self._drive.open(tick)
        else:
            self._drive.close(tick)

    def _record(self, records: list[list[float]] | None) -> None:
        for index in range(len(self._travels)):
            self._drive.leaves[index].recorder = records[index] if records else None
