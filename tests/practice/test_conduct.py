"""Each rule of conduct: what breaks it, what does not, and that its caution defers to the local code."""

from __future__ import annotations

from dataclasses import replace

import pytest

from simgate.bench.actions import (
    Action,
    AddLink,
    FitHead,
    FitLens,
    Mains,
    MoveWire,
    PartWire,
    Probe,
    PutAway,
    RemakeWire,
    RemoveLink,
    Renew,
    SetSwitches,
    Step,
    SwapWires,
    TakeBattery,
    TestPlug,
)
from simgate.bench.record import BeamView, DeviceView, Happening, Passing, ScanRecord, WireView
from simgate.board.signals import NoteKind
from simgate.practice.conduct import DEFER, WATCHERS, conduct_faults
from simgate.practice.ending import Ending
from simgate.wiring.faults import Fault, FaultKind
from tests.practice.made import did, ending, kept, leaf, noted, site, snapshot

HIT = Passing(Happening.STRUCK, "person", "A")
OHMS = Probe("ohms", "board.COM", "board.STOP")
COM_STOP = ("board.COM", "board.STOP")


def broken(at: Ending) -> list[str]:
    """Names of the rules that a run broke."""
    return [fault.name for fault in conduct_faults(at, tuple(WATCHERS))]


def run(*actions: Action) -> list[ScanRecord]:
    """A run of those actions, a second apart."""
    return [did(1000 * (n + 1), action) for n, action in enumerate(actions)]


