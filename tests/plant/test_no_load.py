"""What a motor takes to turn itself: the no-load current of a data sheet, by closed forms and through a leaf.

The usual model of data sheets and textbooks for brushed motors is T = k (i - I0), with I0 the same at
every speed; from it follow the no-load speed (V - I0 R) / k, the stall current V / R and the peak efficiency
(1 - sqrt(I0 / Is))^2 at sqrt(I0 Is). That speed and current are straight lines from no load to stall is told
in public guides to motor data sheets (N. Syed, "How to read a DC motor datasheet", 2018; read in an excerpt);
the formulas are from memory, and the best efficiency is also looked for by trial here.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant import motor
from simgate.plant.leaf import Leaf
from simgate.plant.plant import Plant
from simgate.plant.spec import DriveSpec, HingeLinkage, LeafSpec, MotorSpec, SlideSpec
from tests.plant.build import (
    FEW,
    FREE_LEAF,
    HINGE_DRIVE,
    LEAF,
    MOTOR,
    OIL,
    OIL_DRIVE,
    OIL_MOTOR,
    PUMP,
    RACK_DRIVE,
    SLIDE,
    drive,
    one,
    run,
)  # fmt: skip

VOLTS, OHMS, CONSTANT, IDLE = 24.0, 1.2, 0.06, 0.5  # the motor of N7, with a no-load current
STALL = VOLTS / OHMS
BARE = MotorSpec(OHMS, CONSTANT, 2.0e-5, 1.0, forward_efficiency=1.0, back_efficiency=1.0, no_load=IDLE)
WHEEL = LeafSpec(1.0, 1.0, 1.0, open_angle=1e4, inertia=1e-3, viscous=0.0, coulomb=0.0)


def bare(load: float = 0.0, way: float = 1.0) -> tuple[Plant, Leaf]:
    """A wheel on the bare motor with a brake of so many N m, at full voltage."""
    plant, leaf = one(replace(WHEEL, coulomb=load), DriveSpec(BARE, HingeLinkage()))
    leaf.put(5e3)
    drive(leaf, way * VOLTS)
    return plant, leaf


def efficiency(load: float) -> float:
    speed = motor.steady_speed(VOLTS, OHMS, CONSTANT, load, IDLE)
    return load * speed / (VOLTS * motor.current(VOLTS, OHMS, CONSTANT, speed))


def test_the_data_sheet_line_with_a_no_load_current() -> None:
    """By hand: 390 rad/s light; 290 rad/s and 5.5 A at 0.3 N m; stall 20 A and 1.17 N m; 114.075 W."""
    assert motor.steady_speed(VOLTS, OHMS, CONSTANT, 0.0, IDLE) == pytest.approx(390.0)
    speed = motor.steady_speed(VOLTS, OHMS, CONSTANT, 0.3, IDLE)
    assert speed == pytest.approx(290.0)
    assert motor.current(VOLTS, OHMS, CONSTANT, speed) == pytest.approx(5.5)
    assert motor.stall_torque(VOLTS, OHMS, CONSTANT, IDLE) == pytest.approx(1.17)
    assert motor.peak_power(VOLTS, OHMS, IDLE) == pytest.approx(0.5 * 1.17 * 0.5 * 390.0)


def test_its_best_efficiency_is_where_and_what_the_closed_form_says() -> None:
    """(1 - sqrt(0.5 / 20))^2 = 0.7088 at sqrt(0.5 * 20) = 3.162 A; found by trying 10,000 loads."""
    best = max(range(1, 10_000), key=lambda at: efficiency(1.17 * at / 10_000))
    load = 1.17 * best / 10_000
    assert efficiency(load) == pytest.approx(motor.peak_efficiency(VOLTS, OHMS, IDLE), rel=1e-6)
    assert motor.peak_efficiency(VOLTS, OHMS, IDLE) == pytest.approx(0.7088, abs=5e-5)
    amps = motor.current(VOLTS, OHMS, CONSTANT, motor.steady_speed(VOLTS, OHMS, CONSTANT, load, IDLE))
    assert amps == pytest.approx(3.162, abs=2e-3)
    assert motor.peak_efficiency_current(VOLTS, OHMS, IDLE) == pytest.approx(3.162, abs=5e-4)


@pytest.mark.parametrize("way", [1.0, -1.0])
@pytest.mark.parametrize(("load", "speed", "amps"), [(0.0, 390.0, 0.5), (0.3, 290.0, 5.5)])
def test_a_leaf_on_the_bare_motor_settles_on_that_line(
    way: float, load: float, speed: float, amps: float
) -> None:
    plant, leaf = bare(load, way)
    run(plant, 8.0)
    assert leaf.speed == pytest.approx(way * speed, rel=1e-6)
    assert leaf.current == pytest.approx(way * amps, rel=1e-5)


def test_the_best_efficiency_through_the_step() -> None:
    """Brake power over electric power at the load k (sqrt(I0 Is) - I0), and less on both sides of it."""
    found = []
    for share in (0.7, 1.0, 1.4):
        load = share * CONSTANT * (math.sqrt(IDLE * STALL) - IDLE)
        plant, leaf = bare(load)
        run(plant, 8.0)
        found.append(load * leaf.speed / (VOLTS * leaf.current))
    assert found[1] == pytest.approx((1.0 - math.sqrt(IDLE / STALL)) ** 2, rel=1e-6)
    assert found[0] < found[1] > found[2]


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_motor_that_gets_less_than_its_no_load_current_stands(way: float) -> None:
    for share, moves in ((0.99, False), (1.03, True)):  # it takes a hundredth more to start
        plant, leaf = one(WHEEL, DriveSpec(BARE, HingeLinkage()))
        leaf.put(5e3)
        drive(leaf, way * share * IDLE * OHMS)
        run(plant, 1.0)
        assert (leaf.place != 5e3) == moves
        if not moves:
            assert leaf.speed == 0.0
            assert leaf.current == pytest.approx(way * share * IDLE)


def test_a_ceiling_below_the_no_load_current_lets_nothing_turn() -> None:
    plant, leaf = one(WHEEL, DriveSpec(BARE, HingeLinkage()))
    drive(leaf, VOLTS, limit=0.9 * IDLE)
    run(plant, 1.0)
    assert (leaf.place, leaf.current) == (0.0, 0.9 * IDLE)
    leaf.released = True
    run(plant, 1.0)
    assert (leaf.turns, leaf.current) == (0.0, 0.9 * IDLE)


def test_at_a_stop_the_friction_takes_its_part_of_the_stall_torque() -> None:
    """Pressed at rest: between k (i - I0) and k (i + I0) through a gear without loss, at the leaf's edge."""
    gear = replace(MOTOR, resistance=OHMS, forward_efficiency=1.0, back_efficiency=1.0, no_load=IDLE)
    plant, leaf = one(FREE_LEAF, DriveSpec(gear, HingeLinkage()))
    leaf.put(LEAF.open_angle)
    drive(leaf, VOLTS)
    run(plant, 3.0)
    newton = CONSTANT * gear.reduction / LEAF.width
    assert leaf.current == pytest.approx(STALL)
    assert newton * (STALL - IDLE) <= leaf.stop_force * (1.0 + 1e-6)
    assert leaf.stop_force <= newton * (STALL + IDLE) * (1.0 + 1e-6)


