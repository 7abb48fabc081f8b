"""The three-multiplier, two-adder example (check values X5 to X10).

Set-up, conflicts and minimal candidates are the textbook's: de Kleer and Williams, "Diagnosing multiple
faults", Artificial Intelligence 32 (1987), from memory and recomputed (X5 to X7). The entropies and
probabilities (X8 to X10) are ours, calculated under the assumptions stated in each test; they are not the
paper's printed figures.
"""

from __future__ import annotations

from collections import Counter

import pytest

from simgate.practice.diagnosis.conflicts import (
    Components,
    candidates,
    expected_entropy,
    minimal_candidates,
    minimal_conflicts,
    weights,
)
from simgate.practice.diagnosis.information import entropy

PARTS = ("M1", "M2", "M3", "A1", "A2")
A, B, C, D, E = 3, 2, 2, 3, 3
SEEN_F, SEEN_G = 10, 12
PRIOR = dict.fromkeys(PARTS, 0.01)


def told(sound: Components) -> dict[str, int] | None:
    """What X, Y and Z must be when these parts are sound, from both ends; None for a contradiction."""
    known: dict[str, int] = {"F": SEEN_F, "G": SEEN_G}

    def say(name: str, value: int) -> bool:
        return known.setdefault(name, value) == value

    fine = True
    for name, part, value in (("X", "M1", A * C), ("Y", "M2", B * D), ("Z", "M3", C * E)):
        if part in sound:
            fine = say(name, value) and fine
    for _ in PARTS:  # long enough for everything to get round
        for adder, one, other, total in (("A1", "X", "Y", "F"), ("A2", "Y", "Z", "G")):
            if adder not in sound:
                continue
            if one in known:
                fine = say(other, known[total] - known[one]) and fine
            if other in known:
                fine = say(one, known[total] - known[other]) and fine
    return known if fine else None


CONFLICTS = minimal_conflicts(PARTS, lambda sound: told(sound) is not None)
MINIMAL = minimal_candidates(CONFLICTS)


def says(faulty: Components, point: str) -> int | None:
    known = told(frozenset(PARTS) - faulty)
    assert known is not None
    return known.get(point)


def test_the_minimal_conflicts_are_the_two_of_the_paper() -> None:  # X6
    assert {frozenset(one) for one in CONFLICTS} == {
        frozenset({"A1", "M1", "M2"}),
        frozenset({"A1", "A2", "M1", "M3"}),
    }


def test_the_minimal_candidates_are_the_four_of_the_paper() -> None:  # X7
    assert Counter(MINIMAL) == Counter(
        map(frozenset, ({"M1"}, {"A1"}, {"M2", "M3"}, {"M2", "A2"}))
    )  # fmt: skip


def test_27_of_32_sets_are_consistent() -> None:  # X7, calculated
    every = candidates(PARTS, CONFLICTS)
    assert len(every) == 27
    assert all(told(frozenset(PARTS) - one) is not None for one in every)


def test_weights_and_doubt_over_the_minimal_candidates() -> None:
    """X8, ours: prior 0.01 each, brought to a total of 1 over the minimal candidates only."""
    found = dict(zip(MINIMAL, weights(MINIMAL, PRIOR), strict=True))
    assert found[frozenset({"M1"})] == pytest.approx(0.4950, abs=5e-5)
    assert found[frozenset({"A1"})] == pytest.approx(0.4950, abs=5e-5)
    assert found[frozenset({"M2", "M3"})] == pytest.approx(0.0050, abs=5e-5)
    assert found[frozenset({"M2", "A2"})] == pytest.approx(0.0050, abs=5e-5)
    assert entropy(found.values()) == pytest.approx(1.0808, abs=5e-5)


@pytest.mark.parametrize(("point", "left"), [("X", 0.0809), ("Y", 1.0000), ("Z", 1.0354)])
def test_the_best_probe_over_the_minimal_candidates_is_x(point: str, left: float) -> None:
    """X9, ours: doubt left on average after each probe, in the model of X8."""
    of = weights(MINIMAL, PRIOR)
    assert expected_entropy(of, [says(one, point) for one in MINIMAL]) == pytest.approx(left, abs=5e-5)


def test_weights_and_doubt_over_all_27_sets() -> None:
    """X10, ours: prior 0.01 each over all consistent sets, no likelihood term."""
    every = candidates(PARTS, CONFLICTS)
    of = weights(every, PRIOR)
    found = dict(zip(every, of, strict=True))
    assert found[frozenset({"M1"})] == pytest.approx(0.478, abs=5e-4)
    assert found[frozenset({"A1"})] == pytest.approx(0.478, abs=5e-4)
    assert entropy(of) == pytest.approx(1.3594, abs=5e-5)


@pytest.mark.parametrize(("point", "left"), [("X", 0.3263), ("Y", 1.2783), ("Z", 1.3125)])
def test_the_best_probe_over_all_27_sets_is_x_too(point: str, left: float) -> None:
    """X10, ours: a set that does not say spreads evenly over 16 values.

    The row prints three digits (0.326, 1.278, 1.313); the last of them is 1.31246 rounded twice.
    """
    every = candidates(PARTS, CONFLICTS)
    of = weights(every, PRIOR)
    said = [says(one, point) for one in every]
    assert expected_entropy(of, said, range(16)) == pytest.approx(left, abs=5e-5)
