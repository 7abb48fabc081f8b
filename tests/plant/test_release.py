"""The manual release of every drive: hands and wind move the leaf, and the motor knows nothing of it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant.leaf import Leaf
from simgate.plant.plant import Plant
from simgate.plant.spec import DriveSpec, LeafSpec, SlideSpec
from tests.plant.build import (
    ARM_DRIVE,
    FEW,
    HINGE_DRIVE,
    LEAF,
    OIL_DRIVE,
    RACK_DRIVE,
    RAM_DRIVE,
    SLIDE,
    drive,
    one,
    run,
)

Kind = tuple[LeafSpec | SlideSpec, DriveSpec]
SWINGS: dict[str, Kind] = {
    "hinge": (LEAF, HINGE_DRIVE),
    "ram": (LEAF, RAM_DRIVE),
    "folding arm": (LEAF, ARM_DRIVE),
    "hydraulic ram": (LEAF, OIL_DRIVE),
}
ALL: dict[str, Kind] = SWINGS | {"rack": (replace(SLIDE, mass=100.0, coulomb=20.0), RACK_DRIVE)}
HAND = 50.0  # N at the edge; every gear and lock here holds that


def released(kind: Kind, wind: float = 0.0) -> tuple[Plant, Leaf]:
    plant, leaf = one(*kind, wind=wind)
    leaf.released = True
    return plant, leaf


@pytest.mark.parametrize("kind", ALL)
def test_a_coupled_leaf_stays_under_a_hand_that_moves_a_released_one(kind: str) -> None:
    for free in (False, True):
        plant, leaf = one(*ALL[kind])
        leaf.released = free
        leaf.ohms = math.inf
        leaf.push = HAND
        run(plant, 1.0)
        assert (leaf.place > 0.0) == free
        assert (leaf.turns, leaf.current, leaf.emf()) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("kind", ALL)
def test_a_released_leaf_moves_as_the_bare_leaf_does_whatever_its_drive(kind: str) -> None:
    """Closed form of J dw/dt = T - c w: w = T / c (1 - exp(-c t / J)), with nothing of the motor in J."""
    spec = ALL[kind][0]
    plant, leaf = released(ALL[kind])
    leaf.push = HAND
    run(plant, 0.8)
    torque = HAND * spec.lever - spec.coulomb
    speed = torque / spec.viscous * (1.0 - math.exp(-spec.viscous * 0.8 / spec.moment))
    assert leaf.speed == pytest.approx(speed, rel=1e-6)


@pytest.mark.parametrize("kind", SWINGS)
def test_wind_moves_a_released_leaf_and_not_one_that_its_drive_holds(kind: str) -> None:
    plant, leaf = one(*SWINGS[kind], wind=12.0)
    run(plant, 3.0)
    assert leaf.place == 0.0
    leaf.released = True
    run(plant, 3.0)
    assert leaf.place > 0.1


@pytest.mark.parametrize("kind", ALL)
def test_a_released_drive_runs_light_and_leaves_the_leaf_alone(kind: str) -> None:
    plant, leaf = released(ALL[kind])
    drive(leaf, 24.0, limit=8.0)
    run(plant, 1.0)
    motor = ALL[kind][1].motor
    assert (leaf.place, leaf.current) == (0.0, 0.0)
    assert leaf.turns == pytest.approx(24.0 / motor.constant / (2.0 * math.pi), rel=1e-9)
    assert leaf.emf() == pytest.approx(24.0)


@pytest.mark.parametrize("kind", ALL)
def test_what_a_hand_moved_is_never_counted(kind: str) -> None:
    """Coupled again, the shaft goes on from where it stood: position is lost by what the hand moved."""
    plant, leaf = released(ALL[kind])
    leaf.push = HAND
    run(plant, 1.0)
    leaf.push = 0.0
    run(plant, 20.0)
    moved = leaf.place
    assert moved > 0.1
    leaf.released = False
    run(plant, 0.1)
    assert (leaf.place, leaf.turns) == (moved, 0.0)
    drive(leaf, 24.0, limit=8.0)
    run(plant, 0.5)
    assert leaf.place > moved
    assert leaf.turns > 0.0


@FEW
@given(
    kind=st.sampled_from(sorted(ALL)),
    push=st.floats(-150.0, 150.0),
    start=st.floats(0.2, 1.2),
    speed=st.floats(-0.4, 0.4),
)
def test_a_released_leaf_gains_no_more_than_the_hand_gives(
    kind: str, push: float, start: float, speed: float
) -> None:
    spec, _ = ALL[kind]
    plant, leaf = released(ALL[kind])
    leaf.put(start, speed)
    leaf.push = push
    for _ in range(200):
        at, before = leaf.place, stored(leaf, spec)
        plant.step()
        given_ = push * spec.lever * (leaf.place - at)
        assert stored(leaf, spec) <= before + given_ + 1e-9 * (1.0 + before + abs(given_))


@FEW
@given(kind=st.sampled_from(sorted(ALL)), start=st.floats(0.3, 1.2), speed=st.floats(-0.4, 0.4))
def test_coupling_a_moving_leaf_only_takes_energy(kind: str, start: float, speed: float) -> None:
    spec, spec_drive = ALL[kind]
    plant, leaf = released((spec, spec_drive))
    leaf.ohms = math.inf
    leaf.put(start, speed)
    plant.step()
    before = stored(leaf, spec)
    leaf.released = False
    plant.step()
    assert stored(leaf, spec) <= before * (1.0 + 1e-12)
    run(plant, 3.0)
    assert leaf.speed == 0.0


def stored(leaf: Leaf, spec: LeafSpec | SlideSpec) -> float:
    """Energy, J, of the leaf alone and of its stops."""
    depth = max(0.0, -leaf.place, leaf.place - spec.reach) * spec.lever
    return 0.5 * spec.moment * leaf.speed**2 + 0.5 * spec.stop_stiffness * depth**2
