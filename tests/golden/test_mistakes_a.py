"""Half-done work at the line, at remotes and at edges: each common mistake loses the right goals."""

from __future__ import annotations

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key
from simgate.practice.job import load_job
from simgate.practice.marks import Marks, mark
from tests.golden.hands import Person
from tests.golden.scripts_a import aim, press_each, press_remote, roll_call, teach, try_both_pairs


def at(name: str) -> tuple[Bench, Person]:
    """A person at the start of a job."""
    bench = load_job(name).bench()
    return bench, Person(bench)


def handed_over(name: str, bench: Bench) -> Marks:
    """The marks after handing over."""
    bench.act(do.HandOver())
    return mark(load_job(name), bench)


def missing(name: str, bench: Bench, *conduct: str) -> list[str]:
    """Why each goal that was not met was not; nothing but `conduct` may be held against these runs."""
    marks = handed_over(name, bench)
    assert tuple(fault.name for fault in marks.conduct) == conduct
    assert not marks.passed
    return [goal.why for goal in marks.goals if not goal.met]


# line-pair ----------------------------------------------------------------------------------------


def fit_inside(person: Person, switches: str) -> None:
    """The inside pair out of its box, set and aimed."""
    for name in ("inner-sender", "inner-receiver"):
        person.dead(do.FitHead(name, True), do.SetSwitches(name, switches))
    aim(person, "inner-receiver")


def test_a_pair_set_like_the_one_outside_answers_with_it_and_the_gate_stays_shut() -> None:
    bench, person = at("line-pair")
    fit_inside(person, "-2--")
    roll_call(person)
    person.press("call-button")
    person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.bench.run(2_000)
    why = missing("line-pair", bench)
    assert why[0] == "the inner sender is set to guard closing, not both ways"
    assert why[1] == "the line has a fault: Beam closing 1: two answer alike"
    assert len(why) == 6  # it opened, and will not shut on two beams that cannot be told apart


def test_a_pair_set_for_one_direction_runs_and_loses_what_it_does_not_guard() -> None:
    bench, person = at("line-pair")
    fit_inside(person, "-23-")
    roll_call(person)
    person.press("call-button")
    person.wait_for(Condition.OPEN)
    for beam in ("inner", "outer"):
        person.press("call-button")
        person.bench.run(2_000)
        person.do(do.Block(beam, True))
        person.wait_for(Condition.OPENING)
        person.do(do.Block(beam, False))
        person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.wait_for(Condition.SHUT)
    person.cycle()
    assert missing("line-pair", bench) == [
        "the inner sender is set to guard closing, not both ways",
        "no beam that guards both was broken while the gate opens",
    ]


def test_a_beam_left_where_its_lamp_first_lights_is_aimed_too_near_its_limit() -> None:
    bench, person = at("line-pair")
    for name in ("inner-sender", "inner-receiver"):
        person.dead(do.FitHead(name, True), do.SetSwitches(name, "12--"))
    while not next(one.lit for one in person.see().heads if one.name == "inner-receiver"):
        person.do(do.Turn("inner-receiver", -1.0, 0.0))
    roll_call(person)
    try_both_pairs(person)
    assert missing("line-pair", bench) == [
        "the line beam inside is aimed so near its limit that a knock or a wet lens ends it"
    ]


def test_without_the_roll_call_the_new_pair_forbids_both_ways() -> None:
    bench, person = at("line-pair")
    fit_inside(person, "12--")
    person.press("call-button")
    person.bench.run(2_000)
    assert " ".join(person.lines()) == "Beam both 1: not in the roll-call"
    assert "the line has a fault: Beam both 1: not in the roll-call" in missing("line-pair", bench)


# line-gone ----------------------------------------------------------------------------------------


def test_a_roll_call_over_the_gap_makes_the_gate_run_and_fails_the_job() -> None:
    """The other head is taken away as well, so that nothing is left to be missed."""
    bench, person = at("line-gone")
    person.dead(do.FitHead("outer-sender", False))
    roll_call(person)
    person.press("call-button")
    person.bench.run(2_000)
    person.do(do.Block("inner", True))
    person.wait_for(Condition.HELD)
    person.do(do.Block("inner", False))
    person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.bench.run(2_000)
    person.do(do.Block("inner", True))
    person.wait_for(Condition.OPENING)
    person.do(do.Block("inner", False))
    person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.wait_for(Condition.SHUT)
    person.cycle()
    assert missing("line-gone", bench, "not-put-back") == [
        "what was wrong is still wrong",
        "there is no outer sender in its place",
        "the line beam outside lacks a head",
        "no beam that guards closing was broken while the gate shuts",
    ]


