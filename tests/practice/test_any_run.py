"""Whatever hands do at a real bench, the marks stay in range and the debrief can tell it."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.board.stimuli import Key
from simgate.files import UserError
from simgate.practice.debrief import debrief
from simgate.practice.ending import Ending
from simgate.practice.job import load_job
from simgate.practice.marks import mark

WIRES = ("motor-a-brown", "motor-a-blue", "stop-orange", "beam-guard-yellow", "call-green")
POINTS = ("board.COM", "board.STOP", "board.GUARD-C", "board.AUX+", "board.AUX-", "stop-button.2")

wires, points, switched = st.sampled_from(WIRES), st.sampled_from(POINTS), st.booleans()
ACTIONS: st.SearchStrategy[Action] = st.one_of(
    st.builds(do.PressKey, st.sampled_from(Key), switched),
    st.builds(do.Operate, st.sampled_from(("call-button", "stop-button")), switched),
    st.builds(do.Block, st.just("beam-gate"), switched),
    st.builds(do.Mains, switched),
    st.builds(do.Step, switched),
    st.builds(do.AddLink, points, points),
    st.builds(do.RemoveLink, points, points),
    st.builds(do.PartWire, wires),
    st.builds(do.RemakeWire, wires),
    st.builds(do.MoveWire, wires, st.sampled_from(("from", "to")), points),
    st.builds(do.SwapWires, wires, wires),
    st.builds(do.ReplaceFuse, st.sampled_from(("mains", "aux"))),
    st.builds(do.Probe, st.sampled_from(("volts", "ohms", "continuity")), points, points),
    st.just(do.PutAway()),
    st.just(do.TakeHint()),
)
RUNS = st.lists(st.tuples(ACTIONS, st.integers(0, 300).map(lambda n: n * 10)), max_size=25)


@settings(max_examples=25, deadline=None)  # a run takes as long as it takes; the machine may be busy
@given(run=RUNS)
def test_any_run_can_be_marked_and_told(run: list[tuple[Action, int]]) -> None:
    job = load_job("wrong-way")
    bench = job.bench()
    for action, ms in run:
        try:
            bench.act(action)
        except UserError:
            continue  # what hands cannot do now changes nothing
        bench.run(ms)
    bench.act(do.HandOver())
    marks = mark(job, bench)
    assert 0 <= marks.total <= 100
    assert marks.handed_over
    assert len(marks.conduct) == len({fault.name for fault in marks.conduct})
    assert all(0 < fault.tick <= bench.tick for fault in marks.conduct)
    story = debrief(job, Ending.of(bench))
    last = [moment.text for moment in story.done if moment.own][-1]  # the board may yet answer
    assert (story.total, last) == (marks.total, "handed over")
