"""Invariants of those who pass, under random calls: time may be skipped, and no leaf goes through anybody."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from tests.bench.made import play, setup, try_to
from tests.properties.test_bench import Stepping

DEEP = 0.02  # m at the edge; a leaf of this weight on a body of 500 N/mm goes in by mm

SENDING: st.SearchStrategy[a.Action] = st.one_of(
    st.builds(a.Send, st.sampled_from(["vehicle", "person", "dog"]), st.sampled_from(["in", "out"])),
    st.builds(a.Operate, st.just("call-button"), st.booleans()),
    st.builds(a.Operate, st.just("part-button"), st.booleans()),
    st.builds(a.Block, st.just("beam-gate"), st.booleans()),
    st.builds(a.AddLink, st.just("board.COM"), st.just("board.GUARD-C")),
    st.builds(a.Mains, st.booleans()),
    st.builds(a.Release, st.sampled_from("AB"), st.booleans()),
    st.builds(a.Push, st.sampled_from("AB"), st.floats(-400, 400)),
    st.just(a.ClearWay()),
)
RUNS = st.lists(st.tuples(st.sampled_from([0, 200, 700, 2000, 5000, 20_000]), SENDING), max_size=16)
MODES = st.sampled_from(["Latch", "Self-close"])


@settings(max_examples=40, deadline=None)
@given(MODES, RUNS)
def test_skipping_and_stepping_agree_with_somebody_on_the_drive(
    mode: str, run: list[tuple[int, a.Action]]
) -> None:
    start = setup(mode, pause=3)
    skipping, stepping = Bench(start), Stepping(start)
    play(skipping, run)
    play(stepping, run)
    assert skipping.records == stepping.records
    assert skipping.digest() == stepping.digest()


@settings(max_examples=40, deadline=None)
@given(MODES, RUNS)
def test_no_leaf_goes_through_anybody(mode: str, run: list[tuple[int, a.Action]]) -> None:
    bench = Bench(setup(mode, pause=3))
    for wait, action in [*run, (2000, a.PutAway())]:
        for _ in range(wait // 50):
            bench.run(50)
            for passer in bench.passers.here:
                for n, leaf in enumerate(bench.plant.leaves):
                    meeting = bench.passers._meeting(passer, n, passer.front)
                    assert meeting is None or not meeting.holds(leaf.place, -DEEP / 2.2)
        try_to(bench, action)