@pytest.mark.parametrize(("share", "moves"), [(0.98, False), (1.02, True)])
def test_without_supply_a_reversible_drive_is_held_by_its_motor_friction(share: float, moves: bool) -> None:
    """Dry friction of k I0 N over the back efficiency, beside the hinge's, in both ways."""
    loose = replace(MOTOR, no_load=IDLE, holding=0.0)
    held = loose.constant * IDLE * loose.reduction / loose.back_efficiency + LEAF.coulomb
    for way in (1.0, -1.0):
        plant, leaf = one(LEAF, DriveSpec(loose, HingeLinkage()))
        leaf.put(0.7)
        leaf.push = way * share * held / LEAF.width
        run(plant, 1.0)
        assert (leaf.place != 0.7) == moves


def test_a_gear_that_holds_more_than_that_holds_as_it_did() -> None:
    for no_load in (0.0, IDLE):
        plant, leaf = one(LEAF, DriveSpec(replace(MOTOR, no_load=no_load), HingeLinkage()))
        leaf.put(0.5)
        leaf.push = 155.0  # 310 N m against 300 of the gear and 20 of the hinge
        run(plant, 1.0)
        assert leaf.place == 0.5
        leaf.push = 165.0
        run(plant, 1.0)
        assert leaf.place > 0.5


