"""Runs of the parted stop chain made by hand: what was done, a second apart, and what came of it."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

from simgate.bench.actions import Action, Probe
from simgate.practice.diagnosis.ledger import Ledger
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import Measured, measure
from simgate.practice.finding_told import FaultFinding, told
from simgate.practice.job import Job, load_job
from simgate.practice.marks import Marks, mark_ending
from tests.practice.made import did, ending

JOB = "parted-stop"
CHAIN = (
    "board.COM", "post-left.1", "stop-post.1", "stop-post.2", "post-left.2", "stop-barn.1", "stop-barn.2",
    "post-left.3", "board.STOP",
)  # fmt: skip


@cache
def the_job(name: str = JOB) -> Job:
    """Read once."""
    return load_job(name)


def run(*actions: Action, name: str = JOB) -> Ending:
    """An ending of a run in which these things were done."""
    records = [did(1000 * n, action) for n, action in enumerate(actions, 1)]
    return replace(ending(records), setup=the_job(name).setup())


def measured(*actions: Action, name: str = JOB) -> Measured:
    """Its fault-finding."""
    found = measure(the_job(name), run(*actions, name=name))
    assert found is not None
    return found


def finding(*actions: Action, name: str = JOB) -> FaultFinding:
    """As people read it."""
    return told(measured(*actions, name=name))


def marks(*actions: Action, name: str = JOB) -> Marks:
    """What the run is worth."""
    return mark_ending(the_job(name), run(*actions, name=name))


def term(given: Marks, name: str) -> int:
    """One term."""
    return next(one.marks for one in given.terms if one.name == name)


def volts(point: str, other: str = "board.0V") -> Probe:
    """The meter on volts."""
    return Probe("volts", point, other)


def actual(ledger: Ledger) -> int:
    """The suspect that is what is really wrong."""
    return ledger.suspects.sets.index(ledger.inquiry.truth) + 1


def surprise(ledger: Ledger) -> float:
    """Bits that it takes to tell what is really wrong from all that it could have been at first."""
    table = ledger.stages[0].suspects.table
    total = math.fsum(table.weight(one) for one in table.suspects)
    return math.log2(total / table.weight(ledger.stages[0].suspects.sets.index(ledger.inquiry.truth) + 1))
