"""A relief valve set too high shows where the board lets the drive go beyond it, in table and bench."""

from __future__ import annotations

import math
from functools import cache

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.costs import costs, typical
from simgate.practice.diagnosis.observation import How
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import StateKind
from simgate.practice.diagnosis.table import build
from simgate.wiring.faults import Fault, FaultKind

SITE = load_site("park-oil")
LATE = typical(FaultKind.LATE_RELIEF_VALVE, "leaf-A")
EARLY = typical(FaultKind.RELIEF_VALVE, "leaf-A")


@cache
def stand() -> Stand:
    return Stand(Setup(job="test", site=SITE))


def read(fault: Fault | None) -> dict[StateKind, float]:
    """N on the gauge by how the leaf came to push it."""
    readings = stand().read(fault)
    found = {}
    for look, reading in zip(stand().looks, readings, strict=True):
        if look.how is How.FORCE:
            assert isinstance(reading, float)
            found[look.state.kind] = reading
    return found


def off(reading: float) -> float:
    """N by which the gauge may be off."""
    tolerance = costs().tolerance_of(How.FORCE.value)
    assert tolerance is not None
    return reading * tolerance.share + tolerance.floor


def at_the_bench(fault: Fault | None, force: int, slow: int) -> float:
    """N at most on a gauge close before the leaf, which creeps: mains went, and it knows no place."""
    settings = (("leaves", 1), ("mode", "Latch"), ("force-opening-a", force), ("slow-speed-a", slow))
    bench = Bench(Setup("test", SITE, settings, learned=True, faults=(fault,) if fault else ()))
    bench.run(1_000)
    bench.act(do.Mains(False))
    bench.run(1_000)
    leaf = bench.plant.leaves[0]
    leaf.put(0.3 * SITE.plant.leaves[0][0].reach)
    bench.act(do.Mains(True))
    bench.run(2_000)
    bench.act(do.PlaceBody("A", SITE.plant.leaves[0][0].lever, math.degrees(leaf.place) + 1e-4))
    bench.act(do.Operate("call-button", True))
    most = 0.0
    for _ in range(200):
        bench.run(10)
        most = max(most, leaf.body_force)
    return most


def test_a_jog_stays_below_the_valve_and_tells_nothing_of_one_set_too_high() -> None:
    assert read(LATE)[StateKind.STALLED] == read(None)[StateKind.STALLED]
    assert read(EARLY)[StateKind.STALLED] < read(None)[StateKind.STALLED]


def test_the_force_at_full_setting_tells_low_set_right_and_high_apart() -> None:
    low, right, high = (read(fault)[StateKind.FULL_FORCE] for fault in (EARLY, None, LATE))
    for less, more in ((low, right), (right, high)):
        assert less + off(less) < more - off(more)


@pytest.mark.parametrize("fault", [None, LATE, EARLY])
def test_hands_find_at_the_bench_what_the_table_says(fault: Fault | None) -> None:
    table = read(fault)[StateKind.FULL_FORCE]
    assert at_the_bench(fault, 100, 60) == pytest.approx(table, abs=off(table))


def test_what_the_board_limits_sooner_hides_it() -> None:
    assert at_the_bench(LATE, 50, 35) == at_the_bench(None, 50, 35)


def test_a_valve_set_too_high_is_told_from_every_other_fault_of_the_site() -> None:
    """The gauge may take it for wind; the clamp does not: beyond its valve the motor draws more."""
    table = build(Setup(job="test", site=SITE))
    assert (table.faults.index(LATE) + 1,) in [tuple(its) for its in table.classes]
