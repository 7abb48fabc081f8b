"""Marks: one formula, every term visible.

    mark  = goals - conduct - time - hints - looking - swaps - proof, kept within 0 and 100

    goals   = 100 x goals met / goals asked, to the nearest whole mark
    conduct = for each rule broken, however often: 50 where somebody can be hurt, 20 for a slip that spoils
              the search and hurts nobody (conduct.toml says which is which, and why)
    time    = 1 for each whole minute over the job's allowance, at most 10
    hints   = what the job says each hint taken costs, and 4 for each time that it was asked what a good
              hand would look at next, at most 20 together

The last three only where a goal asks for what is hidden to be mended (fault_finding.py measures them):

    looking = 2 for each whole half of the time allowed that the trade time of all looks before the mending
              is above 1.5 x that, at most 10. Trade time is that of costs.toml. Allowed is par, the expected
              time of the best plan found, of each stage that the run came to where more than one fault is
              hidden; for what takes a good hand longer than that, what it takes; and never less than 150 s,
              one measurement, for each fault
    swaps   = 5 for each part that was renewed although it was sound, at most 10
    proof   = 5 for each repair while a look could still have told apart what was left, at most 10; none for
              one that is part of putting right whatever was left

    passed  = handed over, every goal met, and at least 70 marks

Conduct costs most: one danger takes more than all time and all hints together, no single goal of a job
(which has two or more) weighs more, and it alone puts a run below the pass mark; of slips it takes two. A
mark worked out anywhere else than here could not be explained to the person who got it. Looking, swaps and
proof take no more than 30 together: a fault that was found the long way round and mended is still mended.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simgate.bench.actions import AskNext, TakeHint
from simgate.practice.conduct import ConductFault, conduct_faults
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import Measured, measure
from simgate.practice.goals import Judged, judge
from simgate.practice.job import Job

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

FULL = 100
PASS_MARK = 70
MINUTE_COST = 1
MOST_FOR_TIME = 10
MOST_FOR_HINTS = 20
MINUTE = 60_000  # ms
ASKING_COST = 4
FREE_OF_PAR, STEP_OF_PAR, STEP_COST, MOST_FOR_LOOKING = 1.5, 0.5, 2, 10
SWAP_COST, MOST_FOR_SWAPS = 5, 10
TINY = 1e-9  # so that a whole step is one
PROOF_COST, MOST_FOR_PROOF = 5, 10


@dataclass(frozen=True, slots=True)
class Term:
    """One term of the formula. marks: what it adds, negative for what it takes. why: the working."""

    name: str
    marks: int
    why: str


@dataclass(frozen=True, slots=True)
class Marks:
    """What a run is worth. terms add up to the total before it is kept within 0 and 100.

    marked: False for a run that used the trainer's drawer or a rehearsal; its total stands for nothing.
    """

    goals: tuple[Judged, ...]
    conduct: tuple[ConductFault, ...]
    terms: tuple[Term, ...]
    total: int
    handed_over: bool
    marked: bool

    @property
    def passed(self) -> bool:
        """Handed over, marked, every goal met, and the pass mark reached."""
        met = all(goal.met for goal in self.goals)
        return self.handed_over and self.marked and met and self.total >= PASS_MARK


def mark(job: Job, bench: Bench) -> Marks:
    """Marks of the run on `bench` as it stands, handed over or not."""
    return mark_ending(job, Ending.of(bench))


def mark_ending(job: Job, ending: Ending) -> Marks:
    """Marks of a run from its ending."""
    return mark_measured(job, ending, measure(job, ending))


def mark_measured(job: Job, ending: Ending, found: Measured | None) -> Marks:
    """The same, for who has measured the fault-finding already."""
    goals = tuple(judge(goal, ending) for goal in job.goals)
    conduct = conduct_faults(ending, job.conduct)
    terms: tuple[Term, ...] = (_goals(goals), _conduct(conduct), _time(job, ending), _hints(job, ending))
    if found is not None:
        terms += (_looking(found), _swaps(found), _proof(found))
    total = 0
    for term in terms:
        total += term.marks
    marked = job.marked and ending.snapshot.marked
    return Marks(goals, conduct, terms, min(max(total, 0), FULL), ending.snapshot.finished, marked)


def _goals(goals: tuple[Judged, ...]) -> Term:
    met, asked = len([goal for goal in goals if goal.met]), len(goals)
    marks = (FULL * met + asked // 2) // asked if asked else 0  # nearest whole mark, in integers
    return Term("goals", marks, f"{met} of {asked} met")


def _conduct(faults: tuple[ConductFault, ...]) -> Term:
    cost, costs = 0, [fault.weight.marks for fault in faults]
    for one in costs:
        cost += one
    if not costs:
        return Term("conduct", 0, "clean")
    each = f"{costs[0]} each" if len(set(costs)) == 1 else " + ".join(map(str, costs))
    return Term("conduct", -cost, f"{len(costs)} rule{'s' if len(costs) > 1 else ''} broken, {each}")


def _time(job: Job, ending: Ending) -> Term:
    over = max(ending.snapshot.tick - job.minutes * MINUTE, 0) // MINUTE
    cost = min(over * MINUTE_COST, MOST_FOR_TIME)
    used = f"{ending.snapshot.tick / MINUTE:.1f} of {job.minutes} min"
    return Term("time", -cost, f"{used}; {over} min over" if over else used)


def _hints(job: Job, ending: Ending) -> Term:
    asked = len(tuple(ending.actions(TakeHint)))
    taken = job.hints[:asked]  # asking again when none is left costs nothing
    cost = 0
    for hint in taken:
        cost += hint.cost
    questions = len(tuple(ending.actions(AskNext)))
    cost += questions * ASKING_COST
    why = f"{len(taken)} of {len(job.hints)} taken"
    if questions:
        why += f", asked {questions} time{'s' if questions > 1 else ''} what to look at next"
    return Term("hints", -min(cost, MOST_FOR_HINTS), why)


def _looking(found: Measured) -> Term:
    fair, which = found.allowed
    times = found.seconds / fair
    steps = max(math.floor((times - FREE_OF_PAR) / STEP_OF_PAR + TINY), 0)
    why = f"{found.seconds:.0f} s of looking, {times:.1f} times the {fair:.0f} s allowed: {which}"
    return Term("looking", -min(steps * STEP_COST, MOST_FOR_LOOKING), why)


def _swaps(found: Measured) -> Term:
    count = len(found.needless)
    why = (
        f"{count} sound part{'s' if count > 1 else ''} renewed, {SWAP_COST} each"
        if count
        else "none needless"
    )
    return Term("swaps", -min(count * SWAP_COST, MOST_FOR_SWAPS), why)


def _proof(found: Measured) -> Term:
    count = len(found.unproven)
    why = f"{count} repair{'s' if count > 1 else ''} before proof, {PROOF_COST} each"
    return Term(
        "proof", -min(count * PROOF_COST, MOST_FOR_PROOF), why if count else "nothing mended on a guess"
    )
