"""Fault-finding measured: what each look told, beside the best that could have been looked at, and par.

A finding has stages (`ledger.py`). Par is stated for each stage that a run came to: the expected seconds of
the best plan for the suspects as they stood when it began, with what was fetched and opened by then, until
something is sure to be wrong. Par of the run is the sum. The bound beside it is true of each stage by itself
and of its suspects: no order of these looks tells them apart in less time on average. With one fault hidden
there is one stage, and par is par for the complaint.

`measure` is for the marks and holds what is wrong; `told` is what people may read: numbers, and looks in
trade words. No suspect is named in it, not even after the hand-over; what was wrong is told by the goals.

A look that told nothing is one of three wasteful checks, called as a course on bracketing calls them (US
Army, check value X3); what exactly counts as which is ours:

- irrelevant: it reads the same whichever of the first suspects it is;
- redundant: it could have told something, but what was seen before had told it already;
- premature: it tells something, but less than half as much a second as the best look then would.

A look that shows that no set of the size fits any more is none of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from simgate.bench.record import ScanRecord
from simgate.bench.setup import Setup
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.inquiry import Inquiry, inquiry_of
from simgate.practice.diagnosis.ledger import Taken
from simgate.practice.diagnosis.par import Next, Par, next_look
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.trail import Repair, Trail
from simgate.practice.diagnosis.way import good_way
from simgate.practice.diagnosis.words import look_words
from simgate.practice.ending import Ending
from simgate.practice.job import Job

GOAL = "fault-mended"  # jobs that ask for it are measured
LEAST_PAR = 150.0  # s: one measurement, the meter fetched and two places opened; nobody finds in less
AS_GOOD = 0.9  # of the best look's bits a second: as good as any
HALF = 0.5


class Waste(Enum):
    """How a look was wasted; NONE when it was not."""

    NONE = ""
    IRRELEVANT = "irrelevant"
    REDUNDANT = "redundant"
    PREMATURE = "premature"
    UNKNOWN = "not weighed"  # the planner knows no such look


@dataclass(frozen=True, slots=True)
class Look:
    """One look as it is told. bits: what it told. before, after: suspects left. seconds: of trade time.

    best, why: what a good hand would have looked at, '' where this was as good or nothing was left to find.
    passing: it was seen in passing. size: of the sets that were suspects. wider: of those that took their
    place when it refuted them all, 0 otherwise.
    """

    tick: int
    words: str
    seconds: float
    bits: float
    before: int
    after: int
    waste: Waste
    best: str = ""
    why: str = ""
    passing: bool = False
    size: int = 1
    wider: int = 0
    stage: int = 0


@dataclass(frozen=True, slots=True)
class GoodLook:
    """One look of a good hand on the same gate. after: suspects that it leaves. sure: whether something is
    then sure to be wrong, and mended.
    """

    words: str
    seconds: float
    after: int
    sure: bool = True


@dataclass(frozen=True, slots=True)
class Part:
    """One stage. suspects: it began with so many sets, each of so many faults (size). mended: it began when a
    part of what was wrong was mended. capped: more may have fitted. sound: nothing that they knew of was
    wrong any more. par, least, proven: as of the whole.
    """

    tick: int
    suspects: int
    size: int
    mended: bool
    capped: bool
    sound: bool
    seconds: float
    par: float
    least: float
    proven: bool


@dataclass(frozen=True, slots=True)
class FaultFinding:
    """The finding of what is wrong, told. seconds: of all looks. par: of the best plan on average, mending
    apart; of all stages together. parts: the stages.

    least: what no plan is below, proven; proven: par is that. suspects: at first, each of `size` faults.
    left: when the work began that mended it, or at the end. doubt: bits at first. hidden: faults that showed
    in no look beside the others; unseen: those of them that show in none at all.
    """

    looks: tuple[Look, ...]
    good_hand: tuple[GoodLook, ...]
    seconds: float
    par: float
    least: float
    proven: bool
    suspects: int
    left: int
    doubt: float
    mended: bool
    size: int = 1
    capped: bool = False
    parts: tuple[Part, ...] = ()
    hidden: int = 0
    unseen: int = 0


@dataclass(frozen=True)
class Measured:
    """A run's fault-finding, for the marks. It knows what is wrong: keep it from screens."""

    inquiry: Inquiry
    trail: Trail

    @property
    def suspects(self) -> Suspects:
        """Those before anybody looked."""
        return self.trail.ledger.stages[0].suspects

    @property
    def seconds(self) -> float:
        """Trade time of all looks before all was mended."""
        return math.fsum(taken.seconds for taken in self.trail.ledger.taken)

    @cached_property
    def way(self) -> tuple[Taken, ...]:
        """The looks of a good hand."""
        return good_way(self.inquiry)

    @property
    def allowed(self) -> tuple[float, str]:
        """What a good hand needs, and which it is: par, or what its own way takes with what is wrong, or one
        measurement for each fault; the longest counts.
        """
        own = math.fsum(taken.seconds for taken in self.way)
        faults = len(self.inquiry.truth)
        several = faults > 1
        three = (
            (self.par, "par, the average of the best plan"),
            (own, f"what a good hand takes with {'these faults' if several else 'this fault'}"),
            (LEAST_PAR * faults, f"as long as one measurement{' each' if several else ''}, whatever par is"),
        )
        return max(three, key=lambda one: one[0])

    @cached_property
    def pars(self) -> tuple[Par, ...]:
        """Par of each stage."""
        return tuple(stage.suspects.par(stage.opened) for stage in self.trail.ledger.stages)

    @property
    def par(self) -> float:
        """Expected seconds of looking in the best plans found, of all stages together."""
        return math.fsum(one.seconds - one.mending for one in self.pars)

    @property
    def needless(self) -> tuple[Repair, ...]:
        """Renewals of what was sound."""
        return tuple(repair for repair in self.trail.repairs if repair.needless)

    @property
    def unproven(self) -> tuple[Repair, ...]:
        """Repairs while a look could still have told what was left apart; a sound part renewed is none."""
        return tuple(one for one in self.trail.repairs if not one.proven and not one.needless)


