"""A track that is not level: the part of the weight that runs along it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from simgate.plant.gradient import pull
from tests.plant.build import RACK_DRIVE, SLIDE, one, run


def test_a_right_triangle_with_sides_that_a_drawing_shows() -> None:
    """By hand: 3 m down over 4 m along, 5 m of slope: 3/5 of the weight; 100 kg x 9.80665 x 0.6 = 588.4 N."""
    assert pull(100.0, 0.75) == pytest.approx(588.399)
    assert pull(100.0, -0.75) == pytest.approx(-588.399)


def test_a_small_gradient_is_its_share_of_the_weight() -> None:
    """Handbook form for tracks: 10 N for each tonne and each per mille, all but g for 10."""
    assert pull(1000.0, 0.001) == pytest.approx(9.80665, rel=1e-6)
    assert pull(1000.0, 0.0) == 0.0


@pytest.mark.parametrize(("percent", "runs"), [(1.4, False), (1.7, True), (-1.7, True)])
def test_a_released_slide_runs_where_the_slope_outdoes_its_friction(percent: float, runs: bool) -> None:
    """60 N of friction on 400 kg hold up to 60 / (400 g) = 1.53 %; it starts a hundredth later."""
    plant, leaf = one(replace(SLIDE, slope=pull(SLIDE.mass, percent / 100)), RACK_DRIVE)
    leaf.put(2.0)
    leaf.released = True
    run(plant, 1.0)
    assert (leaf.place != 2.0) is runs
    assert (leaf.place > 2.0) is (runs and percent > 0)
    assert math.isfinite(leaf.place)
