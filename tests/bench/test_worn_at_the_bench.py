"""Faults of weather, slack iron and loose copper, where they meet the moving gate."""

from __future__ import annotations

import pytest

from simgate.bench import actions as a
from simgate.bench.record import Sense
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import Site, load_site
from simgate.board.stimuli import INPUTS, Condition, Input, Way
from simgate.files import UserError
from simgate.wiring.faults import Fault, FaultKind

DEPOT, FARM, PARK = (load_site(name) for name in ("depot-double", "farm-double", "park-oil"))
K = FaultKind


def bench(*faults: Fault, site: Site = FARM, learned: bool = True) -> Bench:
    return Bench(Setup("test", site, settings=(("mode", "Latch"),), learned=learned, faults=faults))


def made(gate: Bench, terminal: Input) -> bool:
    return gate.solution.inputs[INPUTS.index(terminal)] > 15.0


def powered(gate: Bench) -> bool:
    return gate.solution.powered


def call(gate: Bench, ms: int) -> None:
    gate.act(a.Operate("call-button", True))
    gate.run(300)
    gate.act(a.Operate("call-button", False))
    gate.run(ms)


def told(gate: Bench, how: str, of: str) -> str:
    gate.act(a.Inspect(how, of))
    events = gate.run(10)[-1].events
    return next(event.text for event in events if event.sense is Sense.SEEN)


def newton(text: str) -> int:
    return int(text.split(" N ")[0].split()[-1])


def test_a_cable_that_takes_in_water_leaks_only_while_it_rains() -> None:
    gate = bench(Fault(K.WET_CABLE, "stop-barn-out", 5.0))
    assert made(gate, Input.STOP)
    gate.act(a.Rain(100.0))
    gate.run(50)
    assert not made(gate, Input.STOP)
    gate.act(a.Rain(0.0))
    gate.run(50)
    assert made(gate, Input.STOP)
    gate.act(a.Rain(100.0))
    gate.act(a.RemakeWire("stop-barn-out"))
    gate.run(50)
    assert made(gate, Input.STOP)
    assert gate.faults() == ()


def test_a_loose_core_opens_for_a_fifth_of_a_second_now_and_then_wherever_the_leaf_stands() -> None:
    gate = bench(Fault(K.LOOSE_CORE, "stop-feed", 20.0))
    opened = 0
    for _ in range(6_000):  # a minute
        gate.run(10)
        opened += not made(gate, Input.STOP)
    assert opened == 3 * 20  # scans of 10 ms: three breaks of 0.2 s in a minute
    gate.act(a.RemakeWire("stop-feed"))
    before = len(gate.records)
    gate.run(60_000)
    assert not any(record.notes for record in gate.records[before + 1 :])


def test_a_break_is_met_as_well_when_idle_time_is_skipped() -> None:
    whole, stepped = (bench(Fault(K.LOOSE_CORE, "stop-feed", 7.0)) for _ in range(2))
    whole.run(45_000)
    for _ in range(4_500):
        stepped.run(10)
    assert whole.digest() == stepped.digest()
    assert [record.tick for record in whole.records] == [record.tick for record in stepped.records]
    assert len(whole.records) >= 6


def test_an_open_screen_makes_pulses_while_the_motor_draws_and_none_at_rest() -> None:
    sound, noisy = bench(learned=False), bench(Fault(K.OPEN_SCREEN, "encoder-a", 3.0), learned=False)
    for gate in (sound, noisy):
        gate.run(5_000)
        assert gate.board.signals.pulses[0] == 0
        gate.board.work.jog(0, Way.OPENING, gate.tick)
        gate.run(2_000)
    assert noisy.plant.leaves[0].place == sound.plant.leaves[0].place
    more = noisy.board.signals.pulses[0] - sound.board.signals.pulses[0]
    assert more == pytest.approx(3.0 * 2.0 * abs(sound.plant.leaves[0].current), rel=0.5)
    assert noisy.board.signals.pulses[1] == sound.board.signals.pulses[1]


def test_a_sagged_leaf_is_heavy_near_shut_and_light_elsewhere() -> None:
    pulls = []
    for faults in ((), (Fault(K.SAGGED_LEAF, "leaf-A", 60.0),)):
        gate = bench(*faults)
        gate.act(a.Release("A", True))
        gate.run(20)
        shut = newton(told(gate, "pull", "A"))
        gate.plant.leaves[0].put(0.5)
        gate.act(a.Push("A", 1.0))
        gate.run(20)
        pulls.append((shut, newton(told(gate, "pull", "A"))))
    (sound_shut, sound_far), (shut, far) = pulls
    # dry friction of 60 N m more, of which the climb of 30 N m helps to open, at 2.2 m
    assert shut - sound_shut == pytest.approx((1.01 * 60 - 30) / 2.2, abs=1.0)
    assert far == sound_far


def test_a_slack_linkage_lets_the_motor_turn_before_the_leaf_follows() -> None:
    sound, slack = bench(learned=False), bench(Fault(K.SLACK_LINKAGE, "leaf-A", 40.0), learned=False)
    assert told(sound, "play", "A") == "Leaf A sits firmly"
    assert told(slack, "play", "A") == "Leaf A rocks by 40 mm at its edge"
    for gate in (sound, slack):
        gate.board.work.jog(0, Way.OPENING, gate.tick)
        gate.run(1_500)
    one, other = sound.plant.leaves[0], slack.plant.leaves[0]
    per_rad = one.turns / one.place
    lag = other.turns / per_rad - other.place
    assert lag == pytest.approx(0.040 / 2.2, rel=0.1)  # rad: 40 mm at the edge of 2.2 m
    slack.board.work.jog(0, None, slack.tick)
    slack.act(a.Renew("leaf-A"))
    slack.run(50)
    assert told(slack, "play", "A") == "Leaf A sits firmly"