def asks_for(job: Job) -> bool:
    """Whether a job is about finding a fault."""
    return any(goal.check == GOAL for goal in job.goals)


def measure(job: Job, ending: Ending) -> Measured | None:
    """A run's fault-finding; None for a job or a run in which it is not measured."""
    if not asks_for(job) or not ending.snapshot.marked:
        return None
    return followed(ending.setup, job.complaint, ending.records)


def followed(
    setup: Setup, complaint: tuple[Complaint, ...], records: Sequence[ScanRecord]
) -> Measured | None:
    """The fault-finding in these records."""
    inquiry = inquiry_of(setup, complaint)
    return None if inquiry is None else Measured(inquiry, Trail(inquiry).follow(records))


def told(measured: Measured) -> FaultFinding:
    """What people may read of it."""
    suspects, ledger, mended = measured.suspects, measured.trail.ledger, measured.trail.mended
    hidden, unseen = _hidden(measured.inquiry)
    return FaultFinding(
        looks=tuple(_look(measured, taken) for taken in ledger.taken),
        good_hand=tuple(
            GoodLook(taken.words, taken.seconds, len(_after(taken)[1]), _sure(taken))
            for taken in measured.way
        ),
        seconds=measured.seconds,
        par=measured.par,
        least=math.fsum(one.least - one.mending for one in measured.pars),
        proven=all(one.proven for one in measured.pars),
        suspects=len(suspects.first),
        left=len(ledger.left),
        doubt=measured.pars[0].bits,
        mended=mended is not None,
        size=suspects.size,
        capped=suspects.capped,
        parts=tuple(_parts(measured)),
        hidden=hidden,
        unseen=unseen,
    )


def _parts(measured: Measured) -> Iterator[Part]:
    ledger = measured.trail.ledger
    for number, (stage, par) in enumerate(zip(ledger.stages, measured.pars, strict=True)):
        yield Part(
            stage.tick,
            len(stage.suspects.first),
            stage.suspects.size,
            stage.mended,
            stage.suspects.capped,
            not any(stage.suspects.table.sets),
            math.fsum(taken.seconds for taken in ledger.taken if taken.stage == number),
            par.seconds - par.mending,
            par.least - par.mending,
            par.proven,
        )


def _hidden(inquiry: Inquiry) -> tuple[int, int]:
    """How many faults showed in no look beside the others, and how many of them show in none at all."""
    truth = inquiry.truth
    others = [tuple(one for one in truth if one is not fault) for fault in truth]
    behind = [
        fault for fault, its in zip(truth, others, strict=True) if its and not inquiry.apart(truth, its)
    ]
    return len(behind), len([fault for fault in behind if not inquiry.apart((fault,), ())])


def _after(taken: Taken) -> tuple[Suspects, tuple[int, ...]]:
    """What a look leaves."""
    if taken.wider is not None:
        return taken.wider, taken.wider.first
    return taken.suspects, taken.after


