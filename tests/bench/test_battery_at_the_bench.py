"""The battery: takes over, runs down, is charged, and none of it differs when idle time is skipped."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.signals import Signals
from simgate.board.stimuli import Condition
from simgate.wiring.battery import LEVELS, PER_AH, Battery, BatterySpec, rest_volts
from tests.bench.made import play
from tests.properties.test_bench import Stepping

DEPOT = load_site("depot-double")


def start(capacity: float = 2.0, charge: float = 1.0, learned: bool = False) -> Setup:
    supply = replace(DEPOT.wiring.supply, battery=BatterySpec(capacity, charge=charge))
    site = replace(DEPOT, wiring=replace(DEPOT.wiring, supply=supply))
    return Setup("test", site, settings=(("mode", "Latch"),), learned=learned)


def charge(bench: Bench) -> int:
    assert bench.harness.battery is not None
    return bench.harness.battery.charge


def signals(bench: Bench) -> Signals:
    return bench.board.signals


def test_it_takes_over_when_the_mains_go_and_when_their_fuse_goes() -> None:
    for loss in (a.Mains(False), a.Inject("blown-fuse", "mains")):
        bench = Bench(start())
        assert signals(bench).on_mains
        bench.act(loss)
        powered = []
        for _ in range(20):
            bench.run(10)
            powered.append(bench.board.signals.powered)
        assert all(powered)
        assert not signals(bench).on_mains
        assert bench.board.signals.supply == pytest.approx(rest_volts(1.0), abs=0.2)


def test_it_runs_down_by_what_the_board_draws_at_rest() -> None:
    """By hand: ampere times hours, from the battery's own current."""
    bench = Bench(start())
    bench.act(a.Mains(False))
    bench.run(1000)
    amps, before = -bench.solution.current("board/battery"), charge(bench)
    bench.run(3_600_000 // 40)
    assert (before - charge(bench)) / PER_AH == pytest.approx(amps / 40, rel=0.01)


def test_a_movement_takes_more_than_rest() -> None:
    drawn = []
    for call in (False, True):
        bench = Bench(start(learned=True))
        bench.act(a.Mains(False))
        bench.run(1000)
        before = charge(bench)
        bench.act(a.Operate("call-button", call))
        bench.run(10_000)
        drawn.append(before - charge(bench))
    assert drawn[1] > 2 * drawn[0]


def test_an_empty_battery_lets_the_board_die_and_the_mains_bring_both_back() -> None:
    bench = Bench(start(capacity=0.01))
    bench.act(a.Mains(False))
    bench.run(3_600_000)
    assert charge(bench) == 0
    assert not signals(bench).powered
    bench.act(a.Mains(True))
    bench.run(3_600_000)
    assert signals(bench).powered
    assert 0 < charge(bench) < 0.01 * PER_AH


def test_its_fuse_carries_the_motors_while_it_feeds_them() -> None:
    bench = Bench(start())
    assert bench.harness.fuses() == ("mains", "aux", "battery")
    bench.act(a.Mains(False))
    bench.run(100)
    assert bench.harness.overloaded(bench.solution, (12.0, 9.0)) == "battery"


ACTIONS = st.sampled_from(
    [
        a.Mains(False),
        a.Mains(True),
        a.Operate("call-button", True),
        a.Operate("call-button", False),
        a.Operate("edge-a", True),
        a.PartWire("loop-red"),
        a.Inject("blown-fuse", "mains"),
        a.ReplaceFuse("mains"),
    ]
)


@settings(max_examples=12, deadline=None)
@given(
    st.sampled_from([0.002, 0.01, 0.1]),
    st.lists(st.tuples(st.sampled_from([0, 50, 20_000, 120_000]), ACTIONS), max_size=6),
)
def test_skipping_idle_time_takes_the_same_charge_as_stepping(
    capacity: float, run: list[tuple[int, a.Action]]
) -> None:
    setup = start(capacity, charge=0.8)
    skipping, stepping = Bench(setup), Stepping(setup)
    play(skipping, run)
    play(stepping, run)
    assert charge(skipping) == charge(stepping)
    assert skipping.records == stepping.records
    assert skipping.digest() == stepping.digest()


@given(st.floats(0.001, 10), st.floats(0, 1), st.integers(-(10**7), 10**7))
def test_the_level_holds_until_the_time_told_and_changes_then(
    capacity: float, share: float, draw: int
) -> None:
    battery = Battery(BatterySpec(capacity, charge=share))
    level, left = battery.level, battery.ms_to_next_level(draw)
    if left is None:
        assert not battery.flow(draw, 10**9)
        return
    assert not battery.flow(draw, left - 1)
    changed = battery.flow(draw, 1)
    assert changed or (level == battery.level == LEVELS and battery.charge == battery.full)


def test_volts_rise_with_the_charge() -> None:
    volts = [rest_volts(level / LEVELS) for level in range(LEVELS + 1)]
    assert volts == sorted(volts)
    assert volts[0] > 20.0


@pytest.mark.parametrize(
    ("use", "ends"),
    [
        ("go on", "Battery is low"),
        ("open and stay", "Battery low: will not shut"),
        ("shut and stay", "Battery low: will not open"),
        ("refuse calls", "Battery low: calls refused"),
    ],
)
def test_at_the_default_limit_a_rundown_tells_of_the_low_battery_before_all_is_dark(
    use: str, ends: str
) -> None:
    """A battery that rests above the limit when it is empty would never count as low."""
    bench = Bench(replace(start(0.5, learned=True), settings=(("mode", "Latch"), ("battery-low", use))))
    for _ in range(2):  # opened and shut: without a call since power came, nothing goes by itself
        bench.act(a.Operate("call-button", True))
        bench.run(500)
        bench.act(a.Operate("call-button", False))
        bench.run(40_000)
    bench.act(a.Mains(False))
    bench.run(1000)
    told = 1.0
    while signals(bench).powered and bench.board.display[1] != ends and bench.tick < 10 * 3_600_000:
        bench.run(30_000)
        told = charge(bench) / (0.5 * PER_AH)
    assert signals(bench).powered
    assert bench.board.display[1] == ends
    assert 0.02 < told <= 0.1
    bench.run(60_000)
    assert bench.board.condition is (Condition.OPEN if use == "open and stay" else Condition.SHUT)
