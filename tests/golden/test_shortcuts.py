"""Short cuts at a real bench: what a hurried person does, and whether the marks see it in the records."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.scan import Bench
from simgate.board.stimuli import Condition, Key
from simgate.practice.job import Job, load_job
from simgate.practice.marks import Marks, mark
from tests.golden.hands import Person
from tests.golden.scripts import SCRIPTS


def at(name: str) -> tuple[Job, Bench, Person]:
    """A person at the start of a job."""
    job = load_job(name)
    bench = job.bench()
    return job, bench, Person(bench)


def handed_over(job: Job, bench: Bench) -> Marks:
    """The marks after handing over."""
    bench.act(do.HandOver())
    return mark(job, bench)


def broken(marks: Marks) -> list[str]:
    """Names of the rules broken."""
    return [fault.name for fault in marks.conduct]


def test_a_stop_chain_linked_out_runs_the_gate_and_fails_the_job() -> None:
    job, bench, person = at("parted-stop")
    person.dead(do.AddLink("board.COM", "board.STOP"))
    bench.run(1_000)
    person.cycle()
    marks = handed_over(job, bench)
    assert broken(marks) == ["guard-linked-out"]
    assert not marks.passed
    unmet = [goal.why for goal in marks.goals if not goal.met]
    assert "what was wrong is still wrong" in unmet
    assert "a link is left in: board.COM to board.STOP" in unmet


@pytest.mark.parametrize(
    ("work", "trial"),
    [
        (do.AddLink("board.STOP", "board.AUX+"), do.Operate("stop-button", True)),
        (do.AddLink("stop-button.1", "stop-button.2"), do.Operate("stop-button", True)),
        (do.MoveWire("stop-orange", "to", "stop-button.1"), do.Operate("stop-button", True)),
        (do.MoveWire("beam-guard-yellow", "to", "board.AUX+"), do.Block("beam-gate", True)),
    ],
)
def test_a_guard_that_no_longer_acts_costs_the_pass_of_a_first_learn(
    work: Action, trial: do.Operate | do.Block
) -> None:
    """However it was put out of action; the trial shows that the moving gate really goes on."""
    job, bench, person = at("first-learn")
    person.dead(work)
    SCRIPTS["first-learn"](person)
    marks = handed_over(job, bench)
    assert (broken(marks), marks.total, marks.passed) == (["guard-linked-out"], 50, False)

    _, _, again = at("first-learn")
    again.dead(work)
    SCRIPTS["first-learn"](again)
    again.press("call-button")
    if isinstance(trial, do.Block):
        again.wait_for(Condition.OPEN)
        again.press("call-button")
    again.bench.run(3_000)
    moving = again.see().condition
    again.do(trial)
    assert again.see().condition is moving
    assert moving in (Condition.OPENING, Condition.CLOSING)


def test_a_stop_chain_led_past_the_barn_leaves_its_button_dead_and_costs_the_pass() -> None:
    job, bench, person = at("parted-stop")
    person.dead(do.RemakeWire("stop-barn-out"), do.MoveWire("stop-return", "from", "post-left.2"))
    person.cycle()
    person.press("call-button")
    person.bench.run(3_000)
    person.press("stop-post")
    person.wait_for(Condition.STOPPED_OPENING)
    person.press("call-button")
    person.wait_for(Condition.SHUT)
    marks = handed_over(job, bench)
    assert all(goal.met for goal in marks.goals)
    assert (broken(marks), marks.passed) == (["guard-linked-out"], False)
    assert marks.total == 45  # nothing was measured: the core was made good on a guess
    assert marks.conduct[0].why == "pressing the stop button at the barn does not open STOP"


def test_a_hidden_fault_left_in_is_a_goal_not_met_and_no_broken_conduct() -> None:
    job, bench, _ = at("parted-stop")
    marks = handed_over(job, bench)
    assert "what was wrong is still wrong" in [goal.why for goal in marks.goals if not goal.met]
    assert broken(marks) == []


def test_ohms_along_the_live_chain_are_seen() -> None:
    job, bench, person = at("parted-stop")
    person.do(do.Probe("ohms", "stop-barn.2", "post-left.3"))
    assert broken(handed_over(job, bench)) == ["ohms-on-live"]


def test_a_motor_turned_round_with_the_mains_on_costs_the_pass() -> None:
    job, bench, person = at("wrong-way")
    person.do(do.SwapWires("motor-a-brown", "motor-a-blue"))
    person.jog("A")
    person.learn()
    person.cycle()
    marks = handed_over(job, bench)
    assert all(goal.met for goal in marks.goals)
    assert (broken(marks), marks.total, marks.passed) == (["wires-live"], 50, False)


def test_force_turned_up_after_the_learn_cycle_is_seen_until_it_is_put_back() -> None:
    job, bench, person = at("self-close-and-back")
    person.set("Travel", "Force A, closing", "60 %")
    assert bench.snapshot().stale
    assert broken(mark(job, bench)) == ["force-not-learned"]
    person.set("Travel", "Force A, closing", "45 %")
    assert broken(mark(job, bench)) == []


def test_force_put_back_to_default_is_a_change_of_force_like_any_other() -> None:
    job, bench, person = at("self-close-and-back")
    person.set("Travel", "Force A, closing", "60 %")
    person.learn()
    assert broken(mark(job, bench)) == []
    person.turn_to("Reset", "Back to default")
    person.tap(Key.NEXT)
    person.hold(Key.KEEP, 2_200)
    person.tap(Key.KEEP)
    assert bench.snapshot().settings["force-closing-a"] == 45
    (fault,) = handed_over(job, bench).conduct
    assert fault.name == "force-not-learned"
    assert fault.why == "force of leaf A, closing, went from 60 % to 45 % and no learn cycle followed"


def test_self_close_left_active_with_the_beam_linked_out_breaks_two_rules() -> None:
    job, bench, person = at("self-close-and-back")
    person.set("Calls", "Logic mode", "Self-close")
    person.dead(do.AddLink("board.COM", "board.GUARD-C"))
    assert sorted(broken(handed_over(job, bench))) == ["auto-close-unguarded", "guard-linked-out"]


def test_somebody_in_the_swing_while_the_gate_moves_is_seen() -> None:
    job, bench, person = at("self-close-and-back")
    person.press("call-button")
    person.do(do.Step(True), do.Step(False))
    person.wait_for(Condition.OPEN)
    (fault,) = mark(job, bench).conduct
    assert fault.name == "hands-in-swing"


def test_a_learn_cycle_without_a_jog_leaves_one_goal_open() -> None:
    job, bench, person = at("first-learn")
    person.set("Gate", "Leaves", "1")
    person.set("Calls", "Logic mode", "Latch")
    person.learn()
    person.cycle()
    marks = handed_over(job, bench)
    assert [goal.words for goal in marks.goals if not goal.met] == [
        "Jog the leaf open and shut before it learns."
    ]
    assert (marks.total, marks.passed) == (83, False)


UNFIT: tuple[Action, ...] = (
    do.Operate("stop-button", True),
    do.Block("beam-gate", True),
    do.Release("A", True),
    do.PlaceBody("A", 1.0, 20.0),
    do.Step(True),
    do.Mains(False),
    do.PartWire("lamp-red"),
)


@pytest.mark.parametrize("name", ["first-learn", "wrong-way"])
def test_a_gate_left_in_a_state_that_nobody_hands_over_fails(name: str) -> None:
    job, bench, person = at(name)
    SCRIPTS[name](person)
    person.do(do.Mains(False), *(action for action in UNFIT if not isinstance(action, do.Mains)))
    marks = handed_over(job, bench)
    (fault,) = marks.conduct
    assert (fault.name, fault.times) == ("left-unfit", len(UNFIT))
    assert [goal.why for goal in marks.goals if not goal.met] == [
        "STOP and GUARD-O and GUARD-C reads open at the board",
        "no whole opening and shutting was seen in Latch after the last change",
    ]
    assert not marks.passed


@pytest.mark.parametrize("action", UNFIT, ids=lambda action: type(action).__name__)
def test_each_thing_left_unfit_costs_the_pass_by_itself(action: Action) -> None:
    job, bench, person = at("first-learn")
    SCRIPTS["first-learn"](person)
    person.do(action)
    marks = handed_over(job, bench)
    assert "left-unfit" in broken(marks)
    assert not marks.passed


def test_a_trainers_fault_put_in_and_mended_leaves_the_run_unmarked() -> None:
    job, bench, person = at("self-close-and-back")
    person.do(do.Inject("parted-wire", "stop-return"), do.Mend("parted-wire", "stop-return"))
    assert not handed_over(job, bench).marked
