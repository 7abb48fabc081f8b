"""What must hold for every leaf: no energy from nowhere, stops that stop, mirror images, rest that stays."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant.leaf import Leaf
from simgate.plant.spec import DriveSpec, HingeLinkage, LeafSpec, SlideSpec
from tests.plant.build import (
    ARM_DRIVE,
    FEW,
    LEAF,
    MOTOR,
    OIL_DRIVE,
    RACK_DRIVE,
    RAM_DRIVE,
    SLIDE,
    Watch,
    drive,
    free,
    one,
    run,
)

LEAVES = st.builds(
    LeafSpec,
    width=st.floats(1.0, 3.0),
    height=st.just(1.8),
    mass=st.floats(30.0, 200.0),
    open_angle=st.floats(1.0, 2.0),
    viscous=st.floats(0.0, 50.0),
    coulomb=st.floats(0.0, 60.0),
    stop_stiffness=st.floats(1e5, 1e6),
    stop_damping=st.floats(0.0, 4e3),
)
MOTORS = st.builds(
    replace,
    st.just(MOTOR),
    resistance=st.floats(0.3, 5.0),
    forward_efficiency=st.floats(0.2, 1.0),
    back_efficiency=st.floats(0.2, 1.0),
    holding=st.floats(0.0, 300.0),
    no_load=st.sampled_from([0.0, 0.5, 2.0]),
)
LOSSY_OIL = replace(OIL_DRIVE, motor=replace(OIL_DRIVE.motor, no_load=1.0))
LOSSY_RACK = replace(RACK_DRIVE, motor=replace(RACK_DRIVE.motor, no_load=0.8))
DRIVES = st.one_of(
    st.sampled_from([RAM_DRIVE, ARM_DRIVE, OIL_DRIVE, LOSSY_OIL]),
    st.builds(DriveSpec, MOTORS, st.just(HingeLinkage())),
)
Body = tuple[float, float, float, float]
BODIES = st.tuples(st.floats(0.3, 1.0), st.floats(0.1, 1.0), st.floats(1e4, 6e5), st.floats(0.0, 2e3))


def energy(leaf: Leaf, spec: LeafSpec, inertia: float, body: tuple[Body, float] | None) -> float:
    """Kinetic energy and that of pressed springs, J."""
    total = 0.5 * inertia * leaf.speed**2
    depth = max(0.0, -leaf.angle, leaf.angle - spec.open_angle) * spec.width
    total += 0.5 * spec.stop_stiffness * depth**2
    if body is not None:
        (radius, angle, stiffness, _), side = body
        total += 0.5 * stiffness * (radius * max(0.0, side * (leaf.angle - angle))) ** 2
    return total


@FEW
@given(
    spec=LEAVES,
    motor=MOTORS,
    ohms=st.sampled_from([0.0, 2.0, math.inf]),
    released=st.booleans(),
    start=st.floats(0.0, 1.0),
    speed=st.floats(-0.6, 0.6),
    body=st.none() | BODIES,
)
def test_an_unpowered_leaf_never_gains_energy(
    spec: LeafSpec, motor: object, ohms: float, released: bool, start: float, speed: float, body: Body | None
) -> None:
    assert isinstance(motor, type(MOTOR))
    _, leaf = one(spec, DriveSpec(motor, HingeLinkage()))
    leaf.put(start)
    leaf.ohms, leaf.released = ohms, released
    met = None
    if body is not None:
        leaf.place_body(*body)
        met = (body, 1.0 if body[1] >= start else -1.0)
    leaf.put(start, speed)
    inertia = spec.moment + (0.0 if released else motor.rotor_inertia * motor.reduction**2)
    watch = Watch(leaf)
    before = energy(leaf, spec, inertia, met)
    first = before
    for _ in range(150):
        watch.scan()
        after = energy(leaf, spec, inertia, met)
        assert after <= before + 1e-10 * first
        before = after


@FEW
@given(spec=LEAVES, drive_spec=DRIVES, volts=st.floats(-24.0, 24.0), push=st.floats(-150.0, 150.0))
def test_the_leaf_stays_between_its_stops(
    spec: LeafSpec, drive_spec: DriveSpec, volts: float, push: float
) -> None:
    """Beyond a stop only by what the stop's spring gives way: force over stiffness."""
    plant, leaf = one(spec, drive_spec)
    drive(leaf, volts, limit=8.0)
    leaf.push = push
    most = 0.0
    for _ in range(300):
        plant.step()
        most = max(most, leaf.peak_stop_force)
        depth = most / spec.stop_stiffness / spec.width + 1e-9
        assert -depth <= leaf.angle <= spec.open_angle + depth


@FEW
@given(
    drive_spec=st.builds(DriveSpec, MOTORS, st.just(HingeLinkage())),
    volts=st.floats(0.0, 24.0),
    push=st.floats(-100.0, 100.0),
    offset=st.floats(0.1, 0.7),
)
def test_opening_and_shutting_are_mirror_images(
    drive_spec: DriveSpec, volts: float, push: float, offset: float
) -> None:
    legs = []
    for way in (1.0, -1.0):
        plant, leaf = one(LEAF, drive_spec)
        middle = LEAF.open_angle / 2.0
        leaf.put(middle - way * offset)
        leaf.place_body(1.0, middle + way * 0.2)
        drive(leaf, way * volts, limit=4.0)
        leaf.push = way * push
        run(plant, 2.0)
        legs.append((way * (leaf.angle - middle), way * leaf.speed, way * leaf.current, leaf.peak_body_force))
    assert legs[0] == pytest.approx(legs[1], rel=1e-6, abs=1e-9)


