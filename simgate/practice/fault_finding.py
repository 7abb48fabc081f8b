"""Fault-finding measured: which looks a run took, how long they took, and par beside them.

A finding has stages (`ledger.py`). Par is stated for each stage that a run came to: the expected seconds of
the best plan for the suspects as they stood when it began, with what was fetched and opened by then, until
something is sure to be wrong. Par of the run is the sum. The bound beside it is true of each stage by itself
and of its suspects: no order of these looks tells them apart in less time on average. With one fault hidden
there is one stage, and par is par for the complaint.

What is measured holds what is wrong: it is for the marks. What people may read is `finding_told.py`'s.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from simgate.bench.record import ScanRecord
from simgate.bench.setup import Setup
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.inquiry import Inquiry, inquiry_of
from simgate.practice.diagnosis.ledger import Taken
from simgate.practice.diagnosis.par import Par
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.trail import Repair, Trail
from simgate.practice.diagnosis.way import good_way
from simgate.practice.ending import Ending
from simgate.practice.job import Job

GOAL = "fault-mended"  # jobs that ask for it are measured
LEAST_PAR = 150.0  # s: one measurement, the meter fetched and two places opened; nobody finds in less


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
        return math.fsum(one.looking for one in self.pars)

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
