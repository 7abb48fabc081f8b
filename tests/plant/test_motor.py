"""The motor line, by its closed forms and through the leaf that it drives."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from simgate.plant import motor
from simgate.plant.spec import DriveSpec, HingeLinkage, LeafSpec, MotorSpec
from tests.plant.build import FREE_LEAF, FREE_MOTOR, LEAF, MOTOR, drive, one, run

VOLTS, OHMS, CONSTANT, LOAD = 24.0, 1.2, 0.06, 0.3  # N7


def rpm(speed: float) -> float:
    return speed * 60.0 / (2.0 * math.pi)


def test_the_textbook_line_gives_speed_current_stall_and_power() -> None:
    """N7, from w = (V - R T / k) / k: 300 rad/s (2865 rpm), 5 A, stall 20 A and 1.2 N m, 3820 rpm, 120 W."""
    speed = motor.steady_speed(VOLTS, OHMS, CONSTANT, LOAD)
    assert speed == pytest.approx(300.0)
    assert rpm(speed) == pytest.approx(2865.0, abs=0.5)
    assert motor.current(VOLTS, OHMS, CONSTANT, speed) == pytest.approx(5.0)
    assert motor.current(VOLTS, OHMS, CONSTANT, 0.0) == pytest.approx(20.0)
    assert motor.stall_torque(VOLTS, OHMS, CONSTANT) == pytest.approx(1.2)
    assert rpm(motor.steady_speed(VOLTS, OHMS, CONSTANT, 0.0)) == pytest.approx(3820.0, abs=0.5)
    assert motor.peak_power(VOLTS, OHMS) == pytest.approx(120.0)
    half = motor.steady_speed(VOLTS, OHMS, CONSTANT, 0.6)
    assert half * 0.6 == pytest.approx(120.0)


# A reduction of 1 and no losses, the load of N7 as hinge friction, and room to reach the speed.
BARE = MotorSpec(OHMS, CONSTANT, 2.0e-5, 1.0, forward_efficiency=1.0, back_efficiency=1.0)
WHEEL = LeafSpec(1.0, 1.0, 1.0, open_angle=1e4, inertia=1e-3, viscous=0.0, coulomb=LOAD)


def test_a_leaf_on_a_bare_motor_settles_at_the_textbook_speed() -> None:
    """N7 through the step: 300 rad/s and 5 A, both ways round."""
    for way in (1.0, -1.0):
        plant, leaf = one(WHEEL, DriveSpec(BARE, HingeLinkage()))
        leaf.put(5e3)
        drive(leaf, way * VOLTS)
        run(plant, 8.0)
        assert leaf.speed == pytest.approx(way * 300.0, rel=1e-6)
        assert leaf.current == pytest.approx(way * 5.0, rel=1e-5)


def test_a_leaf_held_fast_draws_the_stall_current() -> None:
    """N7 through the step: 20 A at standstill, and with 1.2 ohm of wire only half of it."""
    for outside, amps in ((0.0, 20.0), (1.2, 10.0)):
        plant, leaf = one(replace(LEAF, coulomb=1e6), DriveSpec(MOTOR, HingeLinkage()))
        drive(leaf, VOLTS * MOTOR.resistance / OHMS, ohms=outside * MOTOR.resistance / OHMS)
        run(plant, 0.1)
        assert leaf.speed == 0.0
        assert leaf.current == pytest.approx(amps)


def test_a_leaf_at_a_stop_is_pressed_with_the_stall_torque() -> None:
    """N7 through the step: k V / R times the reduction, at the leaf's edge."""
    plant, leaf = one(FREE_LEAF, DriveSpec(FREE_MOTOR, HingeLinkage()))
    leaf.put(LEAF.open_angle)
    drive(leaf, VOLTS)
    run(plant, 3.0)
    assert leaf.stop_force == pytest.approx(1.2 * 2000.0 / LEAF.width, rel=1e-6)


