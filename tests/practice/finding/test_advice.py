"""What a good hand would look at next: where, why, and never what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from enum import Enum

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.files import UserError, shipped
from simgate.practice.advice import ELSEWHERE, FOUND, NOT_HERE, Advice, advice
from simgate.practice.complaint import Complaint
from simgate.practice.debrief import debrief
from simgate.practice.diagnosis.costs import typical
from simgate.practice.diagnosis.inquiry import inquiry_of
from simgate.practice.diagnosis.states import NO_HANDS
from simgate.practice.diagnosis.way import good_way
from simgate.practice.diagnosis.words import look_words
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import asks_for, followed
from simgate.practice.finding_words import against_par, asked, ended
from simgate.practice.job import load_job
from simgate.wiring.faults import FaultKind
from tests.golden.runs import replayed
from tests.practice.finding.made import JOB, finding, measured, run, the_job, volts

FAULTY = tuple(name for name in shipped("jobs") if asks_for(load_job(name)))


def after(*actions: do.Action, name: str = JOB) -> Advice:
    """The answer after these things were done."""
    job = the_job(name)
    return advice(job, job.setup(), run(*actions, name=name).records)


def test_it_says_where_to_look_and_why() -> None:
    first, count = after(), len(measured().suspects.first)
    assert first.look[0].isupper()
    assert " between " in first.look
    fit, how, cost = first.why
    assert fit == f"{count} of {count} suspects fit what you have seen."
    assert "would leave" in how
    assert cost.startswith("It takes ")
    assert "40 to fetch the meter" in cost


def test_it_follows_from_what_was_seen_so_far() -> None:
    second = after(volts("stop-post.2"))
    left = len(measured(volts("stop-post.2")).trail.ledger.left)
    assert second.why[0].startswith(f"{left} of ")
    assert second.look != after().look
    assert after(volts("stop-post.2"), do.AskNext()) == second


def test_what_was_undone_is_put_back_first() -> None:
    undone = after(do.Mains(False), do.PartWire("stop-feed"))
    assert undone.why[-1] == "Put back first what you undid or linked."


def test_it_says_when_nothing_is_left_to_tell_apart_and_when_all_is_well() -> None:
    looks = [volts(point) for point in ("stop-post.2", "stop-barn.1", "stop-barn.2", "post-left.3")]
    assert after(*looks).look == "Nothing more to tell apart."
    assert after(*looks, do.Mains(False), do.RemakeWire("stop-barn-out")) == FOUND


def test_a_job_without_a_hidden_fault_has_no_answer() -> None:
    assert after(name="first-learn") == NOT_HERE


def test_in_an_exam_nobody_is_asked() -> None:
    exam = replace(the_job(), exam=True)
    bench = exam.bench()
    with pytest.raises(UserError, match="an exam"):
        bench.act(do.AskNext())
    bench.act(do.TakeHint())  # what its author chose to tell is told in an exam, too
    assert exam.setup().fingerprint() != the_job().setup().fingerprint()


def test_the_tape_holds_the_asking_alone() -> None:
    bench: Bench = the_job().bench()
    bench.act(do.AskNext())
    bench.run(100)
    assert [action for record in bench.records for action in record.actions] == [do.AskNext()]


def plain_values(thing: object) -> Iterator[object]:
    """Everything that an object holds, down to plain values."""
    if is_dataclass(thing) and not isinstance(thing, type):
        for field in fields(thing):
            yield from plain_values(getattr(thing, field.name))
    elif isinstance(thing, tuple | list):
        for one in thing:
            yield from plain_values(one)
    else:
        yield thing


@pytest.mark.parametrize("name", FAULTY)
def test_nothing_that_people_read_names_a_fault(name: str) -> None:
    """The objects that screens and command line are given are walked down to their last string."""
    story = debrief(the_job(name), Ending.of(replayed(name)))
    given = [story.finding, story.guesses, story.swaps, after(name=name)]
    kinds = {kind.value for kind in FaultKind} | {kind.value.replace("-", " ") for kind in FaultKind}
    for value in plain_values(given):
        assert isinstance(value, str | int | float | bool | Enum), value
        if isinstance(value, str):
            assert not [kind for kind in kinds if kind in value.lower()], value


def test_the_sentences_of_the_debrief() -> None:
    found = finding(volts("lamp.1"))
    assert asked(found).startswith(f"{found.suspects} single faults fitted the complaint.")
    assert ended(found) == f"{found.suspects} suspects left at the end; the fault was not mended."
    par = f"Looking took 145 s of trade time; par is {found.par:.0f} s on average, and no plan is shorter"
    assert against_par(found).startswith(par)


def test_what_the_bench_has_no_hands_for_comes_last_and_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Which core is loose shows only when each is tugged."""
    cores = ("beam-tx-red", "beam-tx-black")
    loose = typical(FaultKind.LOOSE_CORE, cores[0])
    job = replace(the_job(), faults=(loose,), complaint=(Complaint(among=cores),))
    found = followed(job.setup(), job.complaint, ())
    assert found is not None
    monkeypatch.setattr("simgate.practice.advice.followed", lambda *_: found)
    ledger, told = found.trail.ledger, advice(job, job.setup(), ())
    while ELSEWHERE not in told.why:
        assert "tugged" not in told.look
        (look,) = [n for n, one in enumerate(ledger.looks) if look_words(one) == as_look(told.look)]
        ledger.take(told.look, (look,))
        told = advice(job, job.setup(), ())
    assert "tugged" in told.look
    assert len(ledger.left) > 1


@pytest.mark.parametrize("name", FAULTY)
def test_nobody_is_measured_by_a_look_that_cannot_be_taken(name: str) -> None:
    """Neither par's plan nor the good hand's way holds one, though the table does."""
    inquiry = inquiry_of(the_job(name).setup(), the_job(name).complaint)
    assert inquiry is not None
    looks = inquiry.stand.looks
    assert any(look.state.kind in NO_HANDS for look in looks)
    taken = [looks[one] for step in good_way(inquiry) for one in step.looks]
    assert not [look for look in taken if look.state.kind in NO_HANDS]
    first = inquiry.first()
    _, planned = first.table.case(first.first)
    assert not [one for one in planned if looks[one].state.kind in NO_HANDS]


def as_look(told: str) -> str:
    return told[0].lower() + told[1:].removesuffix(".")
