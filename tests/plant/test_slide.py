"""A leaf that slides: the blow it gives, the line of its rack drive, what wind and slope do to it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant import contact, wind
from simgate.plant.leaf import Leaf
from simgate.plant.spec import DriveSpec, LeafKind, PlantSpec, RackLinkage, SlideSpec
from tests.plant.build import (
    FEW,
    FREE_SLIDE,
    HINGE_DRIVE,
    LEAF,
    RACK,
    RACK_DRIVE,
    SLIDE,
    SLIDE_MOTOR,
    Watch,
    drive,
    free,
    one,
    run,
)

GAUGE = 5.0e5  # N/m, 500 N/mm (F11)
GEAR = SLIDE_MOTOR.constant * SLIDE_MOTOR.reduction / RACK.pinion_radius  # N/A at the rack, V s/m


def test_the_plant_says_which_leaf_swings_and_which_slides() -> None:
    assert one()[1].kind is LeafKind.SWINGS
    assert one(SLIDE, RACK_DRIVE)[1].kind is LeafKind.SLIDES
    assert (LEAF.reach, SLIDE.reach) == (LEAF.open_angle, SLIDE.travel)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_heavy_slide_on_the_bare_gauge(way: float) -> None:
    """M12, from v sqrt(k m): 400 kg at 0.2 m/s on 500 N/mm: 2828 N (and 8.0 J). Every metre of it is mass."""
    assert contact.peak_coasting(400.0, 0.2, GAUGE) == pytest.approx(2828.0, abs=0.5)
    plant, leaf = free(FREE_SLIDE)
    leaf.put(2.0, way * 0.2)
    leaf.place_body(1.0, 2.0 + way * 0.1, stiffness=GAUGE)
    run(plant, 1.0)
    assert leaf.peak_body_force == pytest.approx(2828.0, rel=0.002)
    assert leaf.peak_body_force**2 / (2.0 * GAUGE) == pytest.approx(8.0, rel=0.004)
    assert leaf.speed == pytest.approx(-way * 0.2, rel=1e-3)


def test_a_slide_settles_at_the_speed_of_its_motor_line() -> None:
    """Closed form: V = g v + R i and eff g i = friction + viscous v, with g = k N / pinion radius."""
    for way in (1.0, -1.0):
        plant, leaf = one(replace(SLIDE, travel=40.0), RACK_DRIVE)
        leaf.put(20.0)
        drive(leaf, way * 24.0)
        run(plant, 20.0)
        pull = SLIDE_MOTOR.forward_efficiency * GEAR / SLIDE_MOTOR.resistance
        speed = (pull * 24.0 - SLIDE.coulomb) / (pull * GEAR + SLIDE.viscous)
        assert leaf.speed == pytest.approx(way * speed, rel=1e-6)
        amps = (24.0 - GEAR * speed) / SLIDE_MOTOR.resistance
        assert leaf.current == pytest.approx(way * amps, rel=1e-5)


def test_a_slide_stalls_against_a_push_as_its_pinion_says() -> None:
    """Virtual work: torque at the pinion over its radius."""
    newton = 3.0 * GEAR * SLIDE_MOTOR.forward_efficiency
    for share, moves in ((0.98, True), (1.02, False)):
        plant, leaf = one(SLIDE, RACK_DRIVE)
        leaf.put(1.0)
        drive(leaf, 24.0, limit=3.0)
        leaf.push = -share * newton + SLIDE.coulomb
        run(plant, 0.1)
        assert (leaf.place > 1.0) == moves


def test_a_slide_on_its_stop_is_pressed_with_the_stall_force() -> None:
    """Closed form, without losses: what a lossy gear has pressed it does not give back all the way."""
    lossless = replace(SLIDE_MOTOR, forward_efficiency=1.0, back_efficiency=1.0)
    plant, leaf = one(replace(FREE_SLIDE, stop_damping=2.0e4), DriveSpec(lossless, RACK))
    leaf.put(SLIDE.travel)
    drive(leaf, 24.0, limit=5.0)
    run(plant, 3.0)
    assert leaf.stop_force == pytest.approx(5.0 * GEAR, rel=1e-4)


def test_turns_count_the_pinion_along_the_rack() -> None:
    plant, leaf = one(SLIDE, RACK_DRIVE)
    drive(leaf, 24.0, limit=8.0)
    run(plant, 3.0)
    assert leaf.place > 0.5
    turns = leaf.place / (2.0 * math.pi * RACK.pinion_radius) * SLIDE_MOTOR.reduction
    assert leaf.turns == pytest.approx(turns, rel=1e-9)


def test_the_gear_holds_a_slide_that_is_pushed_with_less_than_its_holding_torque() -> None:
    hold = SLIDE_MOTOR.holding / RACK.pinion_radius + SLIDE.coulomb
    for share, moves in ((0.99, False), (1.02, True)):
        plant, leaf = one(SLIDE, RACK_DRIVE)
        leaf.put(1.0)
        leaf.ohms = math.inf
        leaf.push = share * hold
        run(plant, 0.5)
        assert (leaf.place > 1.0) == moves


def test_a_slope_runs_a_released_slide_open_with_the_same_force_everywhere() -> None:
    """Weight on an incline: a = F / m, s = F t^2 / 2m."""
    plant, leaf = free(replace(FREE_SLIDE, slope=40.0))
    run(plant, 4.0)
    assert leaf.place == pytest.approx(40.0 / 400.0 * 4.0**2 / 2.0, rel=1e-9)
    plant, leaf = free(replace(SLIDE, slope=-(SLIDE.coulomb - 1.0)))
    leaf.put(2.0)
    run(plant, 1.0)
    assert (leaf.place, leaf.speed) == (2.0, 0.0)


def test_wind_does_not_move_a_slide_but_rubs_it_on_its_guides() -> None:
    """V7's form: 10 m/s on 4.5 x 1.8 m, 0.3 solid, c 1.2: 182 N, of which a tenth is friction."""
    force = wind.force(10.0, 1.2, 4.5 * 1.8 * 0.3)
    assert force == pytest.approx(182.25)
    for blow in (10.0, -10.0):
        for share, moves in ((0.99, False), (1.03, True)):
            plant, leaf = one(SLIDE, RACK_DRIVE, wind=blow)
            leaf.put(1.0)
            leaf.released = True
            leaf.push = share * (SLIDE.coulomb + 0.1 * force)
            run(plant, 0.5)
            assert (leaf.place > 1.0) == moves


