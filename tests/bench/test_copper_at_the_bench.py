"""What overloaded copper does to the whole bench: fuses, bridges at their limit, and one truth for all."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.bridges import held
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.stimuli import Condition
from tests.bench.made import play, setup, touch
from tests.properties.test_bench import Stepping

AUX = a.AddLink("board.AUX+", "board.AUX-")
PAIR = ("board.MOTOR-A+", "board.MOTOR-A-")


def latch() -> Bench:
    """A gate that shuts and opens on a call."""
    return Bench(setup("Latch"))


def reading(bench: Bench) -> float:
    """What the meter shows."""
    meter = bench.snapshot().meter
    assert meter is not None
    return float(meter.reading.split()[0])


def heard(bench: Bench) -> list[int]:
    """Ticks at which a fuse was heard to blow."""
    return [event.tick for record in bench.records for event in record.events if "fuse" in event.text]


# Fuses --------------------------------------------------------------------------------------------


def test_a_link_across_the_auxiliary_supply_blows_its_fuse_and_only_that() -> None:
    bench = latch()
    bench.act(AUX)
    bench.run(1_000)
    assert (bench.harness.blown("aux"), bench.harness.blown("mains")) == (True, False)
    assert heard(bench) == [510]
    assert bench.snapshot().powered
    assert not bench.snapshot().beams[0].powered
    bench.act(a.Probe("volts", "board.AUX+", "board.AUX-"))
    assert reading(bench) == 0.0
    assert bench.faults() == ()


def test_a_new_fuse_on_a_standing_short_blows_again_and_holds_once_the_short_is_gone() -> None:
    bench = latch()
    bench.act(AUX)
    bench.run(1_000)
    bench.act(a.ReplaceFuse("aux"))
    bench.run(1_000)
    assert bench.harness.blown("aux")
    assert len(heard(bench)) == 2
    bench.act(a.RemoveLink(AUX.a, AUX.b))
    bench.act(a.ReplaceFuse("aux"))
    bench.run(1_000)
    assert not bench.harness.blown("aux")
    assert bench.snapshot().beams[0].powered


def test_chafed_cores_of_a_beams_supply_blow_the_fuse_but_the_fault_is_the_chafing() -> None:
    bench = latch()
    bench.act(a.Inject("bridged-pair", "beam-tx-red|beam-tx-black"))
    bench.run(100)
    assert bench.harness.blown("aux")
    assert [fault.kind.value for fault in bench.faults()] == ["bridged-pair"]


def test_a_shorted_lamp_takes_the_mains_fuse_when_its_relay_closes() -> None:
    bench = latch()
    bench.act(a.AddLink("board.LAMP+", "board.LAMP-"))
    bench.run(1_000)
    assert heard(bench) == []
    touch(bench, "call-button")
    bench.run(1_000)
    assert bench.harness.blown("mains")
    assert not bench.snapshot().powered


def test_what_the_bridges_draw_counts_in_the_mains_fuse() -> None:
    """Rated 10 A (the site's default): 12 A of one bridge and 9 A of the other are above twice that."""
    harness = latch().harness
    solution = harness.solve(harness.word_at_rest())
    assert harness.overloaded(solution, (12.0, 7.0)) == ""
    assert harness.overloaded(solution, (12.0, 9.0)) == "mains"


def test_coupling_a_leaf_that_swings_blows_no_fuse() -> None:
    """A braked motor is shorted by the lower switches: its current never comes near the supply."""
    bench = Bench(Setup("test", load_site("yard-single"), settings=(("mode", "Latch"), ("leaves", 1))))
    bench.plant.leaves[0].put(1.0)
    bench.act(a.Release("A", True))
    bench.act(a.Push("A", -150.0))
    bench.run(1_500)
    bench.act(a.Release("A", False))
    greatest = 0.0
    for _ in range(100):
        bench.run(10)
        greatest = max(greatest, abs(bench.board.signals.currents[0]))
    assert greatest > 10.0  # what is braked here would be more than the fuse is rated for
    assert not bench.harness.blown("mains")
    assert bench.snapshot().powered


def test_a_healthy_gate_at_full_force_blows_no_fuse() -> None:
    bench = Bench(setup("Latch", force_opening_a=100, force_closing_a=100))
    bench.act(a.PlaceBody("A", 1.5, 40.0))
    bench.act(a.PlaceBody("B", 1.5, 40.0))
    touch(bench, "call-button")
    bench.run(40_000)
    assert heard(bench) == []


# Bridges at their limit ---------------------------------------------------------------------------


def test_clamp_board_and_plant_agree_at_every_scan_of_a_run_into_a_body() -> None:
    bench = Bench(setup("Latch", force_opening_a=20, speed_opening=100))
    bench.act(a.PlaceBody("A", 2.0, 40.0))
    bench.act(a.Probe("clamp", "motor-a-brown"))
    touch(bench, "call-button")
    at_limit = 0
    for _ in range(1_300):
        bench.run(10)
        leaf = bench.snapshot().leaves[0]
        assert reading(bench) == pytest.approx(leaf.current, abs=0.0051)  # its last digit is 0.01 A
        assert bench.board.signals.currents[0] == pytest.approx(leaf.current, abs=1e-12)
        at_limit += leaf.current == bench.plant.leaves[0].limit == 2.0
    assert at_limit > 0


@pytest.mark.parametrize("short", [PAIR, ("motor-a.1", "motor-a.2")])
def test_a_shorted_motor_takes_its_bridge_to_the_limit_and_the_board_sees_it(short: tuple[str, str]) -> None:
    bench = latch()
    bench.act(a.AddLink(*short))
    touch(bench, "call-button", 200)
    bench.run(100)
    assert bench.board.signals.currents[0] == pytest.approx(bench.board.outputs.limits[0], rel=1e-12)
    assert abs(bench.plant.leaves[0].current) < 0.1
    bench.run(1_000)
    assert bench.board.condition is Condition.STOPPED_OPENING
    assert bench.snapshot().leaves[0].angle == pytest.approx(0.0, abs=0.01)


def test_the_clamp_round_a_core_to_a_short_shows_what_the_board_sees() -> None:
    bench = latch()
    bench.act(a.Inject("bridged-pair", "motor-a-brown|motor-a-blue"))
    bench.act(a.Probe("clamp", "motor-a-brown"))
    touch(bench, "call-button", 200)
    for _ in range(200):
        bench.run(10)
        assert reading(bench) == pytest.approx(bench.board.signals.currents[0], abs=0.0051)


def test_a_core_taken_off_beyond_a_short_leaves_the_bridge_at_its_limit() -> None:
    bench = latch()
    bench.act(a.AddLink(*PAIR))
    bench.act(a.PartWire("motor-a-brown"))
    touch(bench, "call-button", 200)
    bench.run(300)
    assert bench.board.signals.currents[0] == pytest.approx(bench.board.outputs.limits[0], rel=1e-12)
    assert bench.plant.leaves[0].current == 0.0


def test_motors_on_each_others_terminals_run_from_the_other_bridge() -> None:
    bench = latch()
    for colour in ("brown", "blue"):
        bench.act(a.SwapWires(f"motor-a-{colour}", f"motor-b-{colour}"))
    bench.act(a.Probe("clamp", "motor-b-brown"))
    touch(bench, "call-button", 200)
    bench.run(500)
    assert [bool(duty) for duty in bench.board.outputs.duty] == [True, False]
    leaves = bench.snapshot().leaves
    assert [leaf.current > 0.1 for leaf in leaves] == [False, True]
    assert bench.board.signals.currents == pytest.approx([leaves[1].current, leaves[0].current])
    assert reading(bench) == pytest.approx(leaves[1].current, abs=0.0051)


def test_taking_the_short_out_gives_the_motor_its_run_back() -> None:
    bench = latch()
    bench.act(a.AddLink(*PAIR))
    touch(bench, "call-button")
    bench.run(5_000)
    bench.act(a.RemoveLink(*PAIR))
    bench.run(20)
    assert bench.board.signals.currents == [0.0, 0.0]
    touch(bench, "call-button")
    bench.run(5_000)
    assert bench.snapshot().condition is not Condition.STOPPED_OPENING


@pytest.mark.parametrize(
    ("duty", "slope", "rest", "limit", "expected"),
    [
        (0.5, 20.0, 0.0, 5.0, 0.25),  # held back
        (-0.5, 20.0, 0.0, 5.0, -0.25),
        (0.1, 20.0, 0.0, 5.0, 0.1),  # within it
        (0.0, 20.0, 9.0, 5.0, 0.0),  # a bridge at rest shorts, and limits nothing
        (0.5, 20.0, 90.0, 5.0, -1.0),  # more than it can hold off
        (0.5, 0.0, 9.0, 5.0, 0.5),
    ],
)
def test_a_bridge_takes_back_its_duty_until_its_current_is_the_limit(
    duty: float, slope: float, rest: float, limit: float, expected: float
) -> None:
    assert held(duty, slope, rest, limit) == pytest.approx(expected, rel=1e-12)


# What nobody may change, and what a digest tells --------------------------------------------------


def test_the_settings_of_a_snapshot_and_the_records_cannot_be_written() -> None:
    bench = latch()
    with pytest.raises(TypeError):
        bench.snapshot().settings["mode"] = "Self-close"  # type: ignore[index]
    with pytest.raises(AttributeError):
        bench.records = ()  # type: ignore[misc]
    touch(bench, "call-button")
    bench.run(1_000)
    told = bench.records
    assert told is bench.records
    assert isinstance(told, tuple)
    bench.run(60_000)
    assert bench.records[: len(told)] == told
    assert len(bench.records) > len(told)


CHANGES: list[tuple[a.Action, a.Action]] = [
    (a.PartWire("part-grey"), a.RemakeWire("part-grey")),  # dead while nobody presses
    (a.MoveWire("part-grey", "from", "board.0V"), a.RemakeWire("part-grey")),
    (a.Inject("parted-wire", "part-grey"), a.Inject("parted-wire", "call-green")),
    (a.Inject("tired-joint", "part-grey", 5.0), a.Inject("tired-joint", "part-grey", 6.0)),
    (a.Inject("bridged-pair", "motor-a-brown|motor-a-blue"), a.Inject("parted-wire", "part-grey")),
    (a.Inject("blown-fuse", "aux"), a.Inject("blown-fuse", "mains")),
    (a.Block("beam-gate", True), a.Block("beam-gate", False)),
    (a.Operate("part-button", True), a.Operate("part-button", False)),
]


@pytest.mark.parametrize(("one", "other"), CHANGES, ids=lambda action: str(action)[:40])
def test_runs_that_differ_only_in_the_copper_have_other_digests(one: a.Action, other: a.Action) -> None:
    digests = set()
    for action in (one, other):
        bench = latch()
        bench.act(a.Mains(False))
        bench.run(2_000)
        bench.act(action)
        bench.run(2_000)
        digests.add(bench.digest())
    assert len(digests) == 2


OVERLOADS = st.sampled_from(
    [
        a.AddLink(*PAIR),
        a.AddLink("board.MOTOR-A+", "board.MOTOR-B+"),
        a.AddLink("board.MOTOR-A+", "board.COM"),
        a.AddLink("board.MOTOR-A+", "board.AUX+"),
        AUX,
        a.RemoveLink(*PAIR),
        a.RemoveLink(AUX.a, AUX.b),
        a.ReplaceFuse("aux"),
        a.ReplaceFuse("mains"),
        a.Inject("bridged-pair", "motor-b-brown|motor-b-blue"),
        a.SwapWires("motor-a-brown", "motor-b-brown"),
        a.Operate("call-button", True),
        a.Operate("call-button", False),
        a.Release("A", True),
    ]
)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.sampled_from([0, 50, 2_000, 20_000]), OVERLOADS), max_size=8))
def test_skipping_idle_time_tells_the_same_of_overloaded_copper(run: list[tuple[int, a.Action]]) -> None:
    start = setup("Latch")
    skipping, stepping = Bench(start), Stepping(start)
    play(skipping, run)
    play(stepping, run)
    assert skipping.records == stepping.records
    assert skipping.digest() == stepping.digest()
