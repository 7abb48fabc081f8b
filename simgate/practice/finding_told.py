"""Fault-finding told: what each look told, beside the best that could have been looked at, and par.

This is what people may read of what was measured: numbers, and looks in trade words. No suspect is named in
it, not even after the hand-over; what was wrong is told by the goals.

A look that told nothing is one of three wasteful checks, called as a course on bracketing calls them (US
Army, check value X3); what exactly counts as which is ours:

- irrelevant: it reads the same whichever of the first suspects it is;
- redundant: it could have told something, but what was seen before had told it already;
- premature: it tells something, but less than half as much a second as the best look then would.

A look that shows that no set of the size fits any more is none of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from simgate.practice.diagnosis.inquiry import Inquiry
from simgate.practice.diagnosis.ledger import Taken
from simgate.practice.diagnosis.par import Next, next_look
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.words import look_words
from simgate.practice.fault_finding import Measured

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
        least=math.fsum(one.least_looking for one in measured.pars),
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
            par.looking,
            par.least_looking,
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
