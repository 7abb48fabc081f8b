"""The folding arm: circle intersection in complex numbers, finite differences, virtual work, dead centres."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from simgate.plant.linkage import Arm
from simgate.plant.spec import ArmLinkage, PlantSpec
from tests.plant.build import ARM, ARM_DRIVE, LEAF, MOTOR, drive, one, run

WIDTH, OPEN = 2.0, 1.9
SHARES = st.floats(0.0, 1.0)
ARMS = st.builds(
    ArmLinkage,
    a=st.floats(0.0, 0.25),
    b=st.floats(0.05, 0.35),
    arm=st.floats(0.2, 0.8),
    rod=st.floats(0.2, 0.8),
    along=st.floats(0.45, 1.2),
    off=st.floats(0.0, 0.1),
)


def bracket(spec: ArmLinkage, angle: float) -> complex:
    return complex(spec.along, spec.off) * cmath.exp(1j * angle)


def elbow(spec: ArmLinkage, angle: float) -> complex:
    """Where the circles of arm and rod meet, on the left of the line from output to bracket (textbook)."""
    post, leaf = complex(-spec.a, spec.b), bracket(spec, angle)
    span = abs(leaf - post)
    at_post = math.acos((spec.arm**2 + span**2 - spec.rod**2) / (2.0 * spec.arm * span))
    return post + spec.arm * cmath.exp(1j * (cmath.phase(leaf - post) + at_post))


def cross(a: complex, b: complex) -> float:
    return (a.conjugate() * b).imag


def built(spec: ArmLinkage, width: float = WIDTH, opens: float = OPEN) -> bool:
    try:
        spec.check_reach(width, opens)
    except ValueError:
        return False
    return True


def closes(spec: ArmLinkage, angle: float) -> bool:
    """Whether arm and rod can meet at all."""
    span = abs(bracket(spec, angle) + complex(spec.a, -spec.b))
    return abs(spec.arm - spec.rod) < span < spec.arm + spec.rod


@given(spec=ARMS, share=SHARES)
def test_the_output_turns_as_the_elbow_does_where_two_circles_meet(spec: ArmLinkage, share: float) -> None:
    assume(built(spec))
    post, angle = complex(-spec.a, spec.b), share * OPEN
    assert abs(elbow(spec, angle) - bracket(spec, angle)) == pytest.approx(spec.rod, rel=1e-9)
    turned = cmath.phase((elbow(spec, angle) - post) / (elbow(spec, 0.0) - post))
    difference = Arm(spec).at(angle)[0] - turned
    assert math.remainder(difference, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-8)


@given(spec=ARMS, share=SHARES)
def test_the_ratio_is_that_of_the_moment_arms_of_the_rod(spec: ArmLinkage, share: float) -> None:
    """Statics: gear torque over the rod's lever at the output is its pull; times its lever at the hinge."""
    assume(built(spec))
    angle = share * OPEN
    joint, leaf, post = elbow(spec, angle), bracket(spec, angle), complex(-spec.a, spec.b)
    line = (joint - leaf) / abs(joint - leaf)
    ratio = Arm(spec).at(angle)[1]
    assert ratio == pytest.approx(cross(leaf, line) / cross(joint - post, line), rel=1e-8)
    assert ratio > 0.0


@given(spec=ARMS, share=SHARES)
def test_ratio_and_bend_are_the_slopes_of_the_turned_angle(spec: ArmLinkage, share: float) -> None:
    assume(built(spec))
    arm, h, angle = Arm(spec), 1e-5, share * OPEN
    low, here, high = arm.at(angle - h), arm.at(angle), arm.at(angle + h)
    steep = 1e-4 * (1.0 + abs(here[2]))  # finite differences are worth less where the ratio changes fast
    assert here[1] == pytest.approx((high[0] - low[0]) / (2.0 * h), rel=1e-5, abs=steep)
    assert here[2] == pytest.approx((high[1] - low[1]) / (2.0 * h), rel=1e-3, abs=steep)


def test_four_bars_of_a_parallelogram_turn_together() -> None:
    """Textbook: rod as long as the bar between pivots, arm as long as the lever: ratio 1 everywhere."""
    arm = Arm(ArmLinkage(a=0.0, b=0.3, arm=0.5, rod=0.3, along=0.5, off=0.0))
    for angle in (-1.2, -0.6, 0.0, 0.5, 1.2):
        turned, ratio, bend = arm.at(angle)
        assert (turned, ratio, bend) == pytest.approx((angle, 1.0, 0.0), abs=1e-9)


@given(spec=ARMS)
def test_at_a_dead_centre_the_rod_points_at_the_hinge(spec: ArmLinkage) -> None:
    for angle in spec.dead_centres():
        if closes(spec, angle):
            assert cross(bracket(spec, angle), elbow(spec, angle)) == pytest.approx(0.0, abs=1e-6)


