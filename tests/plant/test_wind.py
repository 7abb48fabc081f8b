"""Wind: velocity pressure of EN 1991-1-4 and the torque about the hinge."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from simgate.plant import wind
from tests.plant.build import HINGE_DRIVE, LEAF, one, run

SOLID = replace(LEAF, width=3.0, solidity=1.0, open_angle=2.0, coulomb=0.0)


@pytest.mark.parametrize(
    ("speed", "pascal"), [(10.0, 62.5), (15.0, 140.6), (20.0, 250.0), (25.0, 390.6), (30.0, 562.5)]
)
def test_velocity_pressure(speed: float, pascal: float) -> None:
    """V1, V2: q = rho v^2 / 2, rho 1.25 kg/m3, EN 1991-1-4 expression 4.10 (published design example)."""
    assert wind.pressure(speed) == pytest.approx(pascal, abs=0.05)
    assert wind.pressure(-speed) == -wind.pressure(speed)


def test_a_solid_leaf_at_20_metres_a_second() -> None:
    """V7, V8 (statics): 3.0 x 1.8 m, c 1.2: 1620 N, 2430 N m; c 1.8 (signboard): 2430 N, 3645 N m."""
    assert wind.force(20.0, 1.2, 5.4) == pytest.approx(1620.0)
    assert wind.torque(20.0, 1.2, 5.4, 3.0) == pytest.approx(2430.0)
    assert wind.force(20.0, 1.8, 5.4) == pytest.approx(2430.0)
    assert wind.torque(20.0, 1.8, 5.4, 3.0) == pytest.approx(3645.0)


@pytest.mark.parametrize(("speed", "torque"), [(10.0, 607.5), (15.0, 1366.9), (25.0, 3796.9)])
def test_the_same_leaf_at_other_speeds(speed: float, torque: float) -> None:
    """V9."""
    assert wind.torque(speed, 1.2, 5.4, 3.0) == pytest.approx(torque, abs=0.05)


def test_the_leaf_feels_that_torque() -> None:
    """V9 through the step: 607.5 N m at 10 m/s, as the first acceleration of a released leaf."""
    plant, leaf = one(SOLID, HINGE_DRIVE, wind=10.0)
    leaf.released = True
    plant.step()
    assert leaf.speed * SOLID.moment / 0.01 == pytest.approx(607.5, rel=0.001)


def test_a_leaf_streams_at_a_right_angle_in_a_wind_that_opens_it() -> None:
    plant, leaf = one(replace(SOLID, viscous=300.0), HINGE_DRIVE, wind=10.0)
    leaf.released = True
    run(plant, 60.0)
    assert leaf.angle == pytest.approx(math.pi / 2.0, abs=0.01)


def test_a_wind_keeps_a_shut_leaf_on_its_stop_and_a_change_of_wind_wakes_it() -> None:
    plant, leaf = one(replace(SOLID, coulomb=20.0), HINGE_DRIVE, wind=-10.0)
    leaf.released = True
    run(plant, 5.0)
    assert plant.still()
    assert leaf.stop_force == pytest.approx(607.5 / 3.0, abs=20.0 / 3.0 + 0.1)
    plant.wind = 10.0
    assert not plant.still()
    run(plant, 1.0)
    assert leaf.angle > 0.1