def test_a_relief_valve_that_opens_early_gives_less_force() -> None:
    forces = []
    for faults in ((), (Fault(K.RELIEF_VALVE, "leaf-A", 90.0),)):
        gate = bench(*faults, site=PARK, learned=False)
        leaf = gate.plant.leaves[0]
        leaf.put(0.5)
        gate.act(a.PlaceBody("A", 1.0, 32.0))
        gate.board.work.jog(0, Way.OPENING, gate.tick)
        gate.run(3_000)
        forces.append(leaf.body_force)
    force, less = forces
    assert 0.0 < less < 0.3 * force


def test_a_strong_wind_blows_until_somebody_has_waited_for_less() -> None:
    gate = bench(Fault(K.STRONG_WIND, "wind", 12.0))
    assert gate.plant.wind == 12.0
    gate.act(a.Renew("wind"))
    gate.run(50)
    assert gate.plant.wind == 0.0
    assert gate.faults() == ()


def test_a_weak_supply_drops_a_beam_while_the_motors_draw() -> None:
    lost = []
    for faults in ((), (Fault(K.WEAK_SUPPLY, "supply", 5.0),)):
        gate = bench(*faults)
        assert made(gate, Input.GUARD_C)
        call(gate, 0)
        dropped = False
        for _ in range(1_000):
            gate.run(10)
            beam = gate.harness.works(gate.solution, "beam-gate")
            dropped = dropped or not beam
        lost.append(dropped)
        gate.run(60_000)
        assert gate.harness.works(gate.solution, "beam-gate")  # the motors rest
    assert lost == [False, True]


def test_a_parted_mains_lead_leaves_the_board_dark_or_on_its_battery() -> None:
    fault = Fault(K.PARTED_MAINS, "mains-lead-n")
    dark, on_battery = bench(fault), bench(fault, site=DEPOT)
    assert not powered(dark)
    assert powered(on_battery)
    assert not on_battery.solution.on_mains
    on_battery.act(a.TakeBattery(True))
    on_battery.run(100)
    assert not powered(on_battery)
    on_battery.act(a.TakeBattery(False))
    on_battery.run(100)
    assert powered(on_battery)
    dark.act(a.Probe("volts-ac", "board.MAINS-N", "mains.PE"))
    dark.run(20)
    meter = dark.snapshot().meter
    assert meter is not None
    assert meter.reading.startswith("229") or meter.reading.startswith("230")
    dark.act(a.Renew("mains"))
    dark.run(100)
    assert powered(dark)


def test_a_spare_beam_tells_a_bad_beam_from_bad_copper_and_mends_nothing() -> None:
    bad_beam, bad_core = (
        bench(Fault(K.DEAD_RECEIVER, "beam-gate")), bench(Fault(K.PARTED_WIRE, "beam-rx-red")),
    )  # fmt: skip
    for gate, clears in ((bad_beam, True), (bad_core, False)):
        assert not made(gate, Input.GUARD_C)
        gate.act(a.SpareBeam("beam-gate", True))
        gate.run(50)
        assert made(gate, Input.GUARD_C) is clears
        assert len(gate.faults()) == 1
        gate.act(a.SpareBeam("beam-gate", False))
        gate.run(50)
        assert not made(gate, Input.GUARD_C)


def test_the_test_plug_proves_the_edge_input_with_the_edge_taken_off() -> None:
    gate = bench(Fault(K.CRUSHED_EDGE, "edge-a"), site=DEPOT)
    edge = INPUTS.index(Input.EDGE)
    assert gate.solution.inputs[edge] < 0.1
    core = next(wire for wire in gate.harness.wires() if "board.EDGE" in (wire.a, wire.b))
    gate.act(a.PartWire(core.name))
    gate.run(20)
    assert gate.solution.inputs[edge] == pytest.approx(5.0, abs=0.01)
    gate.act(a.TestPlug("board.EDGE", "board.0V", True))
    gate.run(20)
    assert gate.solution.inputs[edge] == pytest.approx(2.5, abs=0.01)
    with pytest.raises(UserError):
        gate.act(a.TestPlug("board.EDGE", "board.0V", True))
    gate.act(a.TestPlug("board.EDGE", "board.0V", False))
    gate.run(20)
    assert gate.solution.inputs[edge] == pytest.approx(5.0, abs=0.01)


def test_eyes_tell_where_each_core_goes_and_what_a_beam_looks_like() -> None:
    gate = bench(Fault(K.BEAM_OFF_AIM, "beam-gate", 12.0), Fault(K.OPEN_SCREEN, "encoder-b", 2.0))
    assert told(gate, "lens", "beam-gate").endswith("clean, and its sender looks 12 degrees past it")
    assert told(gate, "strip", "encoder-a").endswith("the screen is joined")
    assert told(gate, "strip", "encoder-b").endswith("the screen hangs free")
    assert "orange to stop-barn.1" in told(gate, "strip", "post-left")
    with pytest.raises(UserError):
        gate.act(a.Inspect("pull", "A"))  # it is coupled
    assert gate.board.condition is Condition.SHUT
