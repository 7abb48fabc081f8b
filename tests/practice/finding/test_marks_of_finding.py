"""Looking, swaps and proof: the terms of the marks for fault-finding, as their docstring states them."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as do
from simgate.practice.diagnosis.information import entropy
from simgate.practice.diagnosis.ledger import Ledger
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import LEAST_PAR, measure
from simgate.practice.marks import (
    FREE_OF_PAR,
    MOST_FOR_LOOKING,
    MOST_FOR_PROOF,
    MOST_FOR_SWAPS,
    PROOF_COST,
    STEP_COST,
    STEP_OF_PAR,
    SWAP_COST,
    mark_ending,
)
from tests.golden.runs import replayed
from tests.practice.finding.made import (
    CHAIN,
    actual,
    finding,
    marks,
    measured,
    run,
    surprise,
    term,
    the_job,
    volts,
)

ROOT = Path(__file__).parents[3]
GOOD = (volts("stop-post.2"), volts("stop-barn.2"), volts("post-left.3"), volts("post-left.2"))
MEND = (do.Mains(False), do.RemakeWire("stop-barn-out"), do.Mains(True))
LOOKS = st.lists(
    st.one_of(
        st.builds(volts, st.sampled_from((*CHAIN, "lamp.1")), st.sampled_from(("board.0V", "board.AUX-"))),
        st.builds(do.Operate, st.sampled_from(("stop-barn", "stop-post")), st.booleans()),
        st.builds(do.Probe, st.just("ohms"), st.sampled_from(CHAIN), st.just("board.COM")),
        st.builds(do.Probe, st.just("clamp"), st.just("stop-feed")),
        st.builds(do.Mains, st.booleans()),
        st.just(do.PutAway()),
    ),
    max_size=7,
)  # fmt: skip


def test_a_plan_within_a_fair_factor_of_par_costs_nothing() -> None:
    given = marks(*GOOD, *MEND)
    assert [term(given, name) for name in ("looking", "swaps", "proof")] == [0, 0, 0]


def test_each_half_of_par_above_one_and_a_half_costs_two_up_to_ten() -> None:
    fair, _ = measured().allowed
    many = [volts("lamp.1")] * 80  # 40 s for the meter, 90 to open the lamp, 15 each
    for count, actions in ((n, many[:n]) for n in (1, 30, 40, 60, 80)):
        seconds = measured(*actions).seconds
        assert seconds == 130 + 15 * count
        steps = max(math.floor((seconds / fair - 1.5) / 0.5), 0)
        assert term(marks(*actions), "looking") == -min(2 * steps, MOST_FOR_LOOKING)
    assert term(marks(*many, *many, *many), "looking") == -MOST_FOR_LOOKING


@pytest.mark.parametrize(
    ("name", "seconds", "which"),
    [
        ("parted-stop", 440.0, "good hand"),
        ("ends-slow-down", 150.0, "whatever par is"),
        ("wrong-way", 150.0, "whatever par is"),
    ],
)
def test_the_marks_say_which_time_is_allowed(name: str, seconds: float, which: str) -> None:
    """Par, this fault's own, or the floor: the debrief states par beside it, and both must be plain."""
    job, ending = the_job(name), Ending.of(replayed(name))
    found = measure(job, ending)
    assert found is not None
    assert found.allowed[0] == seconds >= found.par
    (why,) = [one.why for one in mark_ending(job, ending).terms if one.name == "looking"]
    assert f" times the {seconds:.0f} s allowed: " in why
    assert which in why


def test_the_readme_tells_the_formula_as_it_is() -> None:
    text = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    for told in (
        f"{STEP_COST} off for each half of the time allowed that looking took above {FREE_OF_PAR:g} times it "
        f"(at most {MOST_FOR_LOOKING})",
        f"{SWAP_COST} for each sound part renewed (at most {MOST_FOR_SWAPS})",
        f"{PROOF_COST} for each repair before proof (at most {MOST_FOR_PROOF})",
        f"never less than {LEAST_PAR:g} s",
    ):
        assert told in text
    assert STEP_OF_PAR == 0.5


def test_each_sound_part_renewed_costs_five_up_to_ten() -> None:
    renewals: list[do.Action] = [do.RemakeWire("stop-feed"), do.Renew("stop-post"), do.ReplaceFuse("aux")]
    costs = [term(marks(do.Mains(False), *renewals[:n]), "swaps") for n in range(4)]
    assert costs == [0, -5, -10, -MOST_FOR_SWAPS]


