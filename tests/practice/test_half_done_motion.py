"""Jobs of drift, lock, clash and rail switches done by halves: which goals each typical mistake loses."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from simgate.bench import actions as do
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key
from simgate.practice.job import load_job
from simgate.practice.marks import mark
from tests.golden.hands import Person
from tests.golden.scripts_b import cycles, jog


def lost(name: str, work: Callable[[Person], None]) -> set[str]:
    """Checks of the goals that are not met after `work`; the work breaks no rule of conduct."""
    job = load_job(name)
    bench = job.bench()
    work(Person(bench))
    bench.act(do.HandOver())
    marks = mark(job, bench)
    assert marks.conduct == ()
    return {goal.check for goal, said in zip(job.goals, marks.goals, strict=True) if not said.met}


def try_learn(person: Person) -> None:
    """Start the learn cycle and wait until it is done or broken off."""
    person.turn_to("Learn", "Learn cycle")
    person.tap(Key.NEXT)
    person.hold(Key.KEEP, 2200)
    person.wait(lambda _: person.noted(NoteKind.LEARN_DONE) or person.noted(NoteKind.LEARN_ABORTED), 300)


def learn_in_the_wind(person: Person) -> None:
    """By time alone, while it blows: it ends right today, and drifts the other way when the wind drops."""
    person.learn()
    cycles(person, 3)


def longer_run_on(person: Person) -> None:
    person.set("Travel", "Runs on past its time", "4 s")
    cycles(person, 3)


def test_a_gate_that_goes_by_time_still_has_no_ends() -> None:
    assert lost("drift", learn_in_the_wind) == {"ends-tried", "ends-act"}
    assert {"ends-act", "setting-is"} <= lost("drift", longer_run_on)


def test_untouched_it_says_that_it_is_shut_and_stands_ajar() -> None:
    bench = load_job("drift").bench()
    person = Person(bench)
    cycles(person, 1)
    assert person.lines()[0] == "Gate shut"
    assert bench.plant.leaves[0].place > 0.1


def stroke_alone(person: Person) -> None:
    person.set("Outputs", "Lock", "stroke and pulse")
    person.press("call-button")
    person.wait_for(Condition.STOPPED_OPENING)


def joint_alone(person: Person) -> None:
    person.dead(do.RemakeWire("lock-black"))
    for _ in range(2):  # after the power cut the first thing met is taken for the open stop
        person.press("call-button")
        person.bench.run(40_000)
        assert person.see().leaves[0].place < 0.01


def long_pulse(person: Person) -> None:
    person.dead(do.RemakeWire("lock-black"))
    person.set("Outputs", "Lock", "stroke and pulse")
    person.set("Outputs", "Lock is fed for", "5 s")
    cycles(person, 3)


def test_the_lock_wants_its_volts_and_a_leaf_that_does_not_lean_on_it() -> None:
    assert lost("lock-stuck", stroke_alone) == {"fault-mended", "clean-cycles"}
    assert lost("lock-stuck", joint_alone) == {"setting-is", "clean-cycles"}
    assert lost("lock-stuck", long_pulse) == {"setting-is"}


def put_in_order(person: Person) -> None:
    jog(person, "A", Key.MORE)
    jog(person, "B", Key.LESS)
    jog(person, "A", Key.LESS)


def test_the_leaves_lie_crossed_until_they_are_put_in_order() -> None:
    assert "strip-free" in lost("clash", lambda person: None)
    assert lost("clash", put_in_order) == {"learned-and-fresh", "clean-cycles"}


@pytest.mark.parametrize("wait", [3, 5])
def test_a_wait_that_is_too_short_clashes_again(wait: int) -> None:
    def short(person: Person) -> None:
        person.set("Gate", "Leaf A waits, closing", f"{wait} s")
        put_in_order(person)
        try_learn(person)
        assert person.noted(NoteKind.LEARN_ABORTED)

    assert {"learned-and-fresh", "clean-cycles"} <= lost("clash", short)


def set_ends(person: Person, use: str) -> None:
    for end in ("END-O-A", "END-C-A"):
        person.set("Gate", f"{end} is", use)


def not_tried(person: Person) -> None:
    set_ends(person, "begin slow-down")
    try_learn(person)


def stop_there(person: Person) -> None:
    person.dead(do.Renew("end-open-a"))
    set_ends(person, "stop here")
    jog(person, "A", Key.MORE, Key.LESS, seconds=120)
    try_learn(person)


def test_a_switch_that_slipped_breaks_the_learn_cycle_off() -> None:
    missed = {"fault-mended", "ends-tried", "learned-and-fresh", "ends-act", "clean-cycles", "gate-shut"}
    assert lost("ends-slow-down", not_tried) == missed


def test_a_leaf_that_is_stopped_at_the_switch_never_shuts() -> None:
    assert {"ends-act", "clean-cycles"} <= lost("ends-slow-down", stop_there)


def test_a_board_tells_which_way_it_drives_and_not_which_way_a_motor_turned_about_goes() -> None:
    """It knows its own terminals only: a leaf that opens while it is driven shut is for the eye to find."""
    person = Person(load_job("wrong-way").bench())
    person.turn_to("Learn", "Jog leaf A")
    person.tap(Key.NEXT)
    person.bench.act(do.PressKey(Key.LESS, True))
    person.bench.run(2000)
    leaf = person.see().leaves[0]
    assert leaf.driven < 0 < leaf.speed
    assert leaf.current > 0
    person.bench.act(do.PressKey(Key.LESS, False))
    person.bench.run(3000)
    assert person.see().leaves[0].driven == 0
