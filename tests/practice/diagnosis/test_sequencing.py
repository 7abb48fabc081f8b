"""Test sequencing held to the literature and to enumeration (check values X1, X2, X4 and X11 to X17).

The five-test example (X11 to X13) is that of Pattipati and Alexandridis, "Application of heuristic search and
information theory to sequential fault diagnosis", IEEE Trans. SMC 20 (1990), from memory, its optimum of 2.18
reproduced here. The tree X14, the greedy cost X15, the gains X16 and the bounds X17 are ours, calculated.
Half-splitting: log2 N from a study site, the method from US Navy texts (X1); the averages (X2) are ours.
Bracketing (X4) is of a US Army course, as reprinted; its names of wasteful checks (X3) are tested where they
are given, in tests/practice/finding/test_trail.py.
"""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.practice.diagnosis.best import search
from simgate.practice.diagnosis.case import Case, Test, members, reduced
from simgate.practice.diagnosis.floor import floor
from simgate.practice.diagnosis.information import Bounds, entropy, gain, huffman
from simgate.practice.diagnosis.plan import Plan, Working, expected, seconds

# X11, X12: states s0 (no fault) to s5, tests t1 to t5, 1 = fails, every test costs 1.
ODDS = (0.70, 0.01, 0.02, 0.10, 0.05, 0.12)
ROWS = ("00000", "01001", "00110", "10011", "11000", "11110")
EXAMPLE = Case(
    ODDS, tuple(Test(f"t{n + 1}", 1.0, tuple(int(row[n]) for row in ROWS)) for n in range(5))
)  # fmt: skip

Tree = tuple[int, "Tree | int", "Tree | int"]  # test, what follows when it passes, when it fails


def chain(stages: int) -> Case:
    """A chain of stages with even odds and one faulty; a probe after each but the last."""
    probes = tuple(
        Test(f"after {n + 1}", 1.0, tuple(int(stage <= n) for stage in range(stages)))
        for n in range(stages - 1)
    )
    return Case((1.0,) * stages, probes)


def deepest(plan: Plan) -> int:
    return 0 if plan.test is None else 1 + max(map(deepest, plan.plans))


@pytest.mark.parametrize(("stages", "tests"), [(8, 3), (10, 4)])
def test_half_splitting_a_chain_takes_no_more_than_log2_tests(stages: int, tests: int) -> None:  # X1
    case = chain(stages)
    assert deepest(Working(case).plan()) == tests == math.ceil(math.log2(stages))
    best = search(case).plan
    assert best is not None
    assert deepest(best) <= tests


def test_half_splitting_beats_tracing_from_one_end() -> None:  # X2
    case = chain(8)
    traced = [min(stage + 1, 7) for stage in range(8)]  # the last probe tells the last two stages apart
    assert sum(traced) / 8 == 4.375
    assert seconds(case, Working(case).plan()) == 3.0
    best = search(case)
    assert best.least / case.total == 3.0


def test_every_probe_moves_one_end_of_the_bracket() -> None:
    """X4: find the symptoms, bracket, then move a bracket with every check (US Army course on bracketing, as
    reprinted). Here the bracket is what is left of a chain: each probe lies inside it and leaves one piece.
    """

    def bracketed(plan: Plan) -> None:
        left = list(members(plan.suspects))
        assert left == list(range(left[0], left[-1] + 1))
        if plan.test is not None:
            assert left[0] <= plan.test < left[-1]
        for further in plan.plans:
            assert further.suspects.bit_count() < len(left)
            bracketed(further)

    best = search(chain(8)).plan
    assert best is not None
    for plan in (best, Working(chain(10)).plan()):
        bracketed(plan)


def test_the_optimum_of_the_example_is_2_18() -> None:  # X13, theirs
    best = search(EXAMPLE)
    assert best.plan is not None
    assert best.least == pytest.approx(2.18, abs=1e-12)
    assert expected(EXAMPLE, best.plan) == pytest.approx(2.18, abs=1e-12)


