"""A gate that slides, at the bench: how it looks and sounds, and what hands can put in its way."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.board.stimuli import Condition, Stimulus
from simgate.files import UserError
from simgate.plant.spec import LeafKind
from tests.bench.kinds import call, gate, obstacles, seen

TRAVEL = 4.4  # m of the works gate


def test_it_rolls_open_and_shut_and_its_place_is_metres() -> None:
    bench = gate("works-slide")
    (view,) = bench.snapshot().leaves
    assert (view.kind, view.linkage, view.pocket) == (LeafKind.SLIDES, "rack", "left")
    assert (view.place, view.travel, view.share, view.lever) == (0.0, TRAVEL, 0.0, 1.0)
    assert call(bench) is Condition.OPEN
    assert seen(bench) == ["Leaf A rolls open", "Leaf A meets a stop", "Leaf A stands still"]
    (view,) = bench.snapshot().leaves
    assert view.place == pytest.approx(TRAVEL, abs=0.01)
    assert (view.share, view.angle) == (1.0, 0.0)
    at = bench.tick
    assert call(bench) is Condition.SHUT
    assert seen(bench, at) == ["Leaf A rolls shut", "Leaf A meets a stop", "Leaf A stands still"]


def test_a_leaf_that_swings_says_so_and_has_no_pocket() -> None:
    (view,) = gate("garden-arm").snapshot().leaves
    assert (view.kind, view.linkage, view.pocket) == (LeafKind.SWINGS, "folding arm", "")
    assert gate("park-oil").snapshot().leaves[0].linkage == "hydraulic ram"
    assert [leaf.linkage for leaf in gate("court-double").snapshot().leaves] == ["in-ground"] * 2


@pytest.mark.parametrize("gap_mm", [50, 200, 2000])
def test_a_body_on_the_track_turns_a_shutting_slide_round(gap_mm: int) -> None:
    bench = gate("works-slide")
    call(bench)
    bench.act(do.PlaceBody("A", place_m=gap_mm / 1000))
    call(bench)
    acted = [cell.stimulus for record in bench.records for cell in record.acted]
    assert Stimulus.OBSTACLE in acted
    assert "Leaf A pushes against the body in its way" in seen(bench)
    leaf = bench.plant.leaves[0]
    assert leaf.place > gap_mm / 1000
    assert leaf.peak_body_force > 50.0
    assert leaf.body_force == 0.0  # it has let go


@pytest.mark.parametrize(
    ("site", "action", "words"),
    [
        ("works-slide", do.PlaceBody("A", 1.0, 30.0), "allowed: a place on the track: this leaf slides"),
        ("works-slide", do.PlaceBody("A", place_m=TRAVEL), "allowed: between 0 and 4.4 m"),
        ("works-slide", do.PlaceBody("A"), "found 0.0 m from shut"),
        ("works-slide", do.PlaceBody("A", place_m=float("nan")), "between 0 and 4.4 m"),
        ("yard-single", do.PlaceBody("A", 1.0, 30.0, 1.0), "allowed: an angle: this leaf swings"),
        ("yard-single", do.PlaceBody("A", place_m=1.0), "allowed: an angle: this leaf swings"),
    ],
)
def test_a_body_is_placed_in_the_measure_of_its_leaf(site: str, action: do.PlaceBody, words: str) -> None:
    bench = gate(site)
    before = bench.digest()
    with pytest.raises(UserError) as caught:
        bench.act(action)
    assert words in str(caught.value)
    assert bench.digest() == before


def test_wind_across_a_slide_presses_it_on_its_guides_and_moves_nothing() -> None:
    """4 m/s is the site's own; in 25 m/s the released leaf still stands, and the learned gate still shuts."""
    bench = gate("works-slide")
    bench.plant.wind = 25.0
    bench.act(do.Release("A", True))
    bench.run(10_000)
    assert bench.plant.leaves[0].place == 0.0
    bench.act(do.Release("A", False))
    bench.plant.wind = 8.0
    assert (call(bench), call(bench)) == (Condition.OPEN, Condition.SHUT)
    assert obstacles(bench) == 0
