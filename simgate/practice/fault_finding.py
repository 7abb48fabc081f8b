"""Fault-finding measured: what each look told, beside the best that could have been looked at, and par.

`measure` is for the marks and holds what is wrong; `told` is what people may read: numbers, and looks in
trade words. No suspect is named in it, not even after the hand-over; what was wrong is told by the goals.

A look that told nothing is one of three wasteful checks, called as a course on bracketing calls them (US
Army, check value X3); what exactly counts as which is ours:

- irrelevant: it reads the same whichever of the first suspects it is;
- redundant: it could have told something, but what was seen before had told it already;
- premature: it tells something, but less than half as much a second as the best look then would.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from simgate.bench.record import ScanRecord
from simgate.bench.setup import Setup
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.ledger import Taken
from simgate.practice.diagnosis.par import Next, next_look
from simgate.practice.diagnosis.suspects import Suspects, suspects_of
from simgate.practice.diagnosis.trail import Repair, Trail
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
    passing: it was seen in passing.
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


@dataclass(frozen=True, slots=True)
class GoodLook:
    """One look of a good hand on the same gate. after: suspects that it leaves."""

    words: str
    seconds: float
    after: int


@dataclass(frozen=True, slots=True)
class FaultFinding:
    """The finding of one fault, told. seconds: of all looks. par: of the best plan on average, mending apart.

    least: what no plan is below, proven; proven: par is that. suspects: at first. left: when the work began
    that mended it, or at the end. doubt: bits at first.
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


@dataclass(frozen=True)
class Measured:
    """A run's fault-finding, for the marks. It knows what is wrong: keep it from screens."""

    suspects: Suspects
    trail: Trail

    @property
    def seconds(self) -> float:
        """Trade time of all looks before the mending."""
        return math.fsum(taken.seconds for taken in self.trail.ledger.taken)

    @property
    def allowed(self) -> tuple[float, str]:
        """What a good hand needs, and which it is: par, or what its own way takes with this fault, or one
        measurement; the longest counts.
        """
        own = math.fsum(best.seconds for best, _ in self.suspects.good_hand)
        three = (
            (self.par, "par, the average of the best plan"),
            (own, "what a good hand takes with this fault"),
            (LEAST_PAR, "as long as one measurement, whatever par is"),
        )
        return max(three, key=lambda one: one[0])

    @property
    def par(self) -> float:
        """Expected seconds of looking in the best plan found."""
        return self.suspects.par.seconds - self.suspects.par.mending

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
    suspects = suspects_of(setup, complaint)
    return None if suspects is None else Measured(suspects, Trail(suspects).follow(records))


def told(measured: Measured) -> FaultFinding:
    """What people may read of it."""
    suspects, trail = measured.suspects, measured.trail
    stated = suspects.par
    return FaultFinding(
        looks=tuple(_look(suspects, taken) for taken in trail.ledger.taken),
        good_hand=tuple(
            GoodLook(look_words(suspects.table.looks[best.look]), best.seconds, after)
            for best, after in suspects.good_hand
        ),
        seconds=measured.seconds,
        par=measured.par,
        least=stated.least - stated.mending,
        proven=stated.proven,
        suspects=len(suspects.first),
        left=len(trail.ledger.left),
        doubt=stated.bits,
        mended=trail.mended is not None,
    )


def _look(suspects: Suspects, taken: Taken) -> Look:
    best = next_look(suspects.table, taken.before, opened=taken.opened)
    words = why = ""
    if best is not None and not taken.passing and not _as_good(taken, best):
        words, why = look_words(suspects.table.looks[best.look]), " ".join(best.reason)
    return Look(
        taken.tick,
        taken.words,
        taken.seconds,
        taken.bits,
        len(taken.before),
        len(taken.after),
        _waste(suspects, taken, best),
        words,
        why,
        taken.passing,
    )


def _as_good(taken: Taken, best: Next) -> bool:
    return best.look in taken.looks or _rate(taken) >= AS_GOOD * best.bits / best.seconds


def _rate(taken: Taken) -> float:
    return taken.hoped / taken.seconds if taken.seconds else math.inf


def _waste(suspects: Suspects, taken: Taken, best: Next | None) -> Waste:
    if not taken.weighed:
        return Waste.UNKNOWN
    if taken.passing:
        return Waste.NONE
    if taken.bits:
        if suspects.solved(taken.after):
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


NOT_HERE = Advice("Nothing to say.", ("No single fault is hidden here that looking could find.",))
FOUND = Advice(
    "Nothing more.", ("What was complained of is put right.", "Prove it: try what did not work before.")
)
MEET = "Put your readings side by side, mend where they meet, then prove it."


def advice(job: Job, setup: Setup, records: Sequence[ScanRecord]) -> Advice:
    """What a good hand would look at now, from what was seen so far. No suspect is named."""
    measured = followed(setup, job.complaint, records) if asks_for(job) else None
    if measured is None:
        return NOT_HERE
    suspects, trail, ledger = measured.suspects, measured.trail, measured.trail.ledger
    if trail.mended is not None:
        return FOUND
    best = next_look(suspects.table, ledger.left, opened=ledger.opened)
    if best is None:
        return Advice("Nothing more to tell apart.", (_alike(len(ledger.left)), MEET))
    look = look_words(suspects.table.looks[best.look])
    fit = f"{len(ledger.left)} of {len(suspects.first)} suspects fit what you have seen."
    undone = () if trail.as_found else ("Put back first what you undid or linked.",)
    return Advice(f"{look[0].upper()}{look[1:]}.", (fit, *best.reason, *undone))


def _alike(left: int) -> str:
    if left == 1:
        return "Only one fault fits everything that was seen."
    alike = "the same work puts every one of them right, or no look tells them apart"
    return f"{left} faults fit everything that was seen; {alike}."