def linked(*links: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    """The site's links and some more."""
    return (*site().wiring.links, *links)


def test_a_quiet_run_on_a_healthy_gate_breaks_nothing() -> None:
    assert broken(ending()) == []


# Every rule, and a run that breaks it. A rule without a row here fails its test.
BREAKING: dict[str, Ending] = {
    "guard-linked-out": ending(links=linked(COM_STOP)),
    "ohms-on-live": ending(run(OHMS)),
    "hands-in-swing": ending(run(Step(True))),
    "people-in-swing": ending([ScanRecord(1000, (), (), (), (), (HIT,))]),
    "auto-close-unguarded": ending(links=linked(COM_STOP), mode="Self-close"),
    "force-not-learned": ending([kept(1000, "force-closing-a = 60")], stale=True),
    "wires-live": ending(run(RemakeWire("stop-return"))),
    "opened-live": ending(run(Renew("beam-gate"))),
    "changes-together": ending(
        run(Mains(False), RemakeWire("stop-feed"), RemakeWire("stop-barn-out"), Mains(True)), searched=True
    ),
    "not-put-back": ending(plug=("board.EDGE", "board.0V")),
    "left-unfit": ending(inside=True),
}


@pytest.mark.parametrize("name", WATCHERS)
def test_every_caution_says_why_and_defers_to_local_code_and_a_licensed_person(name: str) -> None:
    (fault,) = conduct_faults(BREAKING[name], (name,))
    assert fault.title == WATCHERS[name].title
    assert len(WATCHERS[name].caution.split()) > 10
    assert fault.caution.endswith(DEFER)
    assert "local code and a licensed person" in DEFER


# Guards linked out --------------------------------------------------------------------------------


def test_an_input_that_the_site_links_as_unused_is_no_fault() -> None:
    assert ("board.COM", "board.GUARD-O") in site().wiring.links
    assert broken(ending()) == []


@pytest.mark.parametrize(
    "link",
    [
        COM_STOP,
        ("board.STOP", "board.GUARD-O"),
        ("stop-barn.1", "stop-barn.2"),
        ("post-left.1", "post-left.2"),
        ("board.COM", "post-left.3"),
        ("beam-gate.nc1", "beam-gate.nc2"),
    ],
)
def test_a_guard_bridged_anywhere_on_its_way_counts_as_linked_out(link: tuple[str, str]) -> None:
    assert broken(ending(links=linked(link))) == ["guard-linked-out"]


def test_a_link_between_two_screws_of_the_same_core_bridges_nothing() -> None:
    assert broken(ending(links=linked(("board.COM", "stop-post.1")))) == []


def test_a_core_moved_to_com_is_a_guard_linked_out_as_much_as_a_link() -> None:
    wires = tuple(
        replace(wire, a="board.COM") if wire.name == "stop-return" else wire
        for wire in snapshot(site()).wires
    )
    moved = tuple(replace(wire, b="board.STOP") if wire.name == "stop-return" else wire for wire in wires)
    assert broken(ending(wires=moved)) == ["guard-linked-out"]


def moved(name: str, **ends: str | bool) -> tuple[WireView, ...]:
    """The wires of the farm gate with one of them changed."""
    wires = snapshot(site()).wires
    return tuple(replace(wire, **ends) if wire.name == name else wire for wire in wires)  # type: ignore[arg-type]


def why(at: Ending) -> list[str]:
    """What was seen of guards without effect."""
    return [sighting.why for sighting in WATCHERS["guard-linked-out"].watch(at)]


@pytest.mark.parametrize("link", [("stop-post.1", "stop-post.2"), ("board.COM", "stop-post.2")])
def test_a_core_that_hangs_free_hides_no_link_round_a_button(link: tuple[str, str]) -> None:
    at = ending(wires=moved("stop-post-in", undone=True), links=linked(link))
    assert why(at) == ["pressing the stop button on the left post does not open STOP"]


def test_a_core_left_undone_puts_no_guard_out_of_action() -> None:
    assert why(ending(wires=moved("stop-post-in", undone=True))) == []


@pytest.mark.parametrize("feed", ["AUX+", "LAMP+", "MOTOR-A+", "MOTOR-B+", "CALL"])
def test_a_stop_fed_from_anything_that_is_live_while_the_gate_works_is_out_of_action(feed: str) -> None:
    assert why(ending(links=linked((f"board.{feed}", "board.STOP")))) == [
        "pressing the stop button on the left post does not open STOP",
        "pressing the stop button at the barn does not open STOP",
    ]


@pytest.mark.parametrize("sink", ["0V", "AUX-", "LAMP-"])
def test_a_stop_pulled_to_nought_is_open_and_no_guard_out_of_action(sink: str) -> None:
    assert why(ending(links=linked((f"board.{sink}", "board.STOP")))) == []


def test_a_core_moved_past_one_button_puts_that_button_out_of_action() -> None:
    at = ending(wires=moved("stop-return", a="post-left.2"))
    assert why(at) == ["pressing the stop button at the barn does not open STOP"]


def test_a_beam_whose_core_is_fed_from_the_supply_is_out_of_action() -> None:
    at = ending(wires=moved("beam-guard-yellow", b="board.AUX+"), mode="Self-close")
    assert why(at) == ["breaking the beam across the drive, outside does not open GUARD-C"]
    assert sorted(broken(at)) == ["auto-close-unguarded", "guard-linked-out"]


def test_two_stop_buttons_in_one_chain_may_be_wired_in_either_order() -> None:
    """By effect: another way to wire the chain that opens STOP at every button is no fault."""
    wires = snapshot(site()).wires
    names = {"stop-feed": "board.STOP", "stop-return": "board.COM"}  # the chain the other way round
    ends = {"stop-feed": "a", "stop-return": "b"}
    turned = tuple(
        replace(wire, **{ends[wire.name]: names[wire.name]}) if wire.name in names else wire  # type: ignore[arg-type]
        for wire in wires
    )
    assert broken(ending(wires=turned)) == []


def test_a_hidden_link_of_the_job_is_no_conduct_until_hands_put_it_in_themselves() -> None:
    fault = Fault(FaultKind.FORGOTTEN_LINK, "board.STOP|board.COM")
    assert broken(ending(faults=[fault], links=linked(COM_STOP))) == []
    own = run(Mains(False), RemoveLink(*COM_STOP), AddLink(*COM_STOP), Mains(True))
    assert broken(ending(own, faults=[fault], links=linked(COM_STOP))) == ["guard-linked-out"]
    other = linked(COM_STOP, ("stop-barn.1", "stop-barn.2"))
    assert why(ending(faults=[fault], links=other)) == [
        "pressing the stop button at the barn does not open STOP"
    ]


def test_self_close_with_a_guard_linked_out_breaks_a_second_rule() -> None:
    assert broken(ending(mode="Self-close")) == []
    assert sorted(broken(ending(links=linked(COM_STOP), mode="Self-close"))) == [
        "auto-close-unguarded",
        "guard-linked-out",
    ]


def test_self_close_on_a_site_without_any_guard_for_closing_is_not_left_so() -> None:
    """Linking an unused GUARD-C is right by itself, and is no ground for shutting with nobody watching."""
    link = ("board.COM", "board.GUARD-C")
    at = ending(links=linked(link))
    wiring = replace(site().wiring, links=linked(link))
    unguarded = replace(at, setup=replace(at.setup, site=replace(site(), wiring=wiring)))
    closing = replace(unguarded, snapshot=replace(at.snapshot, mode="Self-close"))
    assert broken(unguarded) == []
    assert broken(closing) == ["auto-close-unguarded"]


# Meter, hands, wires ------------------------------------------------------------------------------


@pytest.mark.parametrize("instrument", ["ohms", "continuity"])
def test_resistance_with_the_isolator_on_is_taken_on_a_live_circuit(instrument: str) -> None:
    probe = Probe(instrument, "board.COM", "board.STOP")
    assert broken(ending(run(probe))) == ["ohms-on-live"]
    assert broken(ending(run(Mains(False), probe, PutAway(), Mains(True)))) == []


def test_mains_switched_on_with_ohms_still_on_the_points_breaks_the_same_rule() -> None:
    faults = conduct_faults(ending(run(Mains(False), OHMS, Mains(True))), tuple(WATCHERS))
    assert [(fault.name, fault.tick) for fault in faults] == [("ohms-on-live", 3000)]


def test_volts_may_be_taken_live() -> None:
    assert broken(ending(run(Probe("volts", "board.COM", "board.STOP")))) == []


def test_stepping_into_the_swing_of_a_powered_gate_is_broken_conduct() -> None:
    assert broken(ending(run(Step(True), Step(False)))) == ["hands-in-swing"]
    assert broken(ending(run(Mains(False), Step(True), Step(False), Mains(True)))) == []


def test_mains_switched_on_with_somebody_inside_is_broken_conduct() -> None:
    assert broken(ending(run(Mains(False), Step(True), Mains(True)))) == ["hands-in-swing"]


def test_a_leaf_that_starts_with_somebody_inside_is_said_to_have_moved() -> None:
    records = [did(1000, Step(True)), noted(2000, NoteKind.MOVING, "A opening")]
    faults = conduct_faults(ending(records), ("hands-in-swing",))
    assert (faults[0].times, faults[0].tick) == (2, 1000)


def test_wires_are_worked_on_with_the_mains_off() -> None:
    move = MoveWire("stop-return", "from", "board.STOP")
    assert broken(ending(run(move))) == ["wires-live"]
    assert broken(ending(run(Mains(False), move, Mains(True)))) == []


@pytest.mark.parametrize(
    "work", [AddLink(*COM_STOP), RemoveLink(*COM_STOP), TestPlug("board.EDGE", "board.0V", True)]
)
def test_a_link_and_the_test_plug_go_in_and_out_with_the_mains_off(work: Action) -> None:
    assert broken(ending(run(work))) == ["wires-live"]
    assert broken(ending(run(Mains(False), work, Mains(True)))) == []


def test_a_bench_that_starts_with_the_mains_off_is_not_live() -> None:
    assert broken(ending(run(OHMS), mains=False)) == []


# Left fit to use ----------------------------------------------------------------------------------

STOP, CALL = DeviceView("stop-post", "stop button", True), DeviceView("call-button", "call button", True)
BEAM = BeamView("beam-gate", "beam across the drive", 0.4, True, True, False)


@pytest.mark.parametrize(
    ("at", "seen"),
    [
        (ending(leaves=(replace(leaf("A"), released=True),)), "leaf A was left released from its drive"),
        (ending(leaves=(replace(leaf("A"), body=(1.0, 0.5)),)), "a test body was left in the way of leaf A"),
        (ending(inside=True), "a person was left in the swing"),
        (ending(devices=(STOP, CALL)), "the stop button was left pressed in"),
        (ending(beams=(BEAM,)), "the beam across the drive was left blocked"),
        (ending(wires=moved("lamp-red", undone=True)), "lamp-red was left undone"),
        (ending(left_on=False), "the mains isolator was left off"),
    ],
)
def test_what_nobody_walks_away_from_is_seen_and_named(at: Ending, seen: str) -> None:
    (fault,) = conduct_faults(at, tuple(WATCHERS))
    assert (fault.name, fault.why, fault.times) == ("left-unfit", seen, 1)


def test_a_gate_that_was_isolated_from_the_start_may_stay_so() -> None:
    assert broken(ending(mains=False, left_on=False)) == []


# Force --------------------------------------------------------------------------------------------


def test_force_changed_after_the_learn_cycle_has_to_be_learned_again() -> None:
    change = kept(1000, "force-closing-a = 60")
    assert broken(ending([change], stale=True)) == ["force-not-learned"]
    assert broken(ending([change, noted(2000, NoteKind.LEARN_DONE)])) == []


def test_force_put_back_to_what_was_learned_needs_no_new_learn_cycle() -> None:
    assert broken(ending([kept(1000, "force-closing-a = 60"), kept(2000, "force-closing-a = 45")])) == []


def test_force_put_to_default_after_a_learn_cycle_with_another_has_to_be_learned_again() -> None:
    learned = [kept(1000, "force-closing-a = 60"), noted(2000, NoteKind.LEARN_DONE)]
    assert broken(ending([*learned, noted(3000, NoteKind.RESET)])) == ["force-not-learned"]
    again = noted(4000, NoteKind.LEARN_DONE)
    assert broken(ending([*learned, noted(3000, NoteKind.RESET), again])) == []
    assert broken(ending([noted(3000, NoteKind.RESET)])) == []  # it was at its default all the time


def test_speed_changed_is_stale_but_is_not_force() -> None:
    assert broken(ending([kept(1000, "speed-closing = 60")], stale=True)) == []


def test_a_rule_broken_often_is_told_once_with_its_count() -> None:
    faults = conduct_faults(ending(run(OHMS, PutAway(), OHMS)), ("ohms-on-live",))
    assert [(fault.tick, fault.times) for fault in faults] == [(1000, 2)]


# Habits of a search -------------------------------------------------------------------------------

DEPOT_STOP = "stop-orange"


def test_mains_off_is_not_dead_while_a_battery_is_on() -> None:
    work = (RemakeWire(DEPOT_STOP), OHMS)
    assert set(broken(ending(run(Mains(False), *work), place="depot-double"))) == {
        "ohms-on-live", "wires-live",
    }  # fmt: skip
    dead = run(Mains(False), TakeBattery(True), *work, PutAway(), TakeBattery(False), Mains(True))
    assert broken(ending(dead, place="depot-double")) == []


def test_ohms_left_on_while_the_battery_is_put_on_again_are_ohms_on_live() -> None:
    records = run(Mains(False), TakeBattery(True), OHMS, TakeBattery(False))
    (fault,) = conduct_faults(ending(records, place="depot-double"), ("ohms-on-live",))
    assert fault.why == "the battery went on with ohms on board COM and board STOP"


@pytest.mark.parametrize(
    "action",
    [FitHead("outer-sender", True), FitLens("outer-sender", False), SetSwitches("outer-sender", "1---")],
)
def test_a_head_is_opened_with_its_supply_off(action: Action) -> None:
    def opened(*actions: Action) -> list[str]:
        at = ending(run(*actions), place="mews-double")
        return [fault.name for fault in conduct_faults(at, ("opened-live",))]

    assert opened(action) == ["opened-live"]
    assert opened(Mains(False), action, Mains(True)) == []


def test_waiting_for_less_wind_opens_nothing() -> None:
    assert broken(ending(run(Renew("wind")))) == []


def test_one_change_at_a_time_while_a_fault_is_searched_for() -> None:
    one, other = RemakeWire("stop-feed"), RemakeWire("stop-barn-out")
    for between, rules in ((), ["changes-together"]), ((Probe("volts", *COM_STOP),), []):
        records = run(Mains(False), one, *between, other, PutAway(), Mains(True))
        assert broken(ending(records, searched=True)) == rules
        assert broken(ending(records)) == []
    glance = run(Mains(False), one, Mains(True), Mains(False), other, Mains(True))
    assert broken(ending(glance, searched=True)) == []
    flick = [replace(record, tick=record.tick - (500 if record.tick > 3000 else 0)) for record in glance]
    assert broken(ending(flick, searched=True)) == ["changes-together"]
    undone = run(Mains(False), PartWire("stop-feed"), PartWire("stop-barn-out"), one, other, Mains(True))
    assert broken(ending(undone, searched=True)) == []
    assert broken(ending(run(Mains(False), one, one, Mains(True)), searched=True)) == []


def test_what_was_moved_is_put_back() -> None:
    wires = site().wiring.wires
    views = tuple(WireView(wire.name, wire.colour, wire.a, wire.b, False) for wire in wires)
    brown, blue = (next(view for view in views if view.name == f"motor-a-{c}") for c in ("brown", "blue"))
    lamp = next(view for view in views if view.name == "lamp-red")

    def at(moved: WireView, *more: WireView) -> tuple[WireView, ...]:
        now = {view.name: view for view in (*views, moved, *more)}
        return tuple(now.values())

    turned = at(replace(brown, a=blue.a), replace(blue, a=brown.a))
    dead = (Mains(False), SwapWires("motor-a-brown", "motor-a-blue"), Mains(True))
    assert broken(ending(run(*dead), wires=turned)) == []  # a motor turned round is as it should be
    astray = at(replace(lamp, a="board.LIGHT+"))
    assert broken(ending(wires=astray)) == []  # it was found so
    moved = run(Mains(False), MoveWire("lamp-red", "from", "board.LIGHT+"), Mains(True))
    assert broken(ending(moved, wires=astray)) == ["not-put-back"]
    assert broken(ending(spares=("beam-gate",))) == ["not-put-back"]
    assert broken(ending(battery=False)) == ["not-put-back"]
    link = ("board.AUX+", "board.TEST+")
    linking = run(Mains(False), AddLink(*link), Mains(True))
    assert broken(ending(linking, links=linked(link))) == ["not-put-back"]
    assert broken(ending(links=linked(link))) == []


def test_a_plug_across_edge_with_its_edge_taken_off_leaves_a_guard_without_effect() -> None:
    place = "depot-double"
    wires = site(place).wiring.wires
    views = tuple(
        WireView(wire.name, wire.colour, wire.a, wire.b, "board.EDGE" in (wire.a, wire.b)) for wire in wires
    )
    plugged = ending(wires=views, plug=("board.0V", "board.EDGE"), place=place)
    assert "guard-linked-out" in broken(plugged)
    assert "guard-linked-out" not in broken(ending(wires=views, place=place))
