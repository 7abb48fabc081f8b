"""Devices on their own wires: edges, end switches, encoders, loop, key, TEST+, the limit of AUX."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from simgate.bench import actions as a
from simgate.bench.contacts import PRESS
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.inputs import edge_ohms
from simgate.board.stimuli import INPUTS, Input, Relay
from simgate.wiring.spec import DeviceKind

DEPOT = load_site("depot-double")
EDGE = INPUTS.index(Input.EDGE)


def bench(learned: bool = False) -> Bench:
    return Bench(Setup("test", DEPOT, settings=(("mode", "Latch"),), learned=learned))


def volts(gate: Bench, terminal: Input) -> float:
    return gate.solution.inputs[INPUTS.index(terminal)]


# Edges: dividers, worked out; 8.2 kohm and its bands are trade convention, from memory ------


def test_two_edges_in_series_with_one_resistor_read_half_the_supply_of_edge() -> None:
    """E1, E4, E5: 8.2 kohm pull-up and one 8.2 kohm resistor: 2.50 V, whoever is first in the chain."""
    gate = bench()
    assert volts(gate, Input.EDGE) == pytest.approx(2.50, abs=0.01)
    assert edge_ohms(volts(gate, Input.EDGE)) == pytest.approx(8200.0, rel=0.01)


@pytest.mark.parametrize("edge", ["edge-a", "edge-b"])
def test_a_pressed_edge_is_a_short_and_a_broken_one_is_open(edge: str) -> None:
    """E2, E4: near 0 V pressed, 5.00 V broken."""
    gate = bench()
    gate.act(a.Operate(edge, True))
    gate.run(50)
    assert volts(gate, Input.EDGE) == pytest.approx(0.0, abs=0.01)
    gate.act(a.Operate(edge, False))
    gate.act(a.PartWire("edge-white"))
    gate.run(50)
    assert volts(gate, Input.EDGE) == pytest.approx(5.0, abs=1e-6)


def test_edges_wired_in_parallel_read_as_pressed() -> None:
    """E5: two times 8.2 kohm side by side are 4.1 kohm; E3: below 5 kohm is taken for pressed."""
    gate = bench()
    harness = gate.harness
    harness.fitting("edge-end").ohms["resistor"] = 4100.0
    harness.changed()
    gate.act(a.PutAway())
    gate.run(50)
    assert edge_ohms(volts(gate, Input.EDGE)) == pytest.approx(4100.0, rel=0.01)
    assert not gate.board.made[EDGE]


def test_a_body_presses_the_edge_on_the_leaf_that_meets_it() -> None:
    """E7: 66.7 N (15 lbf) or less must do it."""
    gate = bench(learned=True)
    gate.act(a.PlaceBody("A", 1.5, 45.0))
    gate.act(a.Operate("call-button", True))
    gate.run(300)
    gate.act(a.Operate("call-button", False))
    pressed = 0
    for _ in range(1500):
        gate.run(10)
        forced = gate.plant.leaves[0].body_force >= PRESS
        assert gate.contacts.worked["edge-a"] is forced
        pressed += forced
        if forced:
            assert not gate.contacts.worked["edge-b"]
    assert pressed


# End switches -------------------------------------------------------------------------------------


def test_an_end_switch_opens_at_its_distance_from_the_stop_and_closes_on_the_way_back() -> None:
    gate = bench()
    assert volts(gate, Input.END_C_A) < 5.0  # shut: its switch is open
    assert volts(gate, Input.END_O_A) > 15.0
    leaf = gate.plant.leaves[0]
    for degrees, shut_end, open_end in ((2.9, False, True), (3.1, True, True), (87.1, True, False)):
        leaf.put(math.radians(degrees))
        gate.act(a.PutAway())
        gate.run(20)
        assert (volts(gate, Input.END_C_A) > 15.0, volts(gate, Input.END_O_A) > 15.0) == (shut_end, open_end)
        assert volts(gate, Input.END_O_B) > 15.0


# Encoders -----------------------------------------------------------------------------------------


def pulses(gate: Bench, ms: int = 2000) -> list[int]:
    before = list(gate.board.signals.pulses)
    gate.act(a.Operate("call-button", True))
    gate.run(300)
    gate.act(a.Operate("call-button", False))
    gate.run(ms)
    return [now - was for now, was in zip(gate.board.signals.pulses, before, strict=True)]


def test_pulses_are_heard_while_the_encoder_has_its_supply_and_its_wire() -> None:
    assert pulses(bench(learned=True))[0] > 10


@pytest.mark.parametrize("wire", ["encoder-a-red", "encoder-a-black", "encoder-a-blue"])
def test_without_any_of_its_three_cores_no_pulse_of_that_encoder_is_heard(wire: str) -> None:
    gate = bench(learned=True)
    gate.act(a.PartWire(wire))
    gate.run(50)
    assert pulses(gate)[0] == 0
    assert gate.plant.leaves[0].turns != 0.0


def test_a_pulse_line_shorted_to_the_supply_is_not_heard() -> None:
    gate = bench(learned=True)
    gate.act(a.AddLink("board.PULSE-A", "board.AUX+"))
    assert pulses(gate)[0] == 0


def test_encoders_on_each_others_terminals_tell_of_the_other_leaf() -> None:
    gate = bench(learned=True)
    gate.act(a.SwapWires("encoder-a-blue", "encoder-b-blue"))
    gate.run(20)
    first = pulses(gate, 700)  # A opens first
    assert first[0] == 0
    assert first[1] > 0


def test_an_absolute_encoder_tells_the_place_while_it_is_heard() -> None:
    absolute = DeviceKind.PLACE_ENCODER
    meant = DEPOT.wiring.devices
    devices = tuple(replace(d, kind=absolute) if d.name == "encoder-a" else d for d in meant)
    gate = Bench(Setup("test", replace(DEPOT, wiring=replace(DEPOT.wiring, devices=devices))))
    shut = gate.board.signals.places[0]
    assert shut is not None
    assert gate.board.signals.places[1] is None
    gate.plant.leaves[0].put(math.radians(90.0))
    gate.act(a.PutAway())
    gate.run(20)
    opened = gate.board.signals.places[0]
    assert opened is not None
    assert opened - shut == 1024  # a quarter of 4096
    gate.act(a.PartWire("encoder-a-blue"))
    gate.run(20)
    assert gate.board.signals.places[0] is None
    assert gate.board.signals.pulses[0] == 0


# Loop, key, TEST+, AUX ----------------------------------------------------------------------------


def test_a_vehicle_over_the_loop_calls_while_the_detector_has_its_supply() -> None:
    gate = bench()
    gate.act(a.Operate("loop", True))
    gate.run(50)
    assert volts(gate, Input.CALL) > 15.0
    gate.act(a.PartWire("loop-red"))
    gate.run(50)
    assert volts(gate, Input.CALL) < 5.0


def test_the_key_calls_one_way_and_calls_in_part_the_other_way() -> None:
    gate = bench()
    gate.act(a.Operate("key-switch", True))
    gate.run(50)
    assert (volts(gate, Input.CALL) > 15.0, volts(gate, Input.PART) > 15.0) == (True, False)
    gate.act(a.Operate("key-switch-part", True))
    gate.run(50)
    assert (volts(gate, Input.CALL) > 15.0, volts(gate, Input.PART) > 15.0) == (False, True)


def test_dropping_test_plus_opens_the_guards_whose_senders_hang_on_it() -> None:
    gate = bench()
    assert gate.board.outputs.has(Relay.TEST)
    assert volts(gate, Input.GUARD_C) > 15.0
    harness = gate.harness
    word = harness.word_at_rest() & ~harness.contacts["test"]
    assert not harness.works(harness.solve(word), "beam-out")
    harness.fitting("beam-out").welded = True
    harness.changed()
    assert harness.solve(word & ~harness.contacts["beam-out"]).inputs[2] > 15.0  # the self-test finds that


def test_aux_is_limited_above_its_limit_and_comes_back_when_the_load_is_gone() -> None:
    """By hand: 15 ohm on 24 V is 1.6 A, between 0.8 A and twice the fuse; limited, 24 x 15 / 62 is 5.8 V."""
    gate = bench()
    harness = gate.harness
    harness.fitting("loop").ohms["detector"] = 15.0
    harness.changed()
    gate.act(a.PutAway())
    gate.run(100)
    assert not harness.blown("aux")
    assert gate.solution.volts("board.AUX+", "board.0V") == pytest.approx(5.8, abs=0.6)
    assert volts(gate, Input.GUARD_C) < 5.0
    harness.fitting("loop").renew()
    harness.changed()
    gate.act(a.PutAway())
    gate.run(100)
    assert gate.solution.volts("board.AUX+", "board.0V") == pytest.approx(23.8, abs=0.3)
    assert volts(gate, Input.GUARD_C) > 15.0
