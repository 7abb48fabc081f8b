"""Sensing and END switches on whole gates: drift in the wind without an encoder, switches, an oil drive."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from simgate import files
from simgate.bench.actions import Inject, Mains, PartWire
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup, Value
from simgate.bench.site import Site, load_site
from simgate.board.stimuli import Condition, Task
from tests.bench.kinds import pushed
from tests.bench.made import touch

C = Condition


def made(site: str, learned: bool, given: dict[str, Value]) -> Bench:
    values = tuple((key.replace("_", "-"), value) for key, value in given.items())
    return Bench(Setup("sensing", load_site(site), (("mode", "Latch"), *values), learned=learned))


def gate(site: str, **given: Value) -> Bench:
    """A gate that has learned."""
    return made(site, True, given)


def fresh(site: str, **given: Value) -> Bench:
    """A gate that has not."""
    return made(site, False, given)


def until(bench: Bench, condition: Condition) -> None:
    for _ in range(1_500):
        if bench.board.condition is condition:
            return
        bench.run(100)
    raise AssertionError(f"still {bench.board.condition}: {bench.board.display}")


def light(site: str) -> Site:
    """A site whose motors take no current of their own: only these come to none in a tail wind."""
    found = load_site(site)
    leaves = tuple(
        (leaf, replace(drive, motor=replace(drive.motor, no_load=0.0))) for leaf, drive in found.plant.leaves
    )
    return replace(found, plant=replace(found.plant, leaves=leaves))


def slowed_at(sensing: str, wind: float) -> float:
    """Degrees of leaf A at which its slow-down begins, opening."""
    bench = gate("yard-single", sensing=sensing, leaves=1)
    bench.plant.wind = wind
    touch(bench, "call-button")
    bench.run(4_000)
    fast = bench.board.outputs.duty[0]
    while bench.board.outputs.duty[0] == fast:
        bench.run(10)
    return math.degrees(bench.plant.leaves[0].place)


def test_in_the_wind_the_slow_down_drifts_without_an_encoder_and_does_not_with_pulses() -> None:
    counted = [slowed_at("by pulses", wind) for wind in (-8.0, 0.0, 8.0)]
    reckoned = [slowed_at("by time", wind) for wind in (-8.0, 0.0, 8.0)]
    assert max(counted) - min(counted) < 0.5
    assert max(reckoned) - min(reckoned) > 4 * (max(counted) - min(counted))
    assert reckoned[1] == pytest.approx(counted[1], abs=3.0)


@pytest.mark.parametrize("sensing", ["by pulses", "by time"])
def test_end_switches_begin_the_slow_down_and_the_stops_are_met(sensing: str) -> None:
    uses: dict[str, Value] = {
        f"end_{end}_{leaf}": "begin slow-down" for end in ("open", "shut") for leaf in "ab"
    }
    bench = gate("depot-double", sensing=sensing, **uses)
    leaf = bench.plant.leaves[0]
    touch(bench, "call-button")
    bench.run(9_000)
    while bench.board.outputs.duty[0] == pytest.approx(0.7):
        bench.run(10)
    assert math.degrees(leaf.place) == pytest.approx(87.0, abs=1.5)
    until(bench, C.OPEN)
    assert math.degrees(leaf.place) == pytest.approx(90.0, abs=0.5)


def test_an_oil_drive_whose_motor_pulses_at_the_relief_valve_finds_no_stop_and_says_what_it_needs(
    tmp_path: Path,
) -> None:
    """The shipped oil gate counts at its hinge, and learns; the same with pulses of the motor does not."""
    text = files.find("sites", "park-oil").read_text()
    assert "hinge_pulses" in text
    plain = tmp_path / "oil.toml"
    plain.write_text("".join(line for line in text.splitlines(True) if "hinge_pulses" not in line))
    for site, words in (("park-oil", "Ready: Latch"), (str(plain), "switches, or mark its ends")):
        bench = fresh(site, leaves=1, slow_speed_a=60, force_opening_a=100, force_closing_a=100)
        bench.run(1_000)
        bench.board.start_learn(bench.tick)
        while bench.board.task is Task.LEARN:
            bench.run(1_000)
        assert bench.board.display[1] == words


@pytest.mark.parametrize(("sensing", "second"), [
    ("absolute sensor", "Ready: Latch"), ("by pulses", "Place not known: moves slowly"),
])  # fmt: skip
def test_a_place_told_by_an_absolute_sensor_survives_a_power_cut(
    sensing: str, second: str, tmp_path: Path
) -> None:
    text = files.find("sites", "yard-single").read_text()
    site = files.find("sites", "yard-single")
    if sensing == "absolute sensor":
        site = tmp_path / "sensor.toml"
        site.write_text(text.replace('name = "encoder-a"', 'name = "encoder-a"\ngives = "place"'))
    bench = gate(str(site), sensing=sensing, leaves=1)
    touch(bench, "call-button")
    bench.run(4_000)
    for on in (False, True):
        bench.act(Mains(on))
        bench.run(3_000)
    assert bench.board.display[1] == second
    place = bench.board.place(0)
    touch(bench, "call-button")
    until(bench, C.SHUT if bench.board.condition is C.CLOSING else C.OPEN)
    assert (place > 0) is (sensing == "absolute sensor")


def test_the_school_gate_goes_on_from_where_it_stood_and_was_pushed_while_the_power_was_away() -> None:
    """A shipped gate with a sensor on the leaf: no search for a stop and no creeping, whatever hands did."""
    bench = gate("school-single", sensing="absolute sensor", leaves=1)
    touch(bench, "call-button")
    bench.run(4_000)
    bench.act(Mains(False))
    pushed(bench, -13.0, 1_500)
    bench.act(Mains(True))
    bench.run(2_000)
    assert bench.board.display == ("Stopped", "Ready: Latch")
    place = bench.plant.leaves[0].place
    assert 0.1 < place < 1.5
    touch(bench, "call-button")
    bench.run(3_000)
    assert abs(bench.plant.leaves[0].speed) * 1.5 > 0.1  # m/s at the edge: set speed, not the slow one
    until(bench, C.SHUT if bench.board.condition is C.CLOSING else C.OPEN)


@pytest.mark.parametrize("end", [C.SHUT, C.OPEN])
def test_the_school_gate_wakes_as_it_stands_and_a_call_drives_it_into_nothing(end: Condition) -> None:
    bench = gate("school-single", sensing="absolute sensor", leaves=1)
    if end is C.OPEN:
        touch(bench, "call-button")
        until(bench, C.OPEN)
        bench.run(1_000)
    for on in (False, True):
        bench.act(Mains(on))
        bench.run(3_000)
    assert bench.board.condition is end
    before = bench.plant.leaves[0].place
    touch(bench, "call-button")
    bench.run(3_000)
    assert (bench.plant.leaves[0].place > before) is (end is C.SHUT)
    until(bench, C.OPEN if end is C.SHUT else C.SHUT)


@pytest.mark.parametrize("fault", ["dead encoder", "parted pulse wire", "parted motor wire"])
def test_light_motors_without_pulses_are_not_called_motors_without_current(fault: str) -> None:
    """A farm motor runs at 0.14 to 0.20 A, in the wind at none: its closed circuit shows by the ripple."""
    bench = gate("farm-double")
    terminal = "board.MOTOR-A+" if "motor" in fault else "board.PULSE-A"
    if fault == "dead encoder":
        bench.act(Inject("dead-encoder", "encoder-a"))
    for wire in bench.harness.wires():
        if "parted" in fault and terminal in (wire.a, wire.b):
            bench.act(PartWire(wire.name))
    touch(bench, "call-button")
    bench.run(6_000)
    words = "No current to motor A" if "motor" in fault else "No pulses from motor A"
    assert bench.board.display == ("Stopped", words)


@pytest.mark.parametrize("wind", [6.0, 8.0])
def test_a_leaf_that_the_wind_carries_is_reckoned_though_it_draws_nothing(wind: float) -> None:
    given = (("mode", "Latch"), ("sensing", "by time"))
    bench = Bench(Setup("sensing", light("farm-double"), given, wind=wind))
    bench.board.start_learn(bench.tick)
    bench.run(100)
    currents = []
    while bench.board.display == ("Learn cycle", "Sweep: A opens"):
        bench.run(100)
        currents.append(abs(bench.board.signals.currents[0]))
    assert bench.board.display == ("Learn cycle", "Sweep: B opens")
    assert sum(amps < 0.05 for amps in currents) > 20  # more than 2 s in which the mean current is none
    assert math.degrees(bench.plant.leaves[0].place) == pytest.approx(90.0, abs=0.5)


def test_a_heavy_leaf_that_still_gathers_speed_at_its_ceiling_is_not_taken_to_stand() -> None:
    """The works gate by time at the default force: 380 kg take longer than a soft start to set going."""
    bench = fresh("works-slide", leaves=1, sensing="by time")
    bench.board.start_learn(bench.tick)
    bench.run(100)
    while bench.board.task is Task.LEARN:
        bench.run(500)
    assert bench.board.display == ("Gate shut", "Ready: Latch")


def test_by_time_too_much_force_hides_the_stop_and_the_display_says_so() -> None:
    """At 80 % the ceiling is above what the stalled motor draws at the slow speed: nothing shows a stop."""
    bench = fresh("works-slide", leaves=1, sensing="by time", force_opening_a=80, force_closing_a=80)
    bench.board.start_learn(bench.tick)
    bench.run(100)
    while bench.board.task is Task.LEARN:
        bench.run(1_000)
    assert bench.board.display == ("Leaf A met no stop in time: less", "force, END switches or mark ends")


@pytest.mark.parametrize(("calls", "wind"), [(1, 6.0), (2, -6.0)], ids=["opening", "shutting"])
def test_in_a_tail_wind_a_motor_that_takes_no_current_is_still_heard_to_turn(calls: int, wind: float) -> None:
    """At the speed at which its own voltage is the supply's a motor takes nothing, and turns; its circuit is
    closed, and what a bridge hears of it in its pauses tells that from a parted wire (common practice)."""
    given = (("mode", "Latch"), ("sensing", "by time"), ("leaves", 1))
    bench = Bench(Setup("sensing", light("yard-single"), given, learned=True))
    for _ in range(calls - 1):
        touch(bench, "call-button")
        bench.run(60_000)
    bench.plant.wind = wind
    touch(bench, "call-button")
    least = math.inf
    for _ in range(6_000):
        bench.run(10)
        if bench.board.outputs.duty[0] and abs(bench.plant.leaves[0].speed) > 0.05:
            least = min(least, abs(bench.board.signals.currents[0]))
    assert least < 0.05
    assert bench.board.display == ("Open" if calls == 1 else "Gate shut", "Ready: Latch")
    end = bench.setup.site.plant.leaves[0][0].reach if calls == 1 else 0.0
    assert bench.plant.leaves[0].place == pytest.approx(end, abs=0.02)


def test_in_the_same_wind_a_parted_motor_wire_is_told_as_no_current() -> None:
    bench = gate("yard-single", sensing="by time", leaves=1)
    bench.plant.wind = 6.0
    bench.harness.part_wire("motor-a-brown")
    bench.run(100)
    touch(bench, "call-button")
    bench.run(20_000)
    assert "No current" in " ".join(bench.board.display)