def test_a_head_fitted_as_it_comes_out_of_its_box_is_missed_as_before() -> None:
    bench, person = at("line-gone")
    person.dead(do.FitHead("outer-receiver", True))
    person.bench.run(500)
    assert [word for name, word in person.bench.board.line.beams if name.name == "closing 1"] == [
        "no receiver answers"
    ]
    assert "the outer receiver is set to guard nothing, not closing" in missing("line-gone", bench)


def test_the_gate_with_its_receiver_gone_opens_and_does_not_shut() -> None:
    _, person = at("line-gone")
    person.press("call-button")
    person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.bench.run(5_000)
    assert person.see().condition is Condition.OPEN


# wrong-half ---------------------------------------------------------------------------------------


def press_all(person: Person) -> None:
    """All four keys, each from a shut gate, whatever comes of it."""
    for remote in ("remote-spare", "remote-house"):
        for key in (1, 2):
            press_remote(person, remote, key)
            if person.see().condition is not Condition.SHUT:
                person.wait(lambda view: view.condition in (Condition.OPEN, Condition.PART_OPEN))
                press_remote(person, remote, key)
                person.wait_for(Condition.SHUT)


def test_erasing_everything_for_one_wrong_key_takes_the_house_its_remote() -> None:
    bench, person = at("wrong-half")
    person.turn_to("Remotes", "Erase all keys")
    person.tap(Key.NEXT)
    person.hold(Key.KEEP, 2_200)
    person.tap(Key.NEXT)
    person.shut_book()
    teach(person, "call", "remote-spare", 1)
    teach(person, "part call", "remote-spare", 2)
    press_all(person)
    assert missing("wrong-half", bench) == [
        "key 1 of remote house was not seen to open the whole gate since the last change",
        "key 2 of remote house was not seen to open the part for walking since the last change",
    ]


def test_one_key_put_right_leaves_the_other_of_the_same_remote_wrong() -> None:
    bench, person = at("wrong-half")
    teach(person, "call", "remote-spare", 1)
    press_all(person)
    assert missing("wrong-half", bench) == [
        "key 2 of remote spare is taught for: call",
        "key 2 of remote spare was not seen to open the part for walking since the last change",
    ]


def test_keys_taught_and_never_pressed_prove_nothing() -> None:
    bench, person = at("wrong-half")
    press_all(person)
    teach(person, "call", "remote-spare", 1)
    teach(person, "part call", "remote-spare", 2)
    assert [why.endswith("since the last change") for why in missing("wrong-half", bench)] == [True] * 4


# edge-parallel ------------------------------------------------------------------------------------


def test_one_resistor_taken_out_makes_the_gate_run_with_an_edge_that_nobody_watches() -> None:
    """8.2 kohm again (E5), and each edge stops the gate; only a break inside the first would never show."""
    bench, person = at("edge-parallel")
    person.dead(do.EndResistor("edge-a", False))
    press_each(person)
    assert missing("edge-parallel", bench) == [
        "what was wrong is still wrong",
        "the edge on leaf A hangs beside the chain: a break inside it would not show",
    ]


def test_bands_turned_until_they_fit_leave_the_edges_as_they_were() -> None:
    bench, person = at("edge-parallel")
    person.set("Guards", "EDGE is pressed below", "4 kohm")
    press_each(person)
    assert missing("edge-parallel", bench) == [
        "what was wrong is still wrong",
        "EDGE reads 4.1 kohm, not the 8.2 kohm of one end resistor",
    ]


def test_edges_switched_off_in_the_book_are_edges_that_were_not_tried() -> None:
    bench, person = at("edge-parallel")
    person.dead(
        do.EndResistor("edge-a", False), do.RemakeWire("edge-on-white"), do.RemakeWire("edge-on-brown")
    )
    person.set("Guards", "EDGE acts while", "not fitted")
    person.cycle()
    assert missing("edge-parallel", bench) == [
        "EDGE acts while is left at: not fitted",
        "the edge on leaf A was not pressed while the gate moved since the last change",
    ]


def test_a_chain_put_right_with_the_old_resistor_left_in_still_reads_as_pressed() -> None:
    bench, person = at("edge-parallel")
    person.dead(do.RemakeWire("edge-on-white"), do.RemakeWire("edge-on-brown"))
    person.bench.run(1_000)
    assert person.lines()[1] == "EDGE pressed: will not move"
    assert "EDGE reads 4.1 kohm, not the 8.2 kohm of one end resistor" in missing("edge-parallel", bench)


def test_the_resistor_is_copper_work_and_wants_the_mains_off() -> None:
    bench, person = at("edge-parallel")
    person.do(do.EndResistor("edge-a", False))
    (fault,) = handed_over("edge-parallel", bench).conduct
    assert (fault.name, fault.why) == (
        "wires-live",
        "an end resistor was fitted or taken out with the isolator on",
    )
    assert not person.noted(NoteKind.LEARN_DONE)
