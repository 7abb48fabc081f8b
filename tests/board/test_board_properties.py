"""What must hold of the board under any hands: safety, and idle time that may be skipped."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.board import modes
from simgate.board.leaf import LATE_MS
from simgate.board.mode_table import WAYS
from simgate.board.stimuli import INPUTS, Condition, Input, Task, Way
from simgate.board.tuning import Sensing
from tests.board.rig import EDGE_AT_REST, Rig

TITLES = sorted(modes.shipped())
FILTER = 40  # ms, the default
LIMIT = FILTER + 10  # the filter, and one scan
STOPPING = (Condition.STOPPED_OPENING,)  # giving way to an edge for both ways, a moment

HANDS = st.one_of(
    st.tuples(st.sampled_from(["STOP", "GUARD_O", "GUARD_C", "CALL", "PART"]), st.sampled_from([0.0, 24.0])),
    st.tuples(st.just("EDGE"), st.sampled_from([0.0, 2.5, 5.0])),
    st.tuples(st.just("keys"), st.sampled_from([0, 0, 1, 2, 4, 8, 16])),
    st.tuples(st.just("power"), st.booleans()),
    st.tuples(st.just("learn"), st.none()),
    st.tuples(st.just("jog"), st.sampled_from([Way.OPENING, Way.CLOSING, None])),
    st.tuples(st.just("block"), st.floats(0, 680)),
    st.tuples(st.just("clear"), st.none()),
)
Run = list[tuple[tuple[str, object], int]]
WAITS = st.sampled_from([10, 20, 50, 70, 300, 1_000, 4_000, 8_000])
BEGIN = st.sampled_from([("CALL", 24.0), ("jog", Way.OPENING), ("jog", Way.CLOSING), ("learn", None)])
AFTER = st.sampled_from([0, 3_000, 33_000, 40_000])  # at rest, opening, in the pause, shutting
RUNS = st.lists(st.tuples(HANDS, WAITS), min_size=1, max_size=14)


def do(rig: Rig, what: str, how: object) -> None:
    """One thing that hands do."""
    if isinstance(how, float) and what == "block":
        rig.leaves[0].block(how)
    elif what == "clear":
        rig.leaves[0].clear()
    elif isinstance(how, float):
        rig.terminals(**{what: how})
    elif what == "keys" and isinstance(how, int):
        rig.board.signals.keys = how
    elif what == "power":
        rig.board.signals.powered = bool(how)
    elif what == "learn":
        rig.board.work.start_learn(rig.tick)
    elif what == "jog" and (how is None or isinstance(how, Way)):
        rig.board.work.jog(0, how, rig.tick)


class Watch:
    """How long each normally closed terminal has been parted, and what may then no longer be driven."""

    def __init__(self) -> None:
        self.parted = dict.fromkeys((Input.STOP, Input.GUARD_O, Input.GUARD_C), 0)
        self.edge = 0

    def scan(self, rig: Rig) -> None:
        volts = dict(zip(INPUTS, rig.board.signals.volts, strict=True))
        for one in self.parted:
            self.parted[one] = self.parted[one] + 10 if volts[one] <= 5.0 else 0
        low, high = min(rig.board.outputs.duty), max(rig.board.outputs.duty)
        if not rig.board.signals.powered or self.parted[Input.STOP] > LIMIT:
            assert low == high == 0.0
            assert rig.board.outputs.limits == [0.0, 0.0]
        if self.parted[Input.GUARD_C] > LIMIT:
            assert low >= 0.0
        if self.parted[Input.GUARD_O] > LIMIT:
            assert high <= 0.0
        self.edge = self.edge + 10 if volts[Input.EDGE] != EDGE_AT_REST else 0
        if self.edge > LIMIT:
            use = rig.settings.choice("edge-use")
            assert low >= 0.0 or use not in ("closing", "both") or (use == "both" and rig.now() in STOPPING)
            assert high <= 0.0 or use != "opening"
            assert rig.now() is not Condition.CLOSING or use not in ("closing", "both")


@given(
    st.sampled_from(TITLES), st.booleans(), st.sampled_from(["closing", "both"]),
    st.sampled_from(["not fitted", "closing", "opening", "both"]), BEGIN, AFTER, RUNS,
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_no_leaf_is_driven_where_stop_or_its_guard_is_parted(
    title: str, learned: bool, use: str, edge: str, begin: tuple[str, object], after: int, run: Run
) -> None:
    rig = Rig(title, learned=learned, guard_c_use=use, edge_use=edge, pause=5)
    do(rig, *begin)
    rig.run(after)
    watch = Watch()
    for (what, how), wait in run:
        do(rig, what, how)
        for _ in range(wait // 10):
            rig.run(10)
            watch.scan(rig)


@given(st.sampled_from(TITLES), RUNS)
@settings(max_examples=15, deadline=None)
def test_the_leaves_are_driven_the_way_that_the_condition_says(title: str, run: Run) -> None:
    rig = Rig(title)
    for (what, how), wait in run:
        do(rig, what, how)
        for _ in range(wait // 10):
            rig.run(10)
            way = WAYS.get(rig.now())
            if rig.board.task is not Task.MODE:
                continue
            if way is not None:
                assert all(duty * way.value >= 0.0 for duty in rig.board.outputs.duty)
                assert not rig.board.quiet()
            else:  # giving way after an obstacle is the only movement of a gate that has stopped
                assert max(rig.board.outputs.duty) == 0.0


@given(st.sampled_from(TITLES), RUNS, st.integers(1, 6_000))
@settings(max_examples=25, deadline=None)
def test_skipping_to_the_next_due_scan_is_the_same_as_stepping_there(
    title: str, run: Run, scans: int
) -> None:
    """With signals frozen: the one rig is scanned every 10 ms, the other only where it says it is due."""
    stepped, skipped = (Rig(title, lamp_use="moving and pausing", pause=5) for _ in range(2))
    for rig in (stepped, skipped):
        for (what, how), wait in run:
            do(rig, what, how)
            rig.run(wait)
        rig.happened.clear()
    end = stepped.tick + scans * 10
    for tick in range(stepped.tick + 10, end + 10, 10):
        stepped.board.scan(tick)
    tick = skipped.tick
    while tick < end:
        tick += 10
        skipped.board.scan(tick)
        if skipped.board.quiet():
            due = skipped.board.next_due(tick)
            tick = end if due is None else min(due - 10, end)
    assert stepped.board.state() == skipped.board.state()
    assert stepped.board.happened == skipped.board.happened


@given(st.sampled_from(TITLES), RUNS)
@settings(max_examples=8, deadline=None)
def test_the_same_hands_give_the_same_run(title: str, run: Run) -> None:
    states = []
    for _ in range(2):
        rig = Rig(title)
        for (what, how), wait in run:
            do(rig, what, how)
            rig.run(wait)
        states.append((repr(rig.board.state()), rig.happened))
    assert states[0] == states[1]


DISTURBED = st.lists(
    st.tuples(
        st.sampled_from(["pace", "extra", "block", "clear", "sensor", "STOP", "CALL", "power"]),
        st.floats(0.0, 1.0),
        WAITS,
    ),
    min_size=1,
    max_size=12,
)


@given(st.sampled_from(Sensing), st.booleans(), st.sampled_from(["Latch", "Self-close"]), DISTURBED)
@settings(max_examples=25, deadline=None)
def test_however_a_leaf_is_sensed_no_disturbance_drives_it_for_ever_or_past_stop(
    sensing: Sensing, ends: bool, title: str, run: list[tuple[str, float, int]]
) -> None:
    """Wind, friction, bodies, a sensor that comes and goes, power cuts: never past 'late', never on STOP."""
    use = "stop here" if ends else "not fitted"
    rig = Rig(title, learned=False, leaves=1, sensing=sensing.value, end_open_a=use, end_shut_a=use, pause=5)
    leaf = rig.leaves[0]
    leaf.sensor, leaf.place = 1, 18.0 if ends else 0.0
    leaf.ends = (20.0, 650.0) if ends else None
    rig.run(100)
    rig.board.work.start_learn(rig.tick)
    while rig.board.task is Task.LEARN:
        rig.run(100)
    assert rig.board.learned
    watch, driven = Watch(), 0
    for what, much, wait in run:
        if what == "pace":
            leaf.pace = 0.5 + much
        elif what == "extra":
            leaf.extra = 6.0 * much
        elif what == "block":
            leaf.block(680.0 * much)
        elif what == "clear":
            leaf.clear()
        elif what == "sensor":
            leaf.sensor = int(much < 0.5)
        elif what == "power":
            rig.board.signals.powered = much < 0.7
        else:
            rig.terminals(**{what: 24.0 if much < 0.6 else 0.0})
        for _ in range((wait if much < 0.9 else 200_000) // 10):
            rig.run(10)
            watch.scan(rig)
            driven = driven + 10 if any(rig.board.outputs.duty) else 0
            assert driven <= LATE_MS + 10
