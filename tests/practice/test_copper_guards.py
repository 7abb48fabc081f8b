"""Guards are found by their effect: buttons, beams whose senders hang on TEST+, and edges in series."""

from __future__ import annotations

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.copper import defeated, guards

DEPOT = load_site("depot-double")


def left(*actions: a.Action) -> tuple[tuple[str, str], ...]:
    """Guards that no longer act after hands did this."""
    bench = Bench(Setup("test", DEPOT))
    for action in actions:
        bench.act(action)
    return defeated(DEPOT.wiring, bench.snapshot(), frozenset())


def test_every_guard_of_the_depot_is_found() -> None:
    assert set(guards(DEPOT.wiring)) == {
        ("stop-button", "STOP"),
        ("beam-out", "GUARD-C"),
        ("beam-in", "GUARD-O"),
        ("edge-a", "EDGE"),
        ("edge-b", "EDGE"),
    }


def test_nothing_is_defeated_in_copper_as_it_is_meant() -> None:
    assert left() == ()


def test_an_edge_left_out_of_the_chain_is_defeated_and_the_one_before_it_is_not() -> None:
    moved = (
        a.MoveWire("edge-end-white", "from", "edge-a.3"),
        a.MoveWire("edge-end-brown", "from", "edge-a.4"),
    )
    parted = (a.PartWire("edge-on-white"), a.MoveWire("edge-on-brown", "to", "edge-a.2"))
    assert left(*moved, *parted) == (("edge-b", "EDGE"),)


def test_a_feed_past_a_beam_on_test_plus_is_found() -> None:
    assert left(a.AddLink("board.COM", "board.GUARD-C")) == (("beam-out", "GUARD-C"),)
