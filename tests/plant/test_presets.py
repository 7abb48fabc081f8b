"""The ready drives: each moves, holds and lets go of a leaf of the size that it is for."""

from __future__ import annotations

import math

import pytest

from simgate.plant.presets import presets
from simgate.plant.spec import HingeLinkage, LeafSpec
from tests.plant.build import one, run

LEAVES = {  # width, height, mass: a heavy and a light leaf of ordinary make
    "in-ground": LeafSpec(3.5, 2.0, 350.0, math.pi / 2.0),
    "post-top": LeafSpec(1.8, 1.5, 60.0, math.pi / 2.0),
}


def test_drives_in_the_ground_and_on_the_post_are_there() -> None:
    assert list(presets()) == ["in-ground", "post-top"]
    assert all(preset.about for preset in presets().values())


def test_a_ready_drive_takes_several_tenths_of_an_ampere_with_nothing_to_turn() -> None:
    """Common practice: an unloaded 24 V gearmotor takes some tenths of an ampere, far below its stall."""
    for preset in presets().values():
        motor = preset.motor.spec()
        assert 0.3 <= motor.no_load <= 1.0
        assert motor.no_load < 0.05 * 24.0 / motor.resistance


@pytest.mark.parametrize("name", LEAVES)
def test_a_ready_drive_opens_its_leaf_in_a_usual_time_and_holds_it_there(name: str) -> None:
    """M13 and M14, trade knowledge: 0.1 to 0.3 m/s at the edge means some 9 to 25 s for these leaves' widths.

    Full voltage is the quick end of it; a board drives slower.
    """
    drive = presets()[name].drive()
    assert drive.linkage == HingeLinkage(name)
    plant, leaf = one(LEAVES[name], drive)
    leaf.powered, leaf.volts, leaf.limit = True, 24.0, 8.0
    scans = 0
    while leaf.stop_force == 0.0:
        plant.step()
        scans += 1
        assert scans < 2500
    assert scans >= 700
    leaf.powered = False
    run(plant, 1.0)
    at, leaf.push = leaf.place, -50.0
    run(plant, 2.0)
    assert leaf.place == pytest.approx(at, abs=1e-3)


@pytest.mark.parametrize("name", LEAVES)
def test_a_ready_drive_that_is_released_lets_a_person_move_the_leaf(name: str) -> None:
    """From memory, EN 12604: no more than 150 N by hand on a private gate."""
    plant, leaf = one(LEAVES[name], presets()[name].drive())
    leaf.released, leaf.push = True, 150.0
    run(plant, 5.0)
    assert leaf.place > 0.5