def test_one_optimal_tree_of_the_example() -> None:
    """X14, ours: this tree is worth 2.18, whichever of equal trees the search comes upon."""

    def worth(tree: Tree | int, left: int) -> float:
        if isinstance(tree, int):
            assert left == 1 << tree
            return 0.0
        test, passes, fails = tree
        parts = [
            sum(1 << n for n in members(left) if EXAMPLE.tests[test].outcome[n] == shows) for shows in (0, 1)
        ]
        return EXAMPLE.weight(left) + worth(passes, parts[0]) + worth(fails, parts[1])

    t1, t2, t3, t4 = range(4)
    tree: Tree = (t2, (t4, 0, (t1, 2, 3)), (t3, (t1, 1, 4), 5))
    assert worth(tree, EXAMPLE.everything) == pytest.approx(2.18, abs=1e-12)


def test_greedy_gain_costs_2_86_and_begins_with_t1() -> None:  # X15, ours
    plan = Working(EXAMPLE).plan()
    assert plan.test == 0
    assert plan.cost == pytest.approx(2.86, abs=1e-12)


def test_a_look_ahead_is_no_worse_than_greed_and_no_better_than_the_optimum() -> None:
    costs = [Working(EXAMPLE, depth).plan().cost for depth in (0, 1, 2)]
    assert costs[1] < costs[0]
    assert all(cost >= 2.18 - 1e-12 for cost in costs)


def test_gains_at_the_root() -> None:  # X16, ours
    gains = [gain(EXAMPLE, EXAMPLE.split(test, EXAMPLE.everything)) for test in range(5)]
    assert gains == pytest.approx([0.8415, 0.6801, 0.5842, 0.7950, 0.4999], abs=5e-5)


def test_entropy_and_huffman_bound_the_optimum() -> None:  # X17, ours; the idea from the paper's abstract
    assert entropy(ODDS) == pytest.approx(1.4549, abs=5e-5)
    assert huffman(ODDS) == pytest.approx(1.59, abs=1e-12)
    assert Bounds(EXAMPLE).least(EXAMPLE.everything) == pytest.approx(1.59, abs=1e-12)


def test_a_search_cut_short_still_proves_a_bound() -> None:
    """Its figure rises from Huffman's to the optimum and never passes that."""
    figures = [search(EXAMPLE, limit).least for limit in range(12)]
    assert figures[0] == pytest.approx(1.59)
    assert figures == sorted(figures)
    assert figures[-1] <= 2.18 + 1e-12
    assert search(EXAMPLE, 0).plan is None


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Small cases: up to 6 suspects, 5 tests of up to 3 outcomes, setups, mendings shared or not, one
    for each suspect or several.
    """
    count = draw(st.integers(1, 6))
    weights = draw(st.lists(st.integers(1, 50), min_size=count, max_size=count))
    tests = draw(
        st.lists(
            st.builds(
                Test,
                st.just("test"),
                st.integers(1, 9).map(float),
                st.lists(st.integers(0, 2), min_size=count, max_size=count).map(tuple),
                st.integers(0, 3),
            ),
            max_size=5,
        )
    )
    mending = draw(st.lists(st.integers(1, 60), min_size=count, max_size=count))
    several = st.frozensets(st.sampled_from("abcdef"), min_size=1, max_size=draw(st.integers(1, 3)))
    mends = draw(st.lists(several, min_size=count, max_size=count))
    setups = draw(st.lists(st.integers(0, 20), min_size=2, max_size=2))
    return Case(
        tuple(map(float, weights)), tuple(tests), tuple(map(float, setups)), tuple(map(float, mending)),
        tuple(mends) if draw(st.booleans()) else (),
    )  # fmt: skip


def exhaustive(case: Case) -> float:
    """The least cost by trying every order of tests, written without any of the planner's shortcuts."""

    @cache
    def least(left: frozenset[int], fetched: frozenset[int]) -> float:
        mends = {needed_for(n) for n in left}
        splits = []
        for test in case.tests:
            shown = {test.outcome[n] for n in left}
            if len(shown) > 1:
                needed = frozenset(bit for bit in (0, 1) if test.setups >> bit & 1)
                cost = test.seconds + sum(case.setup_seconds[bit] for bit in needed - fetched)
                weight = sum(case.weights[n] for n in left)
                parts = [frozenset(n for n in left if test.outcome[n] == what) for what in sorted(shown)]
                splits.append((cost * weight, parts, fetched | needed))
        if frozenset.intersection(*mends):
            return sum(case.weights[n] * case.mending[n] for n in left)
        if not splits:
            return mended(left, mends)
        return min(cost + sum(least(part, further) for part in parts) for cost, parts, further in splits)

    def needed_for(suspect: int) -> frozenset[str]:
        return case.mends[suspect] if case.mends else frozenset([str(suspect)])

    def mended(left: frozenset[int], mends: set[frozenset[str]]) -> float:
        """The cheapest order of mendings, by trying every one of them first."""
        if not left:
            return 0.0
        best = math.inf
        for mend in mends:
            its = frozenset(n for n in left if needed_for(n) == mend)
            weight = sum(case.weights[n] for n in its)
            mean = sum(case.weights[n] * case.mending[n] for n in its) / weight
            best = min(best, mean * sum(case.weights[n] for n in left) + mended(left - its, mends - {mend}))
        return best

    return least(frozenset(range(len(case.weights))), frozenset())


