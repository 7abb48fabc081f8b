"""The ram's triangle: law of cosines, finite differences and virtual work."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant.linkage import Hinge, Ram
from simgate.plant.spec import RamLinkage
from tests.plant.build import LEAF, RAM, RAM_DRIVE, RAM_MOTOR, drive, one, run

ANGLES = st.floats(0.0, 1.9)
RAMS = st.builds(
    RamLinkage,
    a=st.floats(0.05, 0.3),
    b=st.floats(0.05, 0.3),
    arm=st.floats(0.5, 1.2),
    screw_lead=st.floats(0.004, 0.02),
)


@given(spec=RAMS, angle=ANGLES)
def test_the_length_obeys_the_law_of_cosines(spec: RamLinkage, angle: float) -> None:
    """Textbook: the angle at the hinge is that between post bracket and leaf."""
    at_hinge = math.pi - math.atan2(spec.b, spec.a) - angle
    post = math.hypot(spec.a, spec.b)
    square = post**2 + spec.arm**2 - 2.0 * post * spec.arm * math.cos(at_hinge)
    assert Ram(spec).length(angle) == pytest.approx(math.sqrt(square), rel=1e-12)
    assert spec.least_length(angle) == pytest.approx(math.sqrt(square), rel=1e-12)


@given(spec=RAMS, angle=ANGLES)
def test_ratio_and_bend_are_the_slopes_of_the_turned_angle(spec: RamLinkage, angle: float) -> None:
    ram, h = Ram(spec), 1e-5
    slope = (ram.at(angle + h)[0] - ram.at(angle - h)[0]) / (2.0 * h)
    assert ram.at(angle)[1] == pytest.approx(slope, rel=1e-6, abs=1e-5)
    bend = (ram.at(angle + h)[1] - ram.at(angle - h)[1]) / (2.0 * h)
    assert ram.at(angle)[2] == pytest.approx(bend, rel=1e-5, abs=1e-3)


@given(spec=RAMS)
def test_the_ram_has_no_leverage_at_its_dead_centre_and_some_before(spec: RamLinkage) -> None:
    ram = Ram(spec)
    assert ram.leverage(spec.dead_centre()) == pytest.approx(0.0, abs=1e-12)
    assert ram.leverage(spec.dead_centre() - 0.1) > 0.0


def test_a_right_angled_bracket_has_the_lever_that_a_drawing_shows() -> None:
    """By hand: a 0, b 0.3, arm 0.4: a 3-4-5 triangle, length 0.5 m, lever 0.3 x 0.4 / 0.5 = 0.24 m."""
    ram = Ram(RamLinkage(0.0, 0.3, 0.4, 0.01))
    assert ram.length(0.0) == pytest.approx(0.5)
    assert ram.leverage(0.0) == pytest.approx(0.24)
    assert ram.at(0.0)[0] == 0.0


def test_a_hinge_drive_turns_with_the_leaf() -> None:
    hinge = Hinge()
    assert hinge.at(0.7) == (0.7, 1.0, 0.0)


def test_a_ram_stalls_against_a_push_as_its_lever_says() -> None:
    """Virtual work: gear torque times 2 pi / lead is force along the ram, times its lever over the width."""
    for angle in (0.2, 1.2):
        gear = 3.0 * RAM_MOTOR.constant * RAM_MOTOR.reduction * RAM_MOTOR.forward_efficiency
        newton = gear * 2.0 * math.pi / RAM.screw_lead * Ram(RAM).leverage(angle) / LEAF.width
        for share, moves in ((0.98, True), (1.02, False)):
            plant, leaf = one(LEAF, RAM_DRIVE)
            leaf.put(angle)
            drive(leaf, 24.0, limit=3.0)
            leaf.push = -share * newton + LEAF.coulomb / LEAF.width
            run(plant, 0.1)
            assert (leaf.angle > angle) == moves


def test_a_ram_opens_and_shuts_and_its_turns_come_back() -> None:
    plant, leaf = one(LEAF, RAM_DRIVE)
    drive(leaf, 24.0, limit=6.0)
    run(plant, 25.0)
    assert leaf.angle == pytest.approx(LEAF.open_angle, abs=0.002)
    stroke = Ram(RAM).length(0.0) - Ram(RAM).length(leaf.angle)
    assert leaf.turns == pytest.approx(stroke / RAM.screw_lead * RAM_MOTOR.reduction, rel=1e-9)
    drive(leaf, -24.0, limit=6.0)
    run(plant, 25.0)
    assert leaf.angle == pytest.approx(0.0, abs=0.002)
    assert abs(leaf.turns) < 2.0