def test_a_repair_on_a_guess_costs_five_and_no_more_than_ten_together() -> None:
    assert term(marks(*MEND), "proof") == -5
    assert term(marks(*GOOD, *MEND), "proof") == 0
    moved = [
        do.MoveWire("stop-return", "from", point) for point in ("stop-post.1", "stop-post.2", "post-left.1")
    ]
    assert term(marks(do.Mains(False), *moved), "proof") == -MOST_FOR_PROOF


def test_a_job_without_a_hidden_fault_has_no_such_terms() -> None:
    job = the_job("first-learn")
    given = mark_ending(job, Ending.of(replayed("first-learn")))
    assert [one.name for one in given.terms] == ["goals", "conduct", "time", "hints"]
    assert measure(job, Ending.of(replayed("first-learn"))) is None


def test_a_run_with_the_drawer_open_is_not_measured() -> None:
    ending = run(volts("stop-post.2"))
    opened = replace(ending, snapshot=replace(ending.snapshot, marked=False))
    assert measure(the_job(), opened) is None


def test_the_worst_of_finding_alone_leaves_the_pass_mark() -> None:
    assert 100 - MOST_FOR_LOOKING - MOST_FOR_SWAPS - MOST_FOR_PROOF == 70


def test_asking_costs_as_hints_do() -> None:
    assert term(marks(do.AskNext()), "hints") == -4
    assert term(marks(do.AskNext(), do.TakeHint()), "hints") == -7
    assert term(marks(*[do.AskNext()] * 9), "hints") == -20


@settings(max_examples=40, deadline=None)
@given(actions=LOOKS, place=st.integers(0, 7), point=st.sampled_from(("lamp.1", "board.EDGE")))
def test_marks_never_rise_by_an_added_needless_look(actions: list[do.Action], place: int, point: str) -> None:
    """A look at the lamp or at EDGE tells nothing about an open STOP, wherever it is put in.

    Conduct apart: an instrument put on in place of ohms may spare somebody ohms on a live circuit.
    """
    place = min(place, len(actions))
    more = [*actions[:place], volts(point), *actions[place:]]
    taken = measured(*more).trail.ledger.taken
    (added,) = (one for one in taken if one.tick == 1000 * (place + 1) and not one.passing)
    assert added.bits == 0.0
    job = replace(the_job(), conduct=())
    before, after = (mark_ending(job, run(*done, *MEND)) for done in (actions, more))
    assert after.total <= before.total
    assert measured(*more, *MEND).seconds > measured(*actions, *MEND).seconds


@settings(max_examples=40, deadline=None)
@given(actions=LOOKS)
def test_bits_are_never_below_none_and_add_up_to_what_was_in_doubt(actions: list[do.Action]) -> None:
    """What is told of one fault may be more than the doubt there was on average: it may be a rare one.
    Never more than how surprising it is; and on average over the suspects never more than the doubt (below).
    """
    ledger = measured(*actions).trail.ledger
    assert all(one.bits >= 0.0 and one.hoped >= 0.0 for one in ledger.taken)
    told = math.fsum(one.bits for one in ledger.taken)
    assert told <= surprise(ledger) + 1e-9
    assert actual(ledger) in ledger.left


@settings(max_examples=10, deadline=None)
@given(numbers=st.lists(st.integers(0, 500), min_size=1, max_size=6))
def test_on_average_the_looks_tell_no_more_than_was_in_doubt(numbers: list[int]) -> None:
    """The same looks, whichever of the suspects it is: their bits, weighted, come to no more than entropy."""
    inquiry, told = measured().inquiry, []
    table, first = inquiry.first().table, inquiry.first().first
    weights = [table.weight(one) for one in first]
    for one, weight in zip(first, weights, strict=True):
        ledger = Ledger(inquiry)
        ledger.suspects = replace(ledger.suspects, seen=tuple(reading[one] for reading in table.readings))
        for number in numbers:
            ledger.take("look", (number % len(ledger.looks),))
        told.append(weight * math.fsum(taken.bits for taken in ledger.taken))
    assert math.fsum(told) / math.fsum(weights) <= entropy(weights) + 1e-9


@pytest.mark.parametrize("name", ["parted-stop", "edge-parallel", "line-gone", "lock-stuck"])
def test_par_is_proven_and_a_good_hand_ends_where_one_mending_is_left(name: str) -> None:
    found = finding(name=name)
    assert found.proven
    assert found.least == pytest.approx(found.par)
    lefts = [look.after for look in found.good_hand]
    assert lefts == sorted(lefts, reverse=True)
    assert lefts[-1] <= 2
