"""Benches and random hands for the tests of the bench."""

from __future__ import annotations

from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup, Value
from simgate.bench.site import load_site
from simgate.board.stimuli import Key
from simgate.files import UserError

DOUBLE, SINGLE = load_site("farm-double"), load_site("yard-single")


def setup(
    mode: str = "Self-close", learned: bool = True, site: str = "farm-double", **settings: Value
) -> Setup:
    """A gate, learned unless said otherwise, in `mode`. Settings by key with underscores."""
    chosen = tuple((key.replace("_", "-"), value) for key, value in settings.items())
    where = SINGLE if site == "yard-single" else DOUBLE
    leaves = (("leaves", 1),) if site == "yard-single" else ()
    return Setup("test", where, settings=(("mode", mode), *leaves, *chosen), learned=learned)


def touch(bench: Bench, device: str, ms: int = 300) -> None:
    """Press a button for `ms` and let go."""
    bench.act(a.Operate(device, True))
    bench.run(ms)
    bench.act(a.Operate(device, False))


def try_to(bench: Bench, action: a.Action) -> bool:
    """Do an action if hands can; a refusal must be in words and change nothing."""
    try:
        bench.act(action)
    except UserError as error:
        assert error.problems
        return False
    return True


DEVICES = st.sampled_from(sorted(d.name for d in DOUBLE.wiring.devices if d.kind.value.startswith("button")))
WIRES = st.sampled_from(sorted(wire.name for wire in DOUBLE.wiring.wires))
POINTS = st.sampled_from(
    ["board.COM", "board.STOP", "board.GUARD-O", "board.GUARD-C", "board.CALL", "board.PART"]
)
LEAF = st.sampled_from("AB")

HANDS: st.SearchStrategy[a.Action] = st.one_of(
    st.builds(a.Operate, DEVICES, st.booleans()),
    st.builds(a.PressKey, st.sampled_from(Key), st.booleans()),
    st.builds(a.Block, st.just("beam-gate"), st.booleans()),
    st.builds(a.Mains, st.booleans()),
    st.builds(a.PlaceBody, LEAF, st.floats(0.2, 1.5), st.floats(1, 89)),
    st.builds(a.RemoveBody, LEAF),
    st.builds(a.Release, LEAF, st.booleans()),
    st.builds(a.Push, LEAF, st.floats(-400, 400)),
    st.builds(a.Step, st.booleans()),
    st.builds(a.Send, st.sampled_from(["vehicle", "person", "dog"]), st.sampled_from(["in", "out"])),
    st.just(a.ClearWay()),
    st.builds(a.AddLink, POINTS, POINTS),
    st.builds(a.RemoveLink, POINTS, POINTS),
    st.builds(a.PartWire, WIRES),
    st.builds(a.RemakeWire, WIRES),
    st.builds(a.SwapWires, WIRES, WIRES),
    st.builds(a.MoveWire, WIRES, st.sampled_from(["from", "to"]), POINTS),
    st.builds(a.ReplaceFuse, st.sampled_from(["mains", "aux"])),
    st.builds(a.Probe, st.sampled_from(["volts", "ohms", "continuity"]), POINTS, POINTS),
    st.builds(a.Probe, st.just("clamp"), WIRES),
    st.just(a.PutAway()),
    st.just(a.TakeHint()),
)
"""Any single thing that hands do, possible or not."""

WAITS = st.sampled_from([0, 10, 50, 300, 1000, 4000, 15_000, 40_000])
RUNS = st.lists(st.tuples(WAITS, HANDS), max_size=12)
"""Whole runs: wait, act, wait, act ..."""


def play(bench: Bench, run: list[tuple[int, a.Action]]) -> None:
    """Play a run on a bench."""
    for wait, action in run:
        bench.run(wait)
        try_to(bench, action)
    bench.run(1000)