class Hands:
    """Random hands on one leaf."""

    def __init__(self, numbers: list[tuple[int, float]]) -> None:
        self.numbers = numbers

    def apply(self, leaf: Leaf, at: int) -> None:
        kind, amount = self.numbers[at]
        if kind == 0:
            drive(leaf, 24.0 * amount, limit=5.0)
        elif kind == 1:
            leaf.push = 100.0 * amount
        elif kind == 2:
            leaf.released = amount > 0.0
        elif kind == 3:
            leaf.place_body(1.5, 0.8 + 0.7 * amount, damping=100.0)
        elif kind == 4:
            leaf.volts = 0.0
        else:
            leaf.ohms = math.inf if amount > 0.5 else 0.3


HANDS = st.builds(
    Hands,
    st.lists(st.tuples(st.integers(0, 5), st.floats(-1.0, 1.0)), min_size=6, max_size=6),
)


@FEW
@given(hands=HANDS, drive_spec=DRIVES, slope=st.sampled_from([0.0, 25.0]), wind=st.sampled_from([0.0, 6.0]))
def test_glides_and_steps_give_the_same_floats(
    hands: Hands, drive_spec: DriveSpec, slope: float, wind: float
) -> None:
    """The fast path is the slow path, bit for bit."""
    spec = replace(LEAF, slope=slope, slope_at=0.8)
    plant, quick = one(spec, drive_spec, wind=wind)
    _, slow = one(spec, drive_spec, wind=wind)
    watch = Watch(slow, wind)
    for at in range(6):
        hands.apply(quick, at)
        hands.apply(slow, at)
        for _ in range(40):
            plant.step()
            watch.scan()
            assert [x.hex() for x in quick.state()] == [x.hex() for x in slow.state()]


@FEW
@given(hands=HANDS, slope=st.sampled_from([0.0, 25.0]), wind=st.sampled_from([0.0, 6.0]))
def test_glides_and_steps_of_a_slide_give_the_same_floats(hands: Hands, slope: float, wind: float) -> None:
    spec = replace(SLIDE, slope=slope, mass=60.0)
    plant, quick = one(spec, LOSSY_RACK, wind=wind)
    _, slow = one(spec, LOSSY_RACK, wind=wind)
    watch = Watch(slow, wind)
    for at in range(6):
        hands.apply(quick, at)
        hands.apply(slow, at)
        for _ in range(40):
            plant.step()
            watch.scan()
            assert [x.hex() for x in quick.state()] == [x.hex() for x in slow.state()]


KINDS = st.one_of(st.tuples(st.just(LEAF), DRIVES), st.just((SLIDE, LOSSY_RACK)))


@FEW
@given(hands=HANDS, kind=KINDS, wind=st.sampled_from([0.0, -6.0, 6.0]))
def test_a_still_plant_does_not_change(
    hands: Hands, kind: tuple[LeafSpec | SlideSpec, DriveSpec], wind: float
) -> None:
    """`still` promises that a step changes no float; it is made to do the step, not to skip it."""
    plant, leaf = one(*kind, wind=wind)
    for at in range(6):
        hands.apply(leaf, at)
        for _ in range(60):
            plant.step()
            if plant.still():
                before = plant.state()
                leaf.wake()
                plant.step()
                assert [x.hex() for x in plant.state()] == [x.hex() for x in before]


def test_an_unpowered_plant_comes_to_be_still_and_a_driven_one_does_not() -> None:
    plant, leaf = one()
    run(plant, 0.02)
    assert plant.still()
    drive(leaf, 24.0, limit=8.0)
    assert not plant.still()
    run(plant, 20.0)  # stalled on the open stop, still driven
    assert not plant.still()
    leaf.volts = 0.0
    run(plant, 2.0)
    assert plant.still()
    assert leaf.stop_force > 0.0  # the gear holds the leaf on its stop


def test_whatever_touches_a_still_leaf_wakes_it() -> None:
    plant, leaf = one()
    run(plant, 0.02)
    touches: tuple[Callable[[], None], ...] = (
        lambda: setattr(leaf, "push", 10.0),
        lambda: setattr(leaf, "released", True),
        lambda: leaf.place_body(1.0, 0.3),
        leaf.remove_body,
        lambda: leaf.put(0.4),
        lambda: setattr(plant, "wind", 3.0),
    )
    for touch in touches:
        assert plant.still()
        touch()
        assert not plant.still()
        run(plant, 6.0)


def test_a_free_leaf_without_friction_keeps_its_speed() -> None:
    plant, leaf = free()
    leaf.put(0.1, 0.25)
    run(plant, 4.0)
    assert leaf.speed == 0.25
    assert leaf.angle == pytest.approx(1.1, rel=1e-12)


def test_the_state_names_every_float_in_a_fixed_order() -> None:
    plant, _ = one()
    first = plant.state()
    plant.leaves[0].push = 3.0
    changed = [at for at, (a, b) in enumerate(zip(first, plant.state(), strict=True)) if a != b]
    assert len(changed) == 1


PINNED = ["0x1.6bfccad7691cfp-1", "0x1.c494cf6841d46p+7", "0x1.0ec704aea5ab5p+11"]  # angle, turns, peak


def test_a_run_ends_in_the_same_floats_on_every_python() -> None:
    """Only +, -, *, / take part here, so IEEE 754 fixes every bit; recorded once, tried on 3.11 to 3.13."""
    plant, leaf = one()
    drive(leaf, 24.0, limit=5.0)
    run(plant, 3.0)
    leaf.place_body(1.5, 0.9, damping=100.0)
    run(plant, 3.0)
    drive(leaf, -24.0, limit=5.0, ohms=0.3)
    run(plant, 1.0)
    leaf.volts = 0.0
    run(plant, 0.5)
    ended = [x.hex() for x in (leaf.angle, leaf.turns, leaf.peak_body_force)]
    assert ended == PINNED
