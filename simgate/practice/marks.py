"""Marks: one formula, every term visible.

    mark  = goals - conduct - time - hints, kept within 0 and 100

    goals   = 100 x goals met / goals asked, to the nearest whole mark
    conduct = 50 for each rule broken, however often
    time    = 1 for each whole minute over the job's allowance, at most 10
    hints   = what the job says each hint taken costs, at most 20 together

    passed  = handed over, every goal met, and at least 70 marks

Conduct costs most: one broken rule takes more than all time and all hints together, no single goal of a
job (which has two or more) weighs more, and it alone puts a run below the pass mark. A mark worked out
anywhere else than here could not be explained to the person who got it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simgate.bench.actions import TakeHint
from simgate.practice.conduct import ConductFault, conduct_faults
from simgate.practice.ending import Ending
from simgate.practice.goals import Judged, judge
from simgate.practice.job import Job

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

FULL = 100
PASS_MARK = 70
CONDUCT_COST = 50
MINUTE_COST = 1
MOST_FOR_TIME = 10
MOST_FOR_HINTS = 20
MINUTE = 60_000  # ms


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
    goals = tuple(judge(goal, ending) for goal in job.goals)
    conduct = conduct_faults(ending, job.conduct)
    terms = (_goals(goals), _conduct(conduct), _time(job, ending), _hints(job, ending))
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
    broken = len(faults)
    return Term(
        "conduct",
        -CONDUCT_COST * broken,
        f"{broken} rule{'s' if broken > 1 else ''} broken, {CONDUCT_COST} each" if broken else "clean",
    )


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
    return Term("hints", -min(cost, MOST_FOR_HINTS), f"{len(taken)} of {len(job.hints)} taken")
