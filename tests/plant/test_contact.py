"""The leaf meets a spring: figures of the effective-mass model (textbook oscillator; ISO/TS 15066 form)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant import contact
from simgate.plant.spec import DriveSpec, HingeLinkage
from tests.plant.build import FEW, FREE_LEAF, FREE_MOTOR, LEAF, Watch, drive, free, one, run

GAUGE = 5.0e5  # N/m, 500 N/mm (F11)


def test_a_uniform_slab_has_a_third_of_m_l_squared() -> None:
    """M1, textbook: 100 kg, 2 m gives 133.33 kg m2."""
    assert contact.slab_inertia(100.0, 2.0) == pytest.approx(133.33, abs=0.005)
    assert LEAF.moment == contact.slab_inertia(100.0, 2.0)


def test_the_edge_of_a_slab_feels_like_a_third_of_its_mass() -> None:
    """M3, textbook: m_eff = I / r^2 = 33.33 kg."""
    assert contact.effective_mass(LEAF.moment, 2.0) == pytest.approx(33.33, abs=0.005)


@pytest.mark.parametrize(("speed", "newton"), [(0.1, 408.0), (0.2, 816.0), (0.3, 1225.0)])
def test_the_bare_gauge_reads_v_root_k_m(speed: float, newton: float) -> None:
    """M4, M5: peak of a coasting mass on a spring, in the form of ISO/TS 15066 Annex A."""
    mass = contact.effective_mass(LEAF.moment, 2.0)
    assert contact.peak_coasting(mass, speed, GAUGE) == pytest.approx(newton, abs=0.8)
    plant, leaf = free()
    leaf.put(0.5, speed / 2.0)
    leaf.place_body(2.0, 0.6, stiffness=GAUGE)
    run(plant, 3.0)
    assert leaf.peak_body_force == pytest.approx(contact.peak_coasting(mass, speed, GAUGE), rel=0.002)
    assert leaf.speed == pytest.approx(-speed / 2.0, rel=1e-3)  # nothing is lost in a bare spring


def test_an_edge_in_series_makes_the_blow_softer() -> None:
    """M7 (calculation from M4): gauge and an edge of 20 N/mm, 19.23 N/mm together: 160 N, 240 N."""
    mass = contact.effective_mass(LEAF.moment, 2.0)
    series = GAUGE * 2.0e4 / (GAUGE + 2.0e4)
    assert contact.peak_coasting(mass, 0.2, series) == pytest.approx(160.0, abs=0.5)
    assert contact.peak_coasting(mass, 0.3, series) == pytest.approx(240.0, abs=0.5)


@pytest.mark.parametrize(("newton", "speed"), [(400.0, 0.098), (1400.0, 0.343)])
def test_the_speed_that_just_reaches_a_limit(newton: float, speed: float) -> None:
    """M6, from M4."""
    mass = contact.effective_mass(LEAF.moment, 2.0)
    assert contact.speed_reaching(newton, mass, GAUGE) == pytest.approx(speed, abs=0.0005)


@FEW
@given(
    radius=st.floats(0.3, 2.0),
    speed=st.floats(0.02, 0.4),
    stiffness=st.floats(2.0e4, 6.0e5),
    way=st.sampled_from([1.0, -1.0]),
)
def test_the_kinetic_peak_is_the_same_at_every_radius(
    radius: float, speed: float, stiffness: float, way: float
) -> None:
    """M8: omega sqrt(k I) wherever the body stands, whichever way the leaf comes."""
    plant, leaf = free()
    leaf.put(0.8, way * speed)
    leaf.place_body(radius, 0.8 + way * 0.05, stiffness=stiffness)
    run(plant, 0.05 / speed + 3.0 * contact.time_to_peak(LEAF.moment / radius**2, stiffness))
    assert leaf.peak_body_force == pytest.approx(speed * math.sqrt(stiffness * LEAF.moment), rel=0.005)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_constant_drive_force_adds_to_the_peak(way: float) -> None:
    """M9, energy balance: F0 150 N, 0.1 m/s on the bare gauge: 585 N. The current limit keeps F0 constant."""
    plant, leaf = one(FREE_LEAF, DriveSpec(FREE_MOTOR, HingeLinkage()))
    mass = contact.effective_mass(LEAF.moment, 2.0)
    leaf.put(0.8, way * 0.05)
    leaf.place_body(2.0, 0.8, stiffness=GAUGE)
    if way < 0.0:
        leaf.place_body(2.0, 0.8 - 1e-12, stiffness=GAUGE)
    drive(leaf, way * 24.0, limit=150.0 * 2.0 / (0.06 * 2000.0))
    run(plant, 0.06)
    closed = contact.peak_driven(150.0, mass, 0.1, GAUGE)
    assert closed == pytest.approx(585.0, abs=0.6)
    assert leaf.peak_body_force == pytest.approx(closed, rel=0.002)


def test_the_peak_comes_a_quarter_period_after_touching() -> None:
    """M10, oscillator: 12.8 ms for the slab on the bare gauge."""
    mass = contact.effective_mass(LEAF.moment, 2.0)
    assert contact.time_to_peak(mass, GAUGE) == pytest.approx(0.0128, abs=5e-5)
    _, leaf = free()
    leaf.place_body(2.0, 0.0 + 0.5, stiffness=GAUGE)
    leaf.put(0.5, 0.1)
    watch = Watch(leaf)
    trail = watch.scan() + watch.scan()
    turned = next(seconds for seconds, _, speed in trail if speed <= 0.0)
    assert turned == pytest.approx(contact.time_to_peak(mass, GAUGE), abs=0.001)


def test_a_drive_presses_harder_toward_the_hinge() -> None:
    """M8: static force is T / r; 300 N m at 2.0, 1.0, 0.5 m."""
    for radius in (2.0, 1.0, 0.5):
        plant, leaf = one(FREE_LEAF, DriveSpec(FREE_MOTOR, HingeLinkage()))
        leaf.put(0.5)
        leaf.place_body(radius, 0.5, damping=2.0e4)
        drive(leaf, 24.0, limit=2.5)
        run(plant, 3.0)
        assert leaf.body_force == pytest.approx(300.0 / radius, rel=1e-3)


@pytest.mark.parametrize(
    ("radius", "angle", "stiffness", "damping"),
    [(0.0, 0.5, 1e5, 0.0), (2.1, 0.5, 1e5, 0.0), (1.0, math.nan, 1e5, 0.0), (1.0, 0.5, 0.0, 0.0)],
)
def test_a_body_that_cannot_be_is_refused(
    radius: float, angle: float, stiffness: float, damping: float
) -> None:
    _, leaf = one()
    with pytest.raises(ValueError, match="body"):
        leaf.place_body(radius, angle, stiffness, damping)


def test_a_body_taken_away_is_no_longer_in_the_way() -> None:
    plant, leaf = one()
    leaf.place_body(1.0, 0.2)
    drive(leaf, 24.0, limit=4.0)
    run(plant, 3.0)
    assert leaf.angle == pytest.approx(0.2, abs=0.01)
    assert leaf.body_force > 0.0
    leaf.remove_body()
    run(plant, 3.0)
    assert leaf.body is None
    assert leaf.body_force == 0.0
    assert leaf.angle > 0.5
