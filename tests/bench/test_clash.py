"""Two leaves that shut in the wrong order: what is seen and heard, and what force is on the strip."""

from __future__ import annotations

import math

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.bench.senses import CLASH
from tests.bench.kinds import call, gate, seen


def shut_by_hand(bench: Bench, order: str) -> None:
    """Push both released leaves shut, one after the other, and keep pushing the second."""
    for name in order:
        bench.act(do.Push(name, -150.0))
        bench.run(20_000)


def swung_open() -> Bench:
    """The farm gate with both leaves released and standing open, mains off."""
    bench = gate("farm-double", learned=False, places=(1.2, 1.2))
    bench.act(do.Mains(False))
    for name in "AB":
        bench.act(do.Release(name, True))
    bench.run(100)
    return bench


def test_b_on_top_of_as_strip_is_heard_and_the_gate_stays_ajar() -> None:
    bench = swung_open()
    at = bench.tick
    shut_by_hand(bench, "AB")
    assert CLASH in seen(bench, at)
    view = bench.snapshot()
    a, b = view.leaves
    strip = bench.setup.site.plant.strip
    assert abs(a.place) < 0.002
    assert b.width * math.sin(b.place) == pytest.approx(strip, abs=0.005)
    # Statics about B's hinge: the push at its edge, less what friction takes, is what lies on the strip.
    assert view.clash == pytest.approx(150.0, abs=20.0 / b.width + 1.0)


def test_in_the_right_order_nothing_is_heard_but_the_stops() -> None:
    bench = swung_open()
    at = bench.tick
    shut_by_hand(bench, "BA")
    assert CLASH not in seen(bench, at)
    view = bench.snapshot()
    assert view.clash == 0.0
    assert all(abs(leaf.place) < 0.003 for leaf in view.leaves)


@pytest.mark.parametrize("site", ["farm-double", "court-double"])
def test_a_healthy_cycle_has_no_clash(site: str) -> None:
    bench = gate(site)
    call(bench)
    call(bench)
    assert CLASH not in seen(bench)
