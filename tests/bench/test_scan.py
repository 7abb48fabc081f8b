"""The coupled bench: a whole cycle, and what crosses between iron, copper and wits."""

from __future__ import annotations

import math

import pytest

from simgate.bench import actions as a
from simgate.bench.record import Sense
from simgate.bench.scan import Bench
from simgate.board.stimuli import Condition
from simgate.files import UserError
from tests.bench.made import setup, touch


def at(bench: Bench) -> Condition:
    """The condition now; a call, so that a checker does not take it for unchanging."""
    return bench.board.condition


def test_one_call_opens_and_the_pause_shuts_the_gate() -> None:
    bench = Bench(setup("Self-close", pause=10))
    touch(bench, "call-button")
    bench.run(40_000)
    assert at(bench) in (Condition.OPEN, Condition.CLOSING)
    assert any("Leaf B meets a stop" in event.text for record in bench.records for event in record.events)
    bench.run(60_000)
    assert at(bench) is Condition.SHUT
    assert all(abs(leaf.angle) < math.radians(1) for leaf in bench.plant.leaves)


def test_leaf_b_shuts_before_leaf_a_and_opens_after_it() -> None:
    bench = Bench(setup("Self-close", pause=10))
    touch(bench, "call-button")
    bench.run(100_000)
    moves = [n.detail for record in bench.records for n in record.notes if n.kind.value == "moving"]
    assert moves == ["A opening", "B opening", "B closing", "A closing"]


def test_a_blocked_beam_reopens_a_closing_gate() -> None:
    bench = Bench(setup("Latch"))
    touch(bench, "call-button")
    bench.run(60_000)
    touch(bench, "call-button")
    bench.run(8_000)
    assert at(bench) is Condition.CLOSING
    bench.act(a.Block("beam-gate", True))
    bench.run(100)
    assert at(bench) is Condition.OPENING


def test_a_body_in_the_way_of_a_closing_leaf_reopens_the_gate() -> None:
    bench = Bench(setup("Latch"))
    touch(bench, "call-button")
    bench.run(60_000)
    touch(bench, "call-button")
    bench.run(4_000)
    bench.act(a.PlaceBody("A", 1.5, 40))
    bench.run(25_000)
    assert any(acted.stimulus.value == "obstacle" for record in bench.records for acted in record.acted)
    assert bench.plant.leaves[0].peak_body_force > 10


def test_a_parted_wire_in_the_stop_chain_stops_the_drive_within_filter_and_two_scans() -> None:
    bench = Bench(setup("Latch"))
    wire = next(w.name for w in bench.harness.wires() if "board.STOP" in (w.a, w.b))
    touch(bench, "call-button")
    bench.run(6_000)
    assert any(bench.board.outputs.duty)
    bench.act(a.PartWire(wire))
    bench.run(round(bench.board.settings.number("input-filter")) + 20)
    assert not any(bench.board.outputs.duty)
    assert "STOP is open" in " ".join(bench.board.display)


def test_without_mains_nothing_is_lit_and_nothing_moves() -> None:
    bench = Bench(setup("Latch"))
    bench.act(a.Mains(False))
    touch(bench, "call-button")
    bench.run(5_000)
    gate = bench.snapshot()
    assert not gate.powered
    assert gate.display == ("", "")
    assert not any(view.made for view in gate.inputs)
    assert all(leaf.angle == 0 for leaf in gate.leaves)


def test_a_swapped_motor_pair_turns_the_leaf_the_other_way() -> None:
    bench = Bench(setup("Latch"))
    touch(bench, "call-button")
    bench.run(10_000)
    touch(bench, "stop-post")
    bench.run(500)
    pair = [w.name for w in bench.harness.wires() if {w.a, w.b} & {"board.MOTOR-A+", "board.MOTOR-A-"}]
    before = bench.plant.leaves[0].angle
    bench.act(a.SwapWires(*pair))
    touch(bench, "call-button")
    bench.run(3_000)
    assert bench.board.outputs.duty[0] < 0
    assert bench.plant.leaves[0].angle > before


