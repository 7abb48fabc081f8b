"""The learn cycle: sweep and proof as steps in a table.

The sweep finds the stops slowly, one leaf at a time, in the order that an overlap needs; the proof
runs at set speed and records the current. An end is where the leaf meets a stop, where its END switch
ends the movement, or where a person presses a key; a hydraulic drive turns on at its stop, so it needs one
of the latter two. Whatever goes wrong ends it with a sentence that names the likely cause, and nothing of
it is kept: a half-learned gate would slow down and stop in wrong places.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum

from simgate.board.counters import RATE, Reckoned
from simgate.board.drive import Drive
from simgate.board.happenings import HAPPENINGS, words_for
from simgate.board.leaf import Event
from simgate.board.settings import Value
from simgate.board.signals import LEAVES
from simgate.board.stimuli import ENDS, Way
from simgate.board.travel import BUCKETS, LeafTravel, Reckoning, smoothed
from simgate.board.tuning import EndUse, Sensing

SETTLE_MS = 700  # between steps, so that coasting is counted
STEP_MS = 120_000  # no step takes longer, not even a wide leaf's at the slowest speed
AT_ONCE = 8  # counts: a leaf that stands after fewer was against a stop already
FURTHER = 1.10  # shutting further than this share of the opening way: it did not start shut
SHORT = 0.85  # shutting less than this share: something stopped it on the way
LOOSELY = (1.8, 0.5)  # the same two for a leaf without an encoder, which may be slower one way
MOST_IDLE = 0.6  # share of the slow speed that friction may seem to take from a leaf without an encoder


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
        self._ended = 0  # raw count there, or where the leaf came to rest
        self._opened = [0 for _ in self._travels]  # raw count of the open end
        self._turned: dict[tuple[int, Way], tuple[float, float]] = {}  # of each sweep: duty and scans
        self._timed = drive.tuned.sensing is Sensing.TIME
        drive.take(None)
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

    def _gone(self, leaf: int) -> int:
        return self._drive.leaves[leaf].position.count - self._from[leaf]

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

    def _take(self, leaf: int, way: Way) -> bool:
        """Turn a sweep's counts into travel and place. False when the way back was too short."""
        driven = self._drive.leaves[leaf]
        position = driven.position
        marked = self._marked is not None
        coasted = position.count - self._marked if self._marked is not None else 0
        travel = self._travels[leaf]
        slows = abs(position.count - coasted - driven.slowed_at) if driven.slowed_at is not None else 0
        if isinstance(self._drive.counter, Reckoned):
            duty, scans = self._drive.counter.turned[leaf]
            self._turned[leaf, way] = (duty, scans)
        if way is OPEN:
            self._opened[leaf] = self._ended
            self._travels[leaf] = replace(
                travel, open_marked=marked, travel=-coasted if marked else 0, open_slow=slows
            )
            return True
        back = self._from[leaf] - (position.count - coasted)
        if not marked and back < (LOOSELY[1] if self._timed else SHORT) * self._from[leaf]:
            return False
        # The open end was left at -travel counts beyond its mark; a stop has nothing beyond it.
        learned = replace(travel, shut_marked=marked, travel=back + travel.travel, shut_slow=slows)
        if self._timed:  # what shutting counts more or less is the other way's pace, not another travel
            learned = replace(
                learned, travel=self._from[leaf], shut_slow=slows * self._from[leaf] // back,
                reckoning=Reckoning(pace=(1.0, self._from[leaf] / back)),
            )  # fmt: skip
        elif self._drive.tuned.sensing is Sensing.ABSOLUTE:
            way_open = self._opened[leaf] - self._ended
            learned = replace(
                learned, travel=max(abs(way_open), 1), turn=1 if way_open > 0 else -1, zero=self._ended
            )
        self._travels[leaf] = learned
        position.refer(coasted)
        return True

    def _take_pace(self, way: Way) -> None:
        """Of leaves without an encoder: the same way, once slow and once fast, tells what friction takes.

        Counted are only scans in which the motor could turn, so (duty - idle) summed is the same for both:
        idle = (D slow - D fast) / (T slow - T fast).
        """
        counter = self._drive.counter
        assert isinstance(counter, Reckoned)
        for leaf, travel in enumerate(self._travels):
            shutting = way is SHUT
            marked = travel.shut_marked if shutting else travel.open_marked
            if marked and self._drive.tuned.each[leaf].ends[way] is not EndUse.STOP:
                continue  # it ended by this very reckoning, and tells nothing about it
            slow_duty, slow_scans = self._turned[leaf, way]
            duty, scans = counter.turned[leaf]
            if slow_scans <= scans:
                continue
            most = MOST_IDLE * self._drive.tuned.each[leaf].slow
            idle = min(max((slow_duty - duty) / (slow_scans - scans), 0.0), most)
            found = (slow_duty - idle * slow_scans) * RATE
            was = travel.reckoning
            if shutting:
                reckoning = Reckoning((was.idle[0], idle), (was.pace[0], travel.travel / found))
                self._travels[leaf] = replace(travel, reckoning=reckoning)
            else:
                reckoning = Reckoning((idle, was.idle[1]), (travel.travel / found, was.pace[1]))
                self._travels[leaf] = replace(travel, reckoning=reckoning)

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