@given(spec=ARMS, first=st.floats(-0.3, 0.3), travel=st.floats(0.5, 2.5))
def test_the_span_never_leaves_its_bounds(spec: ArmLinkage, first: float, travel: float) -> None:
    least, most = spec.spans(first, first + travel)
    spans = [abs(bracket(spec, first + travel * n / 40) + complex(spec.a, -spec.b)) for n in range(41)]
    assert least - 1e-9 <= min(spans)
    assert max(spans) <= most + 1e-9
    assert min(spans) - least < 0.01
    assert most - max(spans) < 0.01


@given(spec=ARMS)
def test_what_is_built_has_leverage_all_the_way_and_what_is_refused_has_not(spec: ArmLinkage) -> None:
    """By looking at 200 angles, margins included, with the circles alone."""
    angles = [-0.02 + (OPEN + 0.04) * n / 200 for n in range(201)]
    if built(spec):
        assert all(closes(spec, angle) for angle in angles)
        assert all(cross(bracket(spec, angle), elbow(spec, angle)) > 0.0 for angle in angles)
    else:
        flat = [abs(Arm(spec).at(angle)[1]) > 20.0 for angle in angles]
        bad = [not closes(spec, a) or cross(bracket(spec, a), elbow(spec, a)) < 0.05 for a in angles]
        short = spec.along > WIDTH or math.hypot(spec.a, spec.b) >= math.hypot(spec.along, spec.off)
        assert short or any(bad) or any(flat)


REFUSED = {
    "stretched": (replace(ARM, rod=0.3), 1.5, "in line, a dead centre"),
    "folded flat": (replace(ARM, arm=0.3, rod=0.7), 1.5, "folded flat"),
    "points at the hinge": (
        ArmLinkage(0.23, 0.27, 0.3, 0.56, 0.59, 0.23),
        2.6,
        "at 2.561 rad, where the rod points",
    ),
    "past the bracket": (
        ArmLinkage(0.136, 0.387, 1.24, 0.6175, 0.4925, 0.232),
        0.05,
        "past the leaf bracket",
    ),
    "half a turn": (ARM, 3.2, "half a turn"),
    "off the leaf": (replace(ARM, along=2.5, rod=2.4), 1.5, "must be on the leaf"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_an_arm_that_cannot_work_is_refused_in_plain_words(case: str) -> None:
    spec, opens, words = REFUSED[case]
    with pytest.raises(ValueError, match=words):
        PlantSpec(((replace(LEAF, open_angle=opens), replace(ARM_DRIVE, linkage=spec)),))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"a": -0.1}, "bracket a"),
        ({"arm": 0.0}, "folding arm: 0.0 m"),
        ({"rod": math.nan}, "rod"),
        ({"off": -0.1}, "off the leaf"),
        ({"along": 0.1}, "farther out"),
        ({"a": 0.0, "b": 0.0}, "on the hinge"),
    ],
)
def test_arms_that_no_one_could_cut_are_refused(wrong: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(ARM, **wrong)


def test_an_arm_stalls_against_a_push_as_its_lever_says() -> None:
    """Virtual work: gear torque times the ratio, over the leaf's width."""
    for angle in (0.1, 1.3):
        joint, leaf_at, post = elbow(ARM, angle), bracket(ARM, angle), complex(-ARM.a, ARM.b)
        lever = cross(leaf_at, joint - leaf_at) / cross(joint - post, joint - leaf_at)
        gear = 3.0 * MOTOR.constant * MOTOR.reduction * MOTOR.forward_efficiency
        newton = gear * lever / LEAF.width
        for share, moves in ((0.98, True), (1.02, False)):
            plant, leaf = one(LEAF, ARM_DRIVE)
            leaf.put(angle)
            drive(leaf, 24.0, limit=3.0)
            leaf.push = -share * newton + LEAF.coulomb / LEAF.width
            run(plant, 0.1)
            assert (leaf.angle > angle) == moves


def test_an_arm_opens_and_shuts_and_its_turns_come_back() -> None:
    plant, leaf = one(LEAF, ARM_DRIVE)
    drive(leaf, 24.0, limit=8.0)
    run(plant, 25.0)
    assert leaf.angle == pytest.approx(LEAF.open_angle, abs=0.002)
    assert leaf.turns == pytest.approx(Arm(ARM).at(leaf.angle)[0] * MOTOR.reduction / (2.0 * math.pi))
    drive(leaf, -24.0, limit=8.0)
    run(plant, 25.0)
    assert leaf.angle == pytest.approx(0.0, abs=0.002)
    assert abs(leaf.turns) < 5.0


def test_an_arm_forced_far_past_its_stop_stays_finite() -> None:
    """No drive could do it; a wrong site file may ask for it, and must not end the program."""
    for angle in (-1.0, 2.5, 3.5):
        assert all(math.isfinite(number) for number in Arm(ARM).at(angle))