def test_a_released_slide_is_pushed_by_hand_and_its_motor_stands() -> None:
    plant, leaf = one(SLIDE, RACK_DRIVE)
    leaf.released = True
    leaf.push = 150.0
    run(plant, 2.0)
    assert leaf.place == pytest.approx((150.0 - SLIDE.coulomb) / SLIDE.mass * 2.0**2 / 2.0, rel=0.1)
    assert (leaf.turns, leaf.current) == (0.0, 0.0)


SLIDES = st.builds(
    SlideSpec,
    travel=st.floats(2.0, 6.0),
    width=st.just(4.5),
    height=st.just(1.8),
    mass=st.floats(60.0, 800.0),
    viscous=st.floats(0.0, 100.0),
    coulomb=st.floats(0.0, 200.0),
    stop_stiffness=st.floats(1e5, 1e6),
    stop_damping=st.floats(0.0, 4e3),
)


def energy(leaf: Leaf, spec: SlideSpec, mass: float, body: tuple[float, float, float] | None) -> float:
    """Kinetic energy and that of pressed springs, J."""
    depth = max(0.0, -leaf.place, leaf.place - spec.travel)
    total = 0.5 * mass * leaf.speed**2 + 0.5 * spec.stop_stiffness * depth**2
    if body is not None:
        at, side, stiffness = body
        total += 0.5 * stiffness * max(0.0, side * (leaf.place - at)) ** 2
    return total


@FEW
@given(
    spec=SLIDES,
    released=st.booleans(),
    ohms=st.sampled_from([0.0, 2.0, math.inf]),
    holding=st.sampled_from([0.0, 15.0]),
    start=st.floats(0.0, 2.0),
    speed=st.floats(-0.6, 0.6),
    body=st.none() | st.tuples(st.floats(0.1, 1.9), st.floats(1e4, 6e5), st.floats(0.0, 2e3)),
)
def test_an_unpowered_slide_never_gains_energy(
    spec: SlideSpec,
    released: bool,
    ohms: float,
    holding: float,
    start: float,
    speed: float,
    body: tuple[float, float, float] | None,
) -> None:
    motor = replace(SLIDE_MOTOR, holding=holding)
    _, leaf = one(spec, DriveSpec(motor, RACK))
    leaf.put(start)
    leaf.ohms, leaf.released = ohms, released
    met = None
    if body is not None:
        at, stiffness, damping = body
        leaf.place_body(1.0, at, stiffness, damping)
        met = (at, 1.0 if at >= start else -1.0, stiffness)
    leaf.put(start, speed)
    mass = spec.mass
    if not released:
        mass += motor.rotor_inertia * (motor.reduction / RACK.pinion_radius) ** 2
    watch = Watch(leaf)
    before = first = energy(leaf, spec, mass, met)
    for _ in range(150):
        watch.scan()
        after = energy(leaf, spec, mass, met)
        assert after <= before + 1e-10 * first
        before = after


def test_opening_and_shutting_are_mirror_images() -> None:
    legs = []
    for way in (1.0, -1.0):
        plant, leaf = one(SLIDE, RACK_DRIVE)
        leaf.put(2.0 - way)
        leaf.place_body(1.0, 2.0 + way * 0.2)
        drive(leaf, way * 20.0, limit=6.0)
        run(plant, 6.0)
        legs.append((way * (leaf.place - 2.0), way * leaf.speed, way * leaf.current, leaf.peak_body_force))
    assert legs[0][3] > 100.0
    assert legs[0] == pytest.approx(legs[1], rel=1e-6, abs=1e-9)


def test_what_does_not_go_together_is_refused_in_plain_words() -> None:
    with pytest.raises(ValueError, match="moved by a rack"):
        PlantSpec(((SLIDE, HINGE_DRIVE),))
    with pytest.raises(ValueError, match="needs a hinge drive"):
        PlantSpec(((LEAF, RACK_DRIVE),))
    with pytest.raises(ValueError, match="edge to edge"):
        PlantSpec(((SLIDE, RACK_DRIVE),) * 2, overlap=0.1)
    with pytest.raises(ValueError, match="pinion radius"):
        RackLinkage(0.0)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"travel": 0.0}, "leaf travel: 0.0 m; it must be above 0"),
        ({"mass": math.nan}, "leaf mass"),
        ({"coulomb": -1.0}, "track dry friction"),
        ({"slope": math.inf}, "track slope"),
        ({"guide": -0.1}, "guide friction"),
        ({"solidity": 1.1}, "solidity"),
    ],
)
def test_a_slide_that_cannot_be_is_refused(wrong: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(SLIDE, **wrong)


def test_a_body_on_a_slide_needs_a_place_and_no_radius() -> None:
    _, leaf = one(SLIDE, RACK_DRIVE)
    leaf.place_body(4.0, 1.0)
    assert leaf.body == (4.0, 1.0)
    with pytest.raises(ValueError, match="body place"):
        leaf.place_body(4.0, math.nan)
