"""The formula of the marks, term by term, as its docstring states it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.bench.actions import HandOver, Probe, RemakeWire, TakeHint
from simgate.files import UserError
from simgate.practice.conduct import WATCHERS
from simgate.practice.goals import Goal
from simgate.practice.job import REHEARSAL, Hint, load_job
from simgate.practice.marks import (
    FULL,
    MOST_FOR_HINTS,
    MOST_FOR_TIME,
    PASS_MARK,
    Marks,
    mark,
    mark_ending,
)
from simgate.practice.weights import weights
from tests.practice.made import did, ending, job

MET, UNMET = Goal("gate-shut", "Shut it."), Goal("mode-is", "Leave it so.", (("mode", ("Self-close",)),))
ALL = tuple(WATCHERS)
HINTS = (Hint("first", 3), Hint("second", 5))


def term(marks: Marks, name: str) -> int:
    """What one term adds or takes."""
    return next(term.marks for term in marks.terms if term.name == name)


def test_everything_done_in_time_without_a_hint_is_full_marks() -> None:
    marks = mark_ending(job(MET, MET, conduct=ALL), ending())
    assert (marks.total, marks.passed) == (100, True)
    assert [term.marks for term in marks.terms] == [100, 0, 0, 0]


@pytest.mark.parametrize(
    ("met", "asked", "worth"), [(0, 2, 0), (1, 2, 50), (1, 3, 33), (2, 3, 67), (5, 6, 83)]
)
def test_goals_are_worth_their_share_of_a_hundred_to_the_nearest_mark(
    met: int, asked: int, worth: int
) -> None:
    goals = (MET,) * met + (UNMET,) * (asked - met)
    assert term(mark_ending(job(*goals), ending()), "goals") == worth


def test_a_goal_not_met_is_not_passed_whatever_the_marks() -> None:
    marks = mark_ending(job(*(MET,) * 5, UNMET), ending())
    assert marks.total >= PASS_MARK
    assert not marks.passed


def test_one_danger_alone_puts_a_run_below_the_pass_mark() -> None:
    marks = mark_ending(job(MET, MET, conduct=ALL), ending([did(1000, RemakeWire("stop-return"))]))
    assert (marks.total, marks.passed) == (50, False)
    assert marks.total < PASS_MARK


OHMS = did(1000, Probe("ohms", "board.COM", "board.STOP"))


def test_a_slip_of_the_meter_costs_less_than_a_danger_and_alone_still_passes() -> None:
    marks = mark_ending(job(MET, MET, conduct=ALL), ending([OHMS]))
    assert (marks.total, marks.passed) == (80, True)
    assert marks.terms[1].why == "1 rule broken, 20 each"


def test_what_two_rules_cost_is_told_one_by_one() -> None:
    marks = mark_ending(job(MET, MET, conduct=ALL), ending([OHMS, did(2000, RemakeWire("stop-return"))]))
    assert (marks.terms[1].marks, marks.terms[1].why) == (-70, "2 rules broken, 20 + 50")


def test_every_rule_has_its_weight_and_no_other_is_in_the_file() -> None:
    assert set(weights()) == set(WATCHERS)


def test_a_danger_costs_more_than_time_and_hints_together_and_two_slips_fail() -> None:
    danger, slip = weights()["hands-in-swing"].marks, weights()["ohms-on-live"].marks
    assert danger > MOST_FOR_TIME + MOST_FOR_HINTS
    assert {weight.marks for weight in weights().values()} == {danger, slip}
    assert FULL - slip >= PASS_MARK > FULL - 2 * slip
    assert FULL - danger < PASS_MARK


def test_a_rule_of_an_unknown_weight_is_refused_by_line(tmp_path: Path) -> None:
    text = '[weight.slip]\nmarks = 20\nwords = "so"\n[rule]\nohms-on-live = "slop"\n'
    (tmp_path / "conduct.toml").write_text(text)
    with pytest.raises(UserError, match=r"conduct.toml:5: rule.ohms-on-live: found 'slop'.*slip"):
        weights(tmp_path / "conduct.toml")


def test_a_rule_that_the_job_does_not_ask_for_costs_nothing() -> None:
    marks = mark_ending(job(MET, MET, conduct=()), ending([did(1000, RemakeWire("stop-return"))]))
    assert marks.total == 100


@pytest.mark.parametrize(
    ("minutes", "cost"), [(9.0, 0), (10.0, 0), (10.9, 0), (11.0, 1), (15.5, 5), (20.0, 10), (90.0, 10)]
)
def test_each_whole_minute_over_the_allowance_costs_one_mark_up_to_ten(minutes: float, cost: int) -> None:
    marks = mark_ending(job(MET, MET, minutes=10), ending(tick=int(minutes * 60_000)))
    assert term(marks, "time") == -cost


@pytest.mark.parametrize(("asked", "cost"), [(0, 0), (1, 3), (2, 8), (3, 8)])
def test_hints_cost_what_the_job_says_and_none_is_charged_that_was_not_there(asked: int, cost: int) -> None:
    records = [did(1000 * n, TakeHint()) for n in range(1, asked + 1)]
    assert term(mark_ending(job(MET, MET, hints=HINTS), ending(records)), "hints") == -cost


def test_hints_together_cost_no_more_than_their_ceiling() -> None:
    records = [did(1000 * n, TakeHint()) for n in range(1, 4)]
    marks = mark_ending(job(MET, MET, hints=(Hint("dear", 15),) * 3), ending(records))
    assert term(marks, "hints") == -MOST_FOR_HINTS


def test_a_run_that_is_not_handed_over_is_not_passed() -> None:
    marks = mark_ending(job(MET, MET), ending(finished=False))
    assert (marks.total, marks.passed) == (100, False)


def test_a_run_that_used_the_trainers_drawer_is_not_marked() -> None:
    marks = mark_ending(job(MET, MET), ending(marked=False))
    assert (marks.marked, marks.passed) == (False, False)


def test_a_rehearsal_is_not_marked_and_not_passed_whatever_was_done() -> None:
    rehearsal = load_job(f"{REHEARSAL}Latch")
    marks = mark_ending(rehearsal, ending())
    assert (marks.handed_over, marks.marked, marks.passed) == (True, False, False)
    bench = rehearsal.bench()
    bench.act(HandOver())
    assert not mark(rehearsal, bench).marked
    assert not mark_ending(replace(job(MET, MET), marked=False), ending()).marked


@given(
    goals=st.lists(st.sampled_from([MET, UNMET]), max_size=8),
    tick=st.integers(0, 10**9),
    hints=st.lists(st.integers(0, 20), max_size=6),
    taken=st.integers(0, 9),
    live=st.booleans(),
)
def test_marks_stay_within_nought_and_a_hundred_and_are_the_sum_of_their_terms(
    goals: list[Goal], tick: int, hints: list[int], taken: int, live: bool
) -> None:
    records = [did(1000, TakeHint()) for _ in range(taken)]
    records += [did(2000, RemakeWire("stop-return"))] if live else []
    asked = job(*goals, conduct=ALL, hints=tuple(Hint("hint", cost) for cost in hints))
    marks = mark_ending(asked, ending(records, tick=tick))
    summed = 0
    for one in marks.terms:
        summed += one.marks
    assert 0 <= marks.total <= 100
    assert marks.total == min(max(summed, 0), 100)
    assert marks.total == 0 or marks.total == summed