def test_ohms_on_a_live_circuit_brings_the_caution() -> None:
    bench = Bench(setup())
    bench.act(a.Probe("ohms", "board.COM", "board.STOP"))
    meter = bench.snapshot().meter
    assert meter is not None
    assert meter.caution
    bench.act(a.Mains(False))
    bench.run(100)
    meter = bench.snapshot().meter
    assert meter is not None
    assert not meter.caution


def test_the_meter_reads_the_voltage_that_the_board_reads() -> None:
    bench = Bench(setup())
    bench.act(a.Probe("volts", "board.STOP", "board.AUX-"))
    gate = bench.snapshot()
    assert gate.meter is not None
    assert float(gate.meter.reading.split()[0]) == pytest.approx(gate.inputs[0].volts, abs=0.01)


def test_what_hands_cannot_do_is_refused_in_words_and_changes_nothing() -> None:
    bench = Bench(setup())
    before = bench.digest()
    impossible: list[a.Action] = [
        a.Operate("call-buton", True),
        a.Block("beam-gait", True),
        a.Push("A", 50),
        a.PlaceBody("A", 9, 40),
        a.PlaceBody("A", 1, 400),
        a.PlaceBody("C", 1, 40),
        a.AddLink("board.COM", "board.COM"),
        a.AddLink("board.COM", "board.NOWHERE"),
        a.RemoveLink("board.COM", "board.STOP"),
        a.PartWire("no-wire"),
        a.MoveWire("no-wire", "from", "board.COM"),
        a.SwapWires("no-wire", "no-other"),
        a.ReplaceFuse("none"),
        a.Probe("thermometer", "board.COM", "board.STOP"),
        a.Probe("clamp", "no-wire"),
        a.Inject("gremlin", "board.COM"),
        a.Mend("parted wire", "no-wire"),
    ]
    for action in impossible:
        with pytest.raises(UserError) as caught:
            bench.act(action)
        assert "allowed:" in str(caught.value)
    assert bench.digest() == before


def test_a_finished_run_takes_no_more_actions_and_time_stands() -> None:
    bench = Bench(setup())
    bench.act(a.HandOver())
    tick = bench.tick
    assert bench.run(1000) == ()
    assert bench.tick == tick
    with pytest.raises(UserError, match="finished"):
        bench.act(a.Mains(False))


def test_the_next_thing_that_happens_ends_the_run_to_next() -> None:
    bench = Bench(setup("Self-close", pause=10))
    touch(bench, "call-button")
    records = bench.run_to_next(60_000)
    assert len(records) == 1
    assert records[0].tick == bench.tick


def test_the_ticker_tells_what_was_seen_and_not_what_the_board_believes() -> None:
    bench = Bench(setup("Hold-to-run", learned=False))
    pair = [w.name for w in bench.harness.wires() if {w.a, w.b} & {"board.MOTOR-A+", "board.MOTOR-A-"}]
    bench.act(a.Operate("call-button", True))
    bench.run(9_000)
    bench.act(a.Operate("call-button", False))
    bench.run(1_000)
    bench.act(a.SwapWires(*pair))
    bench.act(a.Operate("call-button", True))
    seen = [e.text for r in bench.run(3_000) for e in r.events if e.sense is Sense.SEEN]
    assert "Leaf A swings shut" in seen


@pytest.mark.parametrize(
    "action",
    [
        a.PressKey("keep", True),  # type: ignore[arg-type]
        a.PlaceBody("A", "1", 3),  # type: ignore[arg-type]
        a.Operate("call-button", "yes"),  # type: ignore[arg-type]
        a.Mains(None),  # type: ignore[arg-type]
        a.Mains(1),  # type: ignore[arg-type]
        "not an action",
    ],
)
def test_an_action_with_values_of_the_wrong_kind_is_refused_in_words(action: a.Action) -> None:
    bench = Bench(setup())
    with pytest.raises(UserError, match="action: found"):
        bench.act(action)


def test_a_display_sentence_over_two_lines_is_told_as_one() -> None:
    bench = Bench(setup("Latch", learned=False))
    for wire in bench.harness.wires():
        if "board.MOTOR-A+" in (wire.a, wire.b):
            bench.act(a.PartWire(wire.name))
    bench.run(100)
    bench.board.start_learn(bench.tick)
    told = [event.text for record in bench.run(10_000) for event in record.events]
    assert "No current to motor A: look at its wires and the fuse" in told