@pytest.mark.parametrize("kind", ["hinge", "rack", "oil"])
def test_released_the_leaf_knows_nothing_of_it_and_the_motor_runs_light(kind: str) -> None:
    kinds: dict[str, tuple[LeafSpec | SlideSpec, DriveSpec]] = {
        "hinge": (LEAF, HINGE_DRIVE), "rack": (SLIDE, RACK_DRIVE), "oil": (LEAF, OIL_DRIVE),
    }  # fmt: skip
    leaf_spec, lossless = kinds[kind]
    ends = []
    for no_load in (0.0, 0.8):
        spec = replace(lossless, motor=replace(lossless.motor, no_load=no_load))
        plant, leaf = one(leaf_spec, spec)
        leaf.released = True
        leaf.push = 80.0
        drive(leaf, -VOLTS, limit=8.0)
        run(plant, 2.0)
        light = VOLTS - no_load * spec.motor.resistance
        assert leaf.current == -no_load
        assert leaf.emf() == pytest.approx(-light)
        assert leaf.turns == pytest.approx(-2.0 * light / spec.motor.constant / (2.0 * math.pi), rel=1e-9)
        leaf.powered = False
        run(plant, 0.5)
        assert (leaf.current, leaf.emf()) == (0.0, 0.0)
        ends.append(leaf.place)
    assert ends[0] == ends[1] > 0.0


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_pump_behind_its_open_valve_takes_the_relief_current_and_its_own(way: float) -> None:
    """i = p D / (2 pi eff k) + I0; the thrust stays p A, and the leaf stands as without the loss."""
    spec = DriveSpec(replace(OIL_MOTOR, no_load=IDLE), OIL)
    plant, leaf = one(LEAF, spec)
    leaf.put(0.8)
    leaf.place_body(1.0, 0.8 + way * 1e-9)
    drive(leaf, way * VOLTS)
    run(plant, 2.0)
    amps = PUMP.relief * PUMP.displacement / (2.0 * math.pi) / (0.75 * 0.06) + IDLE
    assert leaf.current == pytest.approx(way * amps, rel=1e-12)
    assert leaf.emf() == pytest.approx(way * (VOLTS - amps * OIL_MOTOR.resistance))


@FEW
@given(
    volts=st.floats(-24.0, 24.0),
    limit=st.floats(0.2, 8.0),
    push=st.floats(-200.0, 200.0),
    coulomb=st.sampled_from([0.0, 20.0]),
    no_load=st.floats(0.1, 3.0),
)
def test_a_leaf_at_rest_under_a_steady_drive_stays_exactly_at_rest(
    volts: float, limit: float, push: float, coulomb: float, no_load: float
) -> None:
    """No chatter: once it stands through a scan it never moves again while nothing changes."""
    spec = replace(LEAF, coulomb=coulomb)
    plant, leaf = one(spec, DriveSpec(replace(MOTOR, no_load=no_load), HingeLinkage()))
    leaf.put(0.7)
    drive(leaf, volts, limit=limit)
    leaf.push = push
    stood = None
    for _ in range(600):
        plant.step()
        if stood is not None:
            assert (leaf.place, leaf.speed) == (stood, 0.0)
        elif leaf.speed == 0.0 and leaf.place == leaf.started[0] and leaf.started[1] == 0.0:
            stood = leaf.place
