"""What a good hand would look at next at a gate as a run has left it, and why; no suspect is named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from simgate.bench.record import ScanRecord
from simgate.bench.setup import Setup
from simgate.practice.diagnosis.par import next_look
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.words import look_words
from simgate.practice.fault_finding import asks_for, followed
from simgate.practice.finding_words import number
from simgate.practice.job import Job


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


ELSEWHERE = "This bench has no hands for that, or cannot tell that you did it; at a gate it is what is left."


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
    elsewhere = best is None
    if elsewhere:
        best = next_look(replace(suspects.table, by_hand=False), ledger.left, opened=ledger.opened)
    if best is None:
        return Advice("Nothing more to tell apart.", (_alike(ledger.left, suspects), MEET))
    look = look_words(suspects.table.looks[best.look])
    fit = f"{len(ledger.left)} of {len(begun.first)} suspects fit what you have seen."
    if suspects.size > 1:
        fit += f" Each is a set of {number(suspects.size)} faults: nothing less explains all of it."
    undone = () if trail.as_found else ("Put back first what you undid or linked.",)
    why = (*best.reason, ELSEWHERE) if elsewhere else best.reason
    return Advice(f"{look[0].upper()}{look[1:]}.", (fit, *why, *undone))


def _alike(left: tuple[int, ...], suspects: Suspects) -> str:
    sets = "fault" if suspects.size == 1 else f"set of {number(suspects.size)} faults"
    if len(left) == 1:
        return f"Only one {sets} fits everything that was seen."
    if suspects.size > 1:
        alike = "one and the same work is part of putting right each of them, or no look tells them apart"
        return f"{len(left)} sets of {number(suspects.size)} faults fit everything that was seen; {alike}."
    alike = "the same work puts every one of them right, or no look tells them apart"
    return f"{len(left)} faults fit everything that was seen; {alike}."