@given(cases())
def test_the_search_agrees_with_trying_everything(case: Case) -> None:
    best = search(case)
    assert best.plan is not None
    truth = exhaustive(case)
    assert best.least == pytest.approx(truth, rel=1e-9)
    assert expected(case, best.plan) == pytest.approx(truth, rel=1e-9)
    assert search(reduced(case)).least == pytest.approx(truth, rel=1e-9)


@given(cases(), st.integers(0, 4))
def test_every_bound_is_below_and_every_plan_is_above_the_cheapest(case: Case, limit: int) -> None:
    truth = exhaustive(case)
    assert search(case, limit).least <= truth * (1.0 + 1e-9)
    assert floor(case) <= truth * (1.0 + 1e-9)
    for depth in (0, 1, 2):
        plan = Working(case, depth, 3).plan()
        assert plan.cost == pytest.approx(expected(case, plan), rel=1e-9)
        assert plan.cost >= truth * (1.0 - 1e-9)


def test_seeing_off_one_by_one_is_bounded_by_what_it_costs() -> None:
    """Eight suspects, each shown by a test of its own of 10 s: 10, 20, ... and 70 s for the last two."""
    needles = Case(
        (1.0,) * 8, tuple(Test(f"own {n}", 10.0, tuple(int(n == m) for m in range(8))) for n in range(8))
    )
    truth = search(needles).least
    assert truth == pytest.approx(sum(10.0 * n for n in (1, 2, 3, 4, 5, 6, 7, 7)))
    assert Bounds(needles).least(needles.everything) < 0.7 * truth
    assert truth - 60.0 - 1e-9 <= floor(needles) <= truth * (1.0 + 1e-9)  # but for who stays to the end


def test_what_is_opened_on_the_way_is_paid_by_all_who_are_still_on_it() -> None:
    """The same behind a lid of 30 s each."""
    tests = tuple(Test(f"own {n}", 10.0, tuple(int(n == m) for m in range(8)), 1 << n) for n in range(8))
    lids = Case((1.0,) * 8, tests, (30.0,) * 8)
    truth = search(lids).least
    assert truth == pytest.approx(4.0 * sum(10.0 * n for n in (1, 2, 3, 4, 5, 6, 7, 7)))
    assert 0.8 * truth < floor(lids) <= truth * (1.0 + 1e-9)
    assert floor(lids, paid=0b11111111) < 0.3 * truth
