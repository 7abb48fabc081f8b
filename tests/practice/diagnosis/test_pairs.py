"""Two faults at once: at the bench, in the table of a small set, and in the planner."""

from __future__ import annotations

from itertools import combinations

import pytest

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.costs import costs, typical
from simgate.practice.diagnosis.par import next_look, par
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.table import MOST_SINGLES, Table, told, with_pairs
from simgate.wiring.faults import Fault, FaultKind

K = FaultKind
SETUP = Setup(job="farm", site=load_site("farm-double"))
SINGLES = tuple(
    typical(kind, place)
    for kind, place in (
        (K.PARTED_WIRE, "stop-feed"), (K.PARTED_WIRE, "stop-barn-out"), (K.BLOWN_FUSE, "aux"),
        (K.DEAD_RECEIVER, "beam-gate"), (K.WRONG_CONTACT, "stop-post"), (K.STIFF_HINGE, "leaf-A"),
    )
)  # fmt: skip


@pytest.fixture(scope="module")
def table() -> Table:
    return with_pairs(SETUP, SINGLES)


def pair(table: Table, one: int, other: int) -> int:
    """The number of the pair of two of SINGLES."""
    return 1 + len(SINGLES) + table.pairs.index((SINGLES[one], SINGLES[other]))


def test_every_two_that_can_be_there_at_once_are_a_suspect(table: Table) -> None:
    assert table.pairs == tuple(combinations(SINGLES, 2))
    assert len(table.suspects) == 6 + 15
    assert told(table, pair(table, 0, 2)) == "parted-wire at stop-feed and blown-fuse at aux"
    assert table.faults_of(pair(table, 0, 2)) == (SINGLES[0], SINGLES[2])


def test_two_that_cannot_be_told_to_be_there_at_once_are_none() -> None:
    """A resistor of another value is not missing, and one core has one end that is parted."""
    depot = Setup(job="depot", site=load_site("depot-double"))
    both = with_pairs(depot, (typical(K.WRONG_RESISTOR, "edge-end"), typical(K.SHORTED_RESISTOR, "edge-end")))
    assert both.pairs == ()


def test_a_pair_is_as_likely_as_its_prior_says(table: Table) -> None:
    """All pairs of n equal faults weigh `second` (n - 1) / n of the faults themselves."""
    alike = tuple(typical(K.PARTED_WIRE, wire.name) for wire in SETUP.site.wiring.wires[:5])
    case, _ = with_pairs(SETUP, alike).case(tuple(range(1, 16)))
    singles, pairs = sum(case.weights[:5]), sum(case.weights[5:])
    assert pairs / singles == pytest.approx(costs().second * 4 / 5)


def test_a_second_fault_shows_behind_the_first_or_is_hidden_by_it(table: Table) -> None:
    first, both, hidden = 1, pair(table, 0, 2), pair(table, 0, 1)
    assert any(look.words.startswith("volts board.AUX+") for look in table.apart(first, both))
    apart = [look.words for look in table.apart(first, hidden)]
    assert "the display, mains on, at rest" not in apart
    assert "ohms stop-barn.2 to post-left.3, isolated and proved dead" in apart


def test_trying_pairs_leaves_no_trace() -> None:
    stand = Stand(SETUP)
    sound, state = list(stand.read(None)), stand.harness.state()
    for one, other in combinations(stand.faults()[::17], 2):
        if stand.together(one, other) and stand.together(other, one):
            stand.read(one, other)
        assert stand.harness.state() == state, (one, other)
    assert stand.read(None) == sound


def test_the_planner_takes_pairs_as_suspects_and_mends_both(table: Table) -> None:
    stated = par(table, tuple(table.suspects))
    assert stated.seconds >= stated.least > 0.0
    assert len(stated.suspects) == 21
    best = next_look(table, tuple(table.suspects))
    assert best is not None
    assert 0.0 < best.bits < stated.bits
    case, _ = table.case((pair(table, 0, 2),))
    assert case.mends == (frozenset({"blown-fuse aux", "core stop-feed"}),)


def test_a_larger_set_is_refused() -> None:
    some = tuple(Stand(SETUP).faults()[: MOST_SINGLES + 1])
    with pytest.raises(ValueError, match="at most 16"):
        with_pairs(SETUP, some)


def test_two_faults_at_the_bench_are_mended_one_by_one() -> None:
    both = (Fault(K.PARTED_WIRE, "stop-feed"), Fault(K.BLOWN_FUSE, "aux"))
    gate = Bench(Setup("two", SETUP.site, faults=both))
    assert gate.faults() == both
    gate.act(a.Mains(False))
    gate.act(a.RemakeWire("stop-feed"))
    assert gate.faults() == both[1:]
    gate.act(a.ReplaceFuse("aux"))
    assert gate.faults() == ()
    gate.act(a.Inject("parted-wire", "stop-feed"))
    gate.act(a.Inject("blown-fuse", "aux"))
    assert gate.faults() == both
