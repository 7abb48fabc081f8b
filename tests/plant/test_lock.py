"""The electric lock: holds at shut, draws when fed and free, jams under load on its side."""

from __future__ import annotations

from dataclasses import replace

import pytest

from simgate.plant.leaf import Leaf
from simgate.plant.lock import Lock
from simgate.plant.plant import Plant
from simgate.plant.spec import LockSpec, PlantSpec
from tests.plant.build import FREE_LEAF, HINGE_DRIVE, LEAF

LOCK = LockSpec(leaf=0, play=0.004, volts=24.0, pull=40.0, spring=10.0, friction=0.4)


def locked(wind: float = 0.0, spec: LockSpec = LOCK) -> tuple[Plant, Leaf, Lock]:
    """A shut leaf behind its bolt, on a drive that can be released by hand."""
    plant = Plant(PlantSpec(((LEAF, HINGE_DRIVE),), wind=wind, lock=spec))
    assert plant.lock is not None
    return plant, plant.leaves[0], plant.lock


def run(plant: Plant, ms: int) -> None:
    for _ in range(ms // 10):
        plant.step()


def pull_open(leaf: Leaf, volts: float = 24.0, limit: float = 3.0) -> None:
    leaf.powered, leaf.volts, leaf.limit = True, volts, limit


def test_a_leaf_that_pulls_against_the_bolt_stalls_at_shut() -> None:
    plant, leaf, lock = locked()
    pull_open(leaf)
    run(plant, 3_000)
    assert lock.holds
    assert 0.0 < leaf.place * LEAF.width < 0.010
    assert abs(leaf.speed) < 1e-3
    assert leaf.bolt_force > 100.0
    assert leaf.current == pytest.approx(3.0)


def test_fed_first_it_draws_and_the_leaf_opens() -> None:
    plant, leaf, lock = locked()
    lock.volts = 24.0
    run(plant, 20)
    assert not lock.holds
    pull_open(leaf)
    run(plant, 3_000)
    assert leaf.place > 0.1


def test_under_load_on_its_side_it_does_not_draw_until_the_leaf_is_pressed_shut() -> None:
    """Coulomb: F <= (pull - spring) / mu = (40 - 10) / 0.4 = 75 N at rated volts."""
    plant, leaf, lock = locked()
    lock.volts = 24.0
    assert lock.most_side_load() == pytest.approx(75.0)
    lock.volts = 0.0
    pull_open(leaf)
    run(plant, 1_000)
    lock.volts = 24.0
    run(plant, 1_000)
    assert lock.holds
    leaf.volts = -12.0  # the release stroke
    run(plant, 400)
    assert not lock.holds


@pytest.mark.parametrize(("force", "draws"), [(60.0, True), (74.0, True), (76.0, False), (200.0, False)])
def test_it_draws_up_to_the_load_that_friction_allows(force: float, draws: bool) -> None:
    """75 N, as above: a leaf without friction of its own, pushed by hand."""
    plant = Plant(PlantSpec(((FREE_LEAF, HINGE_DRIVE),), lock=LOCK))
    (leaf,), lock = plant.leaves, plant.lock
    assert lock is not None
    leaf.released = True
    leaf.push = force
    run(plant, 20_000)
    assert leaf.bolt_force == pytest.approx(force, abs=0.5)
    lock.volts = 24.0
    run(plant, 20)
    assert lock.holds is not draws


def test_weak_volts_pull_with_their_square() -> None:
    plant, _, lock = locked()
    lock.volts = 12.0  # 40 N / 4 = 10 N: just the spring
    assert lock.most_side_load() == pytest.approx(0.0)
    lock.volts = 11.0
    run(plant, 100)
    assert lock.holds
    lock.volts = 12.5
    run(plant, 100)
    assert not lock.holds


def test_let_go_it_falls_in_behind_a_shut_leaf_and_lets_a_closing_one_pass() -> None:
    plant, leaf, lock = locked()
    lock.volts = 24.0
    run(plant, 20)
    pull_open(leaf)
    run(plant, 2_000)
    lock.volts = 0.0
    run(plant, 20)
    passing = lock.holds
    leaf.volts = -24.0
    run(plant, 10_000)
    assert (passing, lock.holds) == (False, True)
    assert leaf.place * LEAF.width <= LOCK.play


def test_a_still_plant_may_be_left_alone_and_wakes_when_the_coil_is_fed() -> None:
    plant, _, lock = locked()
    run(plant, 100)
    assert plant.still()
    before = plant.state()
    run(plant, 1_000)
    assert plant.state() == before
    lock.volts = 24.0
    assert not plant.still()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"leaf": 2}, "lock"),
        ({"play": 0.0}, "play"),
        ({"pull": -1.0}, "pull"),
        ({"friction": -0.1}, "friction"),
    ],
)
def test_a_lock_that_cannot_be_built_is_refused(change: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(LOCK, **change)  # type: ignore[arg-type]


def test_a_lock_on_a_leaf_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match="one leaf"):
        PlantSpec(((LEAF, HINGE_DRIVE),), lock=replace(LOCK, leaf=1))