def test_the_current_never_passes_its_ceiling_while_driven() -> None:
    plant, leaf = one()
    leaf.put(0.5, 0.19)
    drive(leaf, -24.0, limit=3.0)  # thrown into reverse at full speed
    for _ in range(300):
        plant.step()
        assert abs(leaf.current) <= 3.0


def test_a_parted_circuit_carries_nothing_and_the_gear_holds() -> None:
    plant, leaf = one()
    leaf.put(0.5)
    drive(leaf, 24.0, limit=8.0, ohms=math.inf)
    leaf.push = 140.0  # 280 N m against 300 of the gear and 20 of the hinge
    run(plant, 0.5)
    assert (leaf.angle, leaf.speed, leaf.current) == (0.5, 0.0, 0.0)
    leaf.push = 165.0
    run(plant, 0.5)
    assert leaf.angle > 0.5
    assert leaf.current == 0.0


def test_a_shorted_winding_brakes_harder_than_a_parted_one() -> None:
    reversible = DriveSpec(replace(MOTOR, holding=0.0), HingeLinkage())
    ways = []
    for outside in (0.0, math.inf):
        plant, leaf = one(LEAF, reversible)
        leaf.put(0.2, 0.2)
        leaf.ohms = outside
        plant.step()
        assert (leaf.current < 0.0) == (outside == 0.0)
        run(plant, 4.0)
        assert leaf.speed == 0.0
        ways.append(leaf.angle - 0.2)
    assert ways[0] < 0.2 * ways[1]


def test_a_gear_takes_its_losses_from_both_directions() -> None:
    """Convention of the drive: helping torque times forward, hindering torque divided by back efficiency."""
    lossy = replace(FREE_MOTOR, forward_efficiency=0.5, back_efficiency=0.25)
    for newton, moves in ((-29.0, 1.0), (-31.0, 0.0), (-239.0, 0.0), (-241.0, -1.0)):
        plant, leaf = one(FREE_LEAF, DriveSpec(lossy, HingeLinkage()))
        leaf.put(0.5)
        drive(leaf, 24.0, limit=1.0)  # 120 N m at the gear: 60 forward, 480 backward
        leaf.push = newton
        run(plant, 0.1)
        assert math.copysign(1.0, leaf.speed) * (leaf.speed != 0.0) == moves


def test_turns_count_the_shaft_through_the_reduction() -> None:
    plant, leaf = one()
    drive(leaf, 24.0, limit=8.0)
    run(plant, 3.0)
    assert leaf.turns == pytest.approx(leaf.angle * 2000.0 / (2.0 * math.pi), rel=1e-9)
    drive(leaf, -24.0, limit=8.0)
    run(plant, 1.0)
    assert leaf.turns == pytest.approx(leaf.angle * 2000.0 / (2.0 * math.pi), rel=1e-9)


def test_a_released_leaf_moves_without_its_motor() -> None:
    plant, leaf = one()
    leaf.released = True
    leaf.push = 60.0
    run(plant, 1.0)
    assert leaf.angle > 0.1
    assert leaf.turns == 0.0
    assert leaf.current == 0.0


def test_a_released_drive_runs_light_and_leaves_the_leaf_alone() -> None:
    plant, leaf = one()
    leaf.released = True
    drive(leaf, 24.0, limit=8.0)
    run(plant, 1.0)
    assert leaf.angle == 0.0
    assert leaf.turns == pytest.approx(24.0 / MOTOR.constant / (2.0 * math.pi), rel=1e-9)
    assert not plant.still()


def test_coupling_a_moving_leaf_keeps_its_momentum_and_loses_energy() -> None:
    """Angular momentum, the rotor being at rest: I w = (I + Jm N^2) w'."""
    reversible = replace(MOTOR, holding=0.0, back_efficiency=1.0, resistance=1e9)
    plant, leaf = one(FREE_LEAF, DriveSpec(reversible, HingeLinkage()))
    leaf.released = True
    leaf.put(0.2, 0.3)
    plant.step()
    leaf.released = False
    plant.step()
    inertia = LEAF.moment
    assert leaf.speed == pytest.approx(0.3 * inertia / (inertia + 2.0e-5 * 2000.0**2), rel=1e-4)
