"""What sensitivity does on a whole gate, and what it cannot do."""

from __future__ import annotations

from simgate.bench.actions import PlaceBody
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from tests.bench.made import touch

CHOICES = ("low", "medium", "high")
MET = "Leaf A met something"


def opening(sensitivity: str) -> Bench:
    """The yard gate on its way open at set speed."""
    given = (("mode", "Latch"), ("leaves", 1), ("sensitivity", sensitivity))
    bench = Bench(Setup("sensitivity", load_site("yard-single"), given, learned=True))
    touch(bench, "call-button")
    bench.run(2_000)
    return bench


def worst(bench: Bench) -> tuple[float, float]:
    """Greatest current, A, and force on a body, N, until the board says that it met something."""
    amps = force = 0.0
    for _ in range(600):
        bench.run(10)
        amps = max(amps, bench.board.signals.currents[0])
        force = max(force, bench.plant.leaves[0].body_force)
        if bench.board.display[1] == MET:
            return amps, force
    raise AssertionError(bench.board.display)


def test_a_load_that_grows_meets_the_high_choice_first() -> None:
    """A strong wind against the leaf (m/s): the motor is slowed, not stopped, and its current creeps up."""
    amps: list[float] = []
    for choice in CHOICES:
        bench = opening(choice)
        bench.run(2_000)
        bench.plant.wind = -18.0
        amps.append(worst(bench)[0])
    assert amps == sorted(amps, reverse=True)
    assert amps[0] - amps[2] > 0.8  # A; the margins are 1.7 A apart


def test_a_hard_body_stops_the_leaf_before_any_choice_can_matter() -> None:
    """The current is through every margin within a scan or two: the blow hangs on speed and mass alone."""
    forces = []
    for choice in CHOICES:
        bench = opening(choice)
        bench.act(PlaceBody("A", 2.0, 45.0))
        forces.append(worst(bench)[1])
    assert min(forces) > 500.0
    assert max(forces) - min(forces) < 0.05 * max(forces)
