"""Faults that only show where copper and iron meet: end switches, hinges, stops, beams, moving cores."""

from __future__ import annotations

import math

import pytest

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.stimuli import INPUTS, Input
from simgate.wiring.faults import Fault, FaultKind, kind_of, row

DEPOT = load_site("depot-double")


def bench(*faults: Fault, learned: bool = False) -> Bench:
    return Bench(Setup("test", DEPOT, settings=(("mode", "Latch"),), learned=learned, faults=faults))


def made(gate: Bench, terminal: Input) -> bool:
    return gate.solution.inputs[INPUTS.index(terminal)] > 15.0


def put(gate: Bench, degrees: float) -> None:
    gate.plant.leaves[0].put(math.radians(degrees))
    gate.act(a.PutAway())
    gate.run(30)


def call(gate: Bench, ms: int) -> None:
    gate.act(a.Operate("call-button", True))
    gate.run(300)
    gate.act(a.Operate("call-button", False))
    gate.run(ms)


def test_a_slipped_end_switch_is_worked_too_early_until_it_is_set_again() -> None:
    """By hand: 3 degrees before the stop, and 10 % of 90 degrees besides, is at 78 degrees."""
    gate = bench(Fault(FaultKind.SLIPPED_END, "end-open-a", 10.0))
    for degrees, closed in ((77.5, True), (78.5, False)):
        put(gate, degrees)
        assert made(gate, Input.END_O_A) is closed
    gate.act(a.Renew("end-open-a"))
    gate.run(30)
    assert made(gate, Input.END_O_A)
    assert gate.faults() == ()


def test_a_core_that_flickers_opens_at_one_place_of_the_swing_and_nowhere_else() -> None:
    gate = bench(Fault(FaultKind.FLICKER, "stop-orange", 50.0))
    for degrees, whole in ((0.0, True), (40.0, True), (45.0, False), (50.0, True)):
        put(gate, degrees)
        assert made(gate, Input.STOP) is whole
    put(gate, 45.0)
    gate.act(a.RemakeWire("stop-orange"))
    gate.run(30)
    assert made(gate, Input.STOP)


@pytest.mark.parametrize(("fault", "amount"), [(FaultKind.DIRTY_LENS, 80.0), (FaultKind.BEAM_OFF_AIM, 8.0)])
def test_a_beam_that_sees_too_little_light_opens_its_guard(fault: FaultKind, amount: float) -> None:
    gate = bench(Fault(fault, "beam-out", amount))
    assert not made(gate, Input.GUARD_C)
    gate.act(a.Renew("beam-out"))
    gate.run(30)
    assert made(gate, Input.GUARD_C)


def test_a_jammed_button_calls_and_a_crushed_edge_is_pressed_with_nobody_there() -> None:
    gate = bench(Fault(FaultKind.JAMMED_KEY, "call-button"), Fault(FaultKind.CRUSHED_EDGE, "edge-b"))
    assert made(gate, Input.CALL)
    assert gate.solution.inputs[INPUTS.index(Input.EDGE)] < 0.1


def test_a_wrong_contact_is_the_other_way_round() -> None:
    gate = bench(Fault(FaultKind.WRONG_CONTACT, "stop-button"))
    assert not made(gate, Input.STOP)
    gate.act(a.Operate("stop-button", True))
    gate.run(30)
    assert made(gate, Input.STOP)


def current(gate: Bench) -> float:
    call(gate, 3_000)
    return abs(gate.plant.leaves[0].current)


def test_a_stiff_hinge_takes_more_current_and_a_worn_motor_turns_slower() -> None:
    healthy, stiff = bench(learned=True), bench(Fault(FaultKind.STIFF_HINGE, "leaf-A", 60.0), learned=True)
    assert current(stiff) > current(healthy) + 0.5
    worn = bench(Fault(FaultKind.WORN_BRUSHES, "motor-a", 3.0), learned=True)
    current(worn)
    assert 0.0 < worn.plant.leaves[0].place < healthy.plant.leaves[0].place
    clamp = a.Probe("clamp", "motor-a-brown")
    worn.act(clamp)
    meter = worn.snapshot().meter
    assert meter is not None
    assert float(meter.reading.split()[0]) == pytest.approx(worn.plant.leaves[0].current, abs=0.011)


def test_a_leaf_on_a_moved_stop_stands_before_its_open_place_until_the_stop_is_put_back() -> None:
    gate = bench(Fault(FaultKind.MOVED_STOP, "leaf-A", 20.0))
    gate.act(a.Release("A", True))
    gate.act(a.Push("A", 100.0))
    gate.run(30_000)
    assert math.degrees(gate.plant.leaves[0].place) == pytest.approx(72.0, abs=0.5)
    gate.act(a.Renew("leaf-A"))
    gate.run(30_000)
    assert math.degrees(gate.plant.leaves[0].place) == pytest.approx(90.0, abs=0.5)
    assert gate.faults() == ()


def test_a_dead_encoder_leaves_the_board_without_pulses() -> None:
    gate = bench(Fault(FaultKind.DEAD_ENCODER, "encoder-a"), learned=True)
    call(gate, 1_000)
    assert gate.board.signals.pulses[0] == 0


def test_every_kind_can_be_put_in_at_the_bench_and_taken_out_again_by_the_trainer() -> None:
    gate = bench()
    choices = dict(gate.fault_choices())
    assert set(choices) == {kind.value for kind in FaultKind}
    for kind, where in choices.items():
        for place in where[:1]:
            gate.act(a.Inject(kind, place, row(kind_of(kind)).least))
            gate.run(50)
            assert [fault.kind.value for fault in gate.faults()] == [kind]
            gate.act(a.Mend(kind, place))
            gate.run(50)
            assert gate.faults() == ()
