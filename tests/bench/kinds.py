"""Gates of every kind for the tests of the bench: a learned one, a call, and hands on a released leaf."""

from __future__ import annotations

from simgate.bench import actions as do
from simgate.bench.record import Sense
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup, Value
from simgate.bench.site import load_site
from simgate.board.stimuli import Condition, Stimulus
from tests.bench.made import touch

KINDS = ("works-slide", "garden-arm", "park-oil", "yard-single")
"""Sites of one leaf: rack, folding arm, hydraulic ram, hinge."""


def gate(site: str, learned: bool = True, places: tuple[float, ...] = (), **given: Value) -> Bench:
    """The gate of `site` in Latch, nothing having happened yet. Settings by key with underscores."""
    where = load_site(site)
    chosen = tuple((key.replace("_", "-"), value) for key, value in given.items())
    settings: tuple[tuple[str, Value], ...] = (
        ("mode", "Latch"),
        ("leaves", len(where.plant.leaves)),
        *chosen,
    )
    bench = Bench(Setup("test", where, settings, learned, places=places))
    bench.run(1_000)
    return bench


def call(bench: Bench, limit: int = 60_000) -> Condition:
    """Press the call button, and give the gate time to do what it will."""
    touch(bench, "call-button")
    bench.run(limit)
    return bench.board.condition


def seen(bench: Bench, since: int = 0) -> list[str]:
    """What was seen and heard of the leaves since a tick."""
    return [
        event.text
        for record in bench.records
        for event in record.events
        if record.tick >= since and event.sense in (Sense.SEEN, Sense.HEARD) and "lamp" not in event.text
    ]


def obstacles(bench: Bench) -> int:
    """How often the board took something for an obstacle."""
    return sum(cell.stimulus is Stimulus.OBSTACLE for record in bench.records for cell in record.acted)


def pushed(bench: Bench, newton: float, ms: int, name: str = "A") -> float:
    """Release a leaf, push it for a while, let it come to rest and couple it. Returns how far it went."""
    leaf = bench.plant.leaves["AB".index(name)]
    at = leaf.place
    bench.act(do.Release(name, True))
    bench.act(do.Push(name, newton))
    bench.run(ms)
    bench.act(do.Push(name, 0.0))
    bench.run(60_000)
    assert leaf.speed == 0.0
    bench.act(do.Release(name, False))
    bench.run(1_000)
    return leaf.place - at
