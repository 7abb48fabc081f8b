"""A varied network against the full solve of the same parts: every fault of a site, and random additions."""

from __future__ import annotations

from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.bench.site import load_site
from simgate.wiring.faults import Fault, FaultKind, inject, mend, places, row
from simgate.wiring.harness import Harness
from simgate.wiring.network import Network, Part, resistor, source, switch
from simgate.wiring.superposed import Shared
from simgate.wiring.trial import TrialHarness
from simgate.wiring.varied import Varied

SITES = ("farm-double", "depot-double", "mews-double")


def alike(one: Network, other: Network, word: int, volts: dict[str, float] | None = None) -> None:
    """Every voltage that anything fixes is the same; floating pieces are the same pieces."""
    groups = one.groups(word)
    assert groups == other.groups(word)
    here, there = one.potentials(word, volts), other.potentials(word, volts)
    for node, group in enumerate(groups):
        mine, its = here[node] - here[group], there[node] - there[group]
        assert mine == pytest.approx(its, rel=1e-9, abs=1e-9), one.nodes[node]


@pytest.mark.parametrize("site", SITES)
def test_every_fault_of_a_site_solves_as_the_full_network_does(site: str) -> None:
    spec = load_site(site).wiring
    trial, full = TrialHarness(spec), Harness(spec)
    sound = trial.state()
    for kind in chain(FaultKind):
        for place in places(trial, kind)[::5]:
            fault = Fault(kind, place, (row(kind).least * row(kind).most) ** 0.5)
            inject(trial, fault)
            inject(full, fault)
            for word in (full.word_at_rest(), full.word_dead()):
                alike(full._network, trial.network, word)
            drive = {"board/bridge A": 9.0, "board/bridge B": -7.0, "motor-a/winding": 3.0}
            alike(full._network, trial.network, full.word_at_rest(), drive)
            mend(trial, fault)
            mend(full, fault)
    assert trial.state() == sound


@pytest.mark.parametrize("site", SITES)
def test_instruments_meet_the_same_between_any_two_points(site: str) -> None:
    spec = load_site(site).wiring
    trial, full = TrialHarness(spec), Harness(spec)
    points = full.points()
    for kind in (
        FaultKind.WRONG_TERMINAL,
        FaultKind.BRIDGED_PAIR,
        FaultKind.EARTH_LEAK,
        FaultKind.PARTED_WIRE,
    ):
        for place in places(full, kind)[::9]:
            fault = Fault(kind, place, (row(kind).least * row(kind).most) ** 0.5)
            inject(trial, fault)
            inject(full, fault)
            for word in (full.word_at_rest(), full.word_dead()):
                for a, b in zip(points[::7], points[3::7], strict=False):
                    mine, its = (h._network.thevenin(word, a, b) for h in (trial, full))
                    assert (mine is None) == (its is None)
                    if mine is not None:
                        assert mine == pytest.approx(its, rel=1e-8, abs=1e-9)
            for leaf in range(spec.leaves):
                assert trial.motor_feed(full.word_at_rest(), leaf) == pytest.approx(
                    full.motor_feed(full.word_at_rest(), leaf), rel=1e-9
                )
            mend(trial, fault)
            mend(full, fault)


NODES = ["board.0V", *(f"n{n}" for n in range(1, 8))]


def part(name: str, a: int, b: int, ohms: float, bit: int) -> Part:
    if bit < 0:
        return resistor(name, NODES[a], NODES[b], ohms)
    return switch(name, NODES[a], NODES[b], bit, ohms)


PARTS = st.tuples(
    st.integers(0, 7), st.integers(0, 7), st.sampled_from([0.02, 0.5, 100.0, 8200.0]), st.integers(-1, 2)
)


@given(st.lists(PARTS, max_size=10), st.lists(PARTS, max_size=4), st.integers(0, 7), st.integers(0, 9))
def test_any_parts_may_come_and_go(
    old: list[tuple[int, int, float, int]],
    new: list[tuple[int, int, float, int]],
    word: int,
    gone: int,
) -> None:
    """Floating pieces that new parts join to each other, and to what is driven, included."""
    supply = source("supply", "n1", "board.0V", 24.0, 0.5)
    stays = [part(f"old{n}", *row) for n, row in enumerate(old)]
    base = Network(NODES, [supply, *stays])
    parts = [supply, *(p for n, p in enumerate(stays) if n != gone)]
    parts += [part(f"new{n}", *row) for n, row in enumerate(new)]
    varied, full = Varied(base, parts, Shared()), Network(NODES, parts)
    alike(full, varied, word)
    for a, b in ((1, 2), (3, 0), (4, 5), (6, 7)):
        mine, its = varied.thevenin(word, NODES[a], NODES[b]), full.thevenin(word, NODES[a], NODES[b])
        assert (mine is None) == (its is None)
        if mine is not None:
            assert mine == pytest.approx(its, rel=1e-7, abs=1e-7)


@pytest.mark.parametrize("site", SITES)
def test_all_resistances_at_once_are_those_of_single_solutions(site: str) -> None:
    spec = load_site(site).wiring
    trial, full = TrialHarness(spec), Harness(spec)
    zero, checked = full._network.nodes[0], 0
    for kind in FaultKind:
        for place in places(full, kind)[::7]:
            fault = Fault(kind, place, (row(kind).least * row(kind).most) ** 0.5)
            inject(trial, fault)
            inject(full, fault)
            word = full.word_dead()
            found, groups = trial.network.resistances(word), full._network.groups(word)
            for i, j in list(found or ())[:: 3 if kind is FaultKind.BRIDGED_PAIR else 11]:
                assert found is not None
                if groups[i] or groups[j]:
                    continue
                a, b = full._network.nodes[i], full._network.nodes[j] if i != j else zero
                ohms = found[i, i] if i == j else found[i, i] + found[j, j] - 2.0 * found[i, j]
                its = full._network.thevenin(word, a, b)
                assert its is not None
                assert ohms == pytest.approx(its[1], rel=1e-9, abs=1e-9), (fault, a, b)
                checked += 1
            mend(trial, fault)
            mend(full, fault)
    assert checked > 300