def _sure(taken: Taken) -> bool:
    suspects, left = _after(taken)
    return suspects.solved(left)


def _look(measured: Measured, taken: Taken) -> Look:
    suspects = taken.suspects
    best = next_look(suspects.table, taken.before, opened=taken.opened)
    words = why = ""
    if best is not None and not taken.passing and taken.wider is None and not _as_good(taken, best):
        words, why = look_words(suspects.table.looks[best.look]), " ".join(best.reason)
    return Look(
        taken.tick,
        taken.words,
        taken.seconds,
        taken.bits,
        len(taken.before),
        len(_after(taken)[1]),
        _waste(measured, taken, best),
        words,
        why,
        taken.passing,
        suspects.size,
        0 if taken.wider is None else taken.wider.size,
        taken.stage,
    )


def _as_good(taken: Taken, best: Next) -> bool:
    return best.look in taken.looks or _rate(taken) >= AS_GOOD * best.bits / best.seconds


def _rate(taken: Taken) -> float:
    return taken.hoped / taken.seconds if taken.seconds else math.inf


def _waste(measured: Measured, taken: Taken, best: Next | None) -> Waste:
    suspects = measured.trail.ledger.stages[taken.stage].suspects
    if not taken.weighed:
        return Waste.UNKNOWN
    if taken.passing or taken.wider is not None:
        return Waste.NONE
    if taken.bits:
        if taken.suspects.solved(taken.after):
            return Waste.NONE  # whatever it cost, it found it
        early = (
            best is not None and not _as_good(taken, best) and _rate(taken) < HALF * best.bits / best.seconds
        )
        return Waste.PREMATURE if early else Waste.NONE
    outcomes = [suspects.table.outcomes[number] for number in taken.looks]
    could = any(len({outcome[one] for one in suspects.first}) > 1 for outcome in outcomes)
    first = len(taken.before) == len(suspects.first)
    return Waste.REDUNDANT if could or (not outcomes and not first) else Waste.IRRELEVANT


# Asked during the work ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Advice:
    """What a good hand would look at next, and why, sentence by sentence."""

    look: str
    why: tuple[str, ...]


NOT_HERE = Advice("Nothing to say.", ("No fault is hidden here that looking could find.",))
FOUND = Advice(
    "Nothing more.", ("What was complained of is put right.", "Prove it: try what did not work before.")
)
MEET = "Put your readings side by side, mend where they meet, then prove it."


def advice(job: Job, setup: Setup, records: Sequence[ScanRecord]) -> Advice:
    """What a good hand would look at now, from what was seen so far. No suspect is named."""
    measured = followed(setup, job.complaint, records) if asks_for(job) else None
    if measured is None:
        return NOT_HERE
    trail, ledger = measured.trail, measured.trail.ledger
    if trail.mended is not None or ledger.put_right():
        return FOUND
    suspects, begun = ledger.suspects, ledger.stages[-1].suspects
    best = next_look(suspects.table, ledger.left, opened=ledger.opened)
    if best is None:
        return Advice("Nothing more to tell apart.", (_alike(ledger.left, suspects), MEET))
    look = look_words(suspects.table.looks[best.look])
    fit = f"{len(ledger.left)} of {len(begun.first)} suspects fit what you have seen."
    if suspects.size > 1:
        fit += f" {several(suspects.size)}"
    undone = () if trail.as_found else ("Put back first what you undid or linked.",)
    return Advice(f"{look[0].upper()}{look[1:]}.", (fit, *best.reason, *undone))


def several(size: int) -> str:
    """That nothing smaller fits."""
    return f"Each is a set of {number(size)} faults: nothing less explains all of it."


def number(size: int) -> str:
    """A small number in words."""
    return NUMBERS.get(size, str(size))


NUMBERS = {1: "one", 2: "two", 3: "three", 4: "four"}


def _alike(left: tuple[int, ...], suspects: Suspects) -> str:
    sets = "fault" if suspects.size == 1 else f"set of {number(suspects.size)} faults"
    if len(left) == 1:
        return f"Only one {sets} fits everything that was seen."
    if suspects.size > 1:
        alike = "one and the same work is part of putting right each of them, or no look tells them apart"
        return f"{len(left)} sets of {number(suspects.size)} faults fit everything that was seen; {alike}."
    alike = "the same work puts every one of them right, or no look tells them apart"
    return f"{len(left)} faults fit everything that was seen; {alike}."
