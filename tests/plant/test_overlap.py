"""Two leaves with an overlap: the order in which they move decides whether the gate shuts."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant.leaf import Leaf
from simgate.plant.overlap import Overlap
from simgate.plant.plant import Plant
from simgate.plant.spec import PlantSpec
from tests.plant.build import FEW, FREE_LEAF, HINGE_DRIVE, LEAF, QUARTER, drive, run

OVERLAP, STRIP = 0.04, 0.05
FLUSH = 0.002  # rad; the stops give way by less


def double(overlap: float = OVERLAP) -> tuple[Plant, Leaf, Leaf]:
    plant = Plant(PlantSpec(((LEAF, HINGE_DRIVE), (LEAF, HINGE_DRIVE)), overlap=overlap, strip=STRIP))
    a, b = plant.leaves
    return plant, a, b


def opened() -> tuple[Plant, Leaf, Leaf]:
    plant, a, b = double()
    a.put(QUARTER)
    b.put(QUARTER)
    run(plant, 0.02)
    return plant, a, b


def test_b_before_a_shuts_flush() -> None:
    plant, a, b = opened()
    drive(b, -24.0, limit=4.0)
    run(plant, 2.0)
    drive(a, -24.0, limit=4.0)
    run(plant, 10.0)
    assert abs(a.angle) < FLUSH
    assert abs(b.angle) < FLUSH
    assert plant.overlap_force() == pytest.approx(0.0, abs=1.0)


def test_a_before_b_clashes_and_stays_ajar() -> None:
    """B meets the strip from on top and stands off by its depth, pressing A on its stop."""
    plant, a, b = opened()
    drive(a, -24.0, limit=4.0)
    run(plant, 2.0)
    drive(b, -24.0, limit=4.0)
    run(plant, 10.0)
    assert abs(a.angle) < FLUSH
    assert LEAF.width * math.sin(b.angle) == pytest.approx(STRIP, abs=0.005)
    assert b.speed == 0.0
    assert b.current == pytest.approx(-4.0)
    assert plant.overlap_force() > 100.0


def test_b_cannot_open_under_a_shut_a() -> None:
    """B pushes A's strip, and A's gear holds A: B stalls, the gate stays shut."""
    plant, a, b = double()
    drive(b, 24.0, limit=1.0)
    run(plant, 3.0)
    assert 0.0 <= b.angle < 0.01
    assert plant.overlap_force() > 10.0
    assert a.angle < 0.01


def test_b_opening_takes_a_released_a_along() -> None:
    plant, a, b = double()
    a.released = True
    run(plant, 0.1)
    assert plant.still()
    drive(b, 24.0, limit=4.0)
    run(plant, 0.5)
    assert b.angle > 0.02
    assert LEAF.width * math.sin(a.angle) >= LEAF.width * math.sin(b.angle) - 0.002


def test_a_before_b_opens_freely() -> None:
    plant, a, b = double()
    drive(a, 24.0, limit=4.0)
    run(plant, 1.5)
    assert b.angle == 0.0
    drive(b, 24.0, limit=4.0)
    run(plant, 12.0)
    assert a.angle == pytest.approx(QUARTER, abs=FLUSH)
    assert b.angle == pytest.approx(QUARTER, abs=FLUSH)


def test_without_overlap_the_order_does_not_matter() -> None:
    plant, a, b = double(overlap=0.0)
    a.put(QUARTER)
    b.put(QUARTER)
    drive(a, -24.0, limit=4.0)
    run(plant, 2.0)
    drive(b, -24.0, limit=4.0)
    run(plant, 10.0)
    assert abs(a.angle) < FLUSH
    assert abs(b.angle) < FLUSH


@pytest.mark.parametrize("first", [0, 1])
def test_the_quick_way_near_the_strip_gives_the_same_floats(
    first: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both leaves gliding where they cannot have touched is the joint step, bit for bit."""
    runs = []
    for quick in (True, False):
        if not quick:
            monkeypatch.setattr(Overlap, "_clear", lambda _: False)
        plant, *_ = opened()
        trail = []
        for late in (first, 1 - first):
            drive(plant.leaves[late], -24.0, limit=4.0)
            for _ in range(500):
                plant.step()
                trail.append([x.hex() for x in plant.state()])
        runs.append(trail)
    assert runs[0] == runs[1]


def test_a_clash_let_go_becomes_still_and_stays_so() -> None:
    plant, a, b = opened()
    drive(a, -24.0, limit=4.0)
    run(plant, 2.0)
    drive(b, -24.0, limit=4.0)
    run(plant, 10.0)
    a.volts = b.volts = 0.0
    run(plant, 3.0)
    assert plant.still()
    before = plant.state()
    a.wake()
    b.wake()
    run(plant, 0.05)
    assert [x.hex() for x in plant.state()] == [x.hex() for x in before]


@FEW
@given(speed=st.floats(0.05, 0.3), lead=st.floats(-0.004, 0.12), order=st.sampled_from([0, 1]))
def test_leaves_that_meet_gain_no_energy(speed: float, lead: float, order: int) -> None:
    """Free leaves thrown shut together, in either order: the contact force is equal and opposite."""
    plant = Plant(PlantSpec(((FREE_LEAF, HINGE_DRIVE), (FREE_LEAF, HINGE_DRIVE)), overlap=OVERLAP))
    first, second = plant.leaves[order], plant.leaves[1 - order]
    first.released = second.released = True
    first.put(0.35, -speed)
    second.put(0.35 + lead, -speed)
    start = FREE_LEAF.moment * speed**2
    for _ in range(400):
        plant.step()
        kinetic = 0.5 * FREE_LEAF.moment * (first.speed**2 + second.speed**2)
        assert kinetic <= start * 1.001  # the strip's force is taken at the half step: second order
