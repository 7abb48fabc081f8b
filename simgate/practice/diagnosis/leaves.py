"""The leaves of a gate with a fault in: pulled by hand, jogged, and jogged against a force gauge.

The one part of the table that is run in time. What depends on equal copper and iron is run once.
"""

from __future__ import annotations

from typing import NamedTuple

from simgate.bench.bridges import Bridges
from simgate.bench.setup import Setup
from simgate.board.signals import Outputs, Signals
from simgate.plant.plant import Plant
from simgate.practice.diagnosis.wits import Driven
from simgate.wiring.trial import TrialHarness

JOG_STEPS = 80  # of 10 ms


class Gauge(NamedTuple):
    """A force gauge in a leaf's way. gap: m between the two. soft_start: scans in which the duty rises."""

    gap: float
    soft_start: int = 0


JOGGED_AT = Gauge(0.005)


class Jogged(NamedTuple):
    """A leaf jogged. moved: rad or m, of each leaf. load: A that the motors drew at most. force: N on a body
    in its way.
    """

    moved: tuple[float, ...]
    duties: tuple[float, ...]
    emfs: tuple[float, ...]
    load: float
    force: float


class TrialLeaves:
    """The leaves of `setup` as the iron of `harness` stands when they are asked."""

    def __init__(self, setup: Setup, harness: TrialHarness) -> None:
        self._site, self._wind = setup.site.plant, setup.wind
        self._harness = harness
        self._reach = tuple(leaf.reach for leaf, _ in self._site.leaves)
        self._jogs: dict[object, Jogged] = {}
        self._pulls: dict[object, float] = {}

    def pulled(self, leaf: int, share: float) -> float:
        """N at the edge that start a released leaf opening from there."""
        iron = self._harness.iron
        key = ("pull", leaf, share, iron.friction[leaf], iron.sag[leaf], iron.wind)
        found = self._pulls.get(key)
        if found is None:
            plant = self._worn_plant()
            one = plant.leaves[leaf]
            one.released = True
            one.put(share * self._reach[leaf])
            plant.step()
            found = self._pulls[key] = one.breakaway()
        return found

    def jogged(self, word: int, leaf: int, driven: Driven, gauge: Gauge | None = None) -> Jogged:
        """How far each leaf went, and what bridges and windings then had. Equal motor feeds: once."""
        harness, leaves = self._harness, range(len(self._reach))
        feeds = tuple(harness.motor_feed(word, n) for n in leaves)
        shunted = harness.shunted(word)
        wear = tuple(harness.worn(n) for n in leaves)
        iron = harness.iron.state()
        key = (leaf, driven.duty, driven.limit, harness.supply_volts, feeds, shunted, wear, iron, gauge)
        found = self._jogs.get(key)
        if found is None:
            found = self._jogs[key] = self._drive(word, leaf, driven, gauge)
        return found

    def _drive(self, word: int, leaf: int, driven: Driven, gauge: Gauge | None) -> Jogged:
        plant = self._worn_plant()
        signals, outputs = Signals(), Outputs()
        for n, one in enumerate(plant.leaves):
            one.put(self._reach[n] * 0.3)
        if gauge is not None:
            held = plant.leaves[leaf]
            spec, _ = self._site.leaves[leaf]
            held.place_body(spec.lever, held.place + gauge.gap / spec.lever)
        before = [one.place for one in plant.leaves]
        bridges = Bridges(self._site, plant, self._harness, signals, outputs)
        bridges.meet(word, True)
        outputs.duty[leaf], outputs.limits[leaf] = driven.duty, driven.limit
        load, rises = 0.0, gauge.soft_start if gauge is not None else 0
        for step in range(1, JOG_STEPS + rises + 1):
            if step <= rises:
                outputs.duty[leaf] = driven.duty * step / rises
            bridges.drive()
            plant.step()
            bridges.read()
            load = max(load, abs(bridges.load()))
        moved = tuple(one.place - was for one, was in zip(plant.leaves, before, strict=True))
        emfs = tuple(one.emf() for one in plant.leaves)
        return Jogged(moved, tuple(bridges.duties(word)), emfs, load, plant.leaves[leaf].body_force)

    def _worn_plant(self) -> Plant:
        """The iron with what wear and wind have done to it."""
        plant, iron = Plant(self._site), self._harness.iron
        for n, (one, (spec, drive)) in enumerate(zip(plant.leaves, self._site.leaves, strict=True)):
            one.stiffen(iron.friction[n])
            one.sag(iron.sag[n])
            one.loosen(iron.play[n] / spec.lever)
            one.ease(drive, iron.relief[n])
        if self._wind is not None:
            plant.wind = self._wind
        plant.wind += iron.wind
        return plant
