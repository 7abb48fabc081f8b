"""Each fault shows in the copper as its row says, and mending brings back the very same solutions."""

from __future__ import annotations

import math
from collections.abc import Callable
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench.site import load_site
from simgate.files import UserError
from simgate.wiring.fault_table import kind_of, row
from simgate.wiring.faults import Fault, FaultKind, inject, mend, outstanding, places, present
from simgate.wiring.harness import Harness, Solution
from simgate.wiring.head_faults import ARTICLE_KINDS
from simgate.wiring.meter import Instrument, read
from tests.wiring.site import SITE
from tests.wiring.test_more_faults import OTHERS

ALL = [
    Fault(FaultKind.PARTED_WIRE, "stop-on"),
    Fault(FaultKind.MISSING_LINK, "board.COM|board.GUARD-O"),
    Fault(FaultKind.FORGOTTEN_LINK, "board.COM|board.STOP"),
    Fault(FaultKind.TIRED_JOINT, "stop-on", 5000.0),
    Fault(FaultKind.BRIDGED_PAIR, "call-out|call-back"),
    Fault(FaultKind.SWAPPED_PAIR, "motor-a"),
    Fault(FaultKind.BLOWN_FUSE, "aux"),
]
each_fault = pytest.mark.parametrize("fault", ALL, ids=[fault.kind.value for fault in ALL])


def every_solution(harness: Harness) -> list[tuple[float, ...]]:
    rest = harness.word_at_rest()
    words = [rest, harness.word_dead(), *(rest ^ bit for bit in harness.contacts.values())]
    return [harness.solve(word).potentials for word in words] + [
        harness.motor_feed(harness.word_at_rest(), leaf) for leaf in (0, 1)
    ]


def with_fault(fault: Fault) -> tuple[Harness, Solution]:
    harness = Harness(SITE)
    inject(harness, fault)
    return harness, harness.solve(harness.word_at_rest())


@each_fault
def test_a_fault_changes_the_copper_and_mending_restores_it_exactly(fault: Fault) -> None:
    harness = Harness(SITE)
    before = every_solution(harness)
    inject(harness, fault)
    assert every_solution(harness) != before
    assert outstanding(harness) == (fault,)
    mend(harness, fault)
    assert every_solution(harness) == before
    assert outstanding(harness) == ()


def test_every_kind_is_tried_here_and_has_its_words() -> None:
    assert {fault.kind for fault in (*ALL, *OTHERS)} | set(ARTICLE_KINDS) == set(FaultKind)
    for kind in FaultKind:
        words = row(kind)
        assert words.words
        assert words.does
        assert words.sits
        assert words.shows
        assert words.mended
        assert words.seconds > 0
        assert words.weight > 0
        assert kind_of(kind.value) is kind


def test_a_parted_core_takes_the_whole_voltage_and_looks_whole() -> None:
    harness, solution = with_fault(ALL[0])
    assert solution.inputs[0] == 0.0
    assert solution.current("stop-on") == 0.0
    across = solution.volts("post.1", "stop-button.1")
    assert across is not None
    assert across > 23.0
    assert not any(wire.undone for wire in harness.wires())


def test_a_missing_link_leaves_the_unused_guard_open() -> None:
    assert with_fault(ALL[1])[1].inputs[1] == 0.0


def test_a_forgotten_link_keeps_the_stop_made_whatever_the_button_does() -> None:
    harness, _ = with_fault(ALL[2])
    pressed = harness.word_at_rest() & ~harness.contacts["stop-button"]
    assert harness.solve(pressed).inputs[0] > 15.0


def test_a_tired_joint_of_five_kilohm_leaves_the_input_between_on_and_off() -> None:
    """By hand: 24 x 4700 / (4700 + 5000 + about 12) is 11.6 V; IEC 61131-2 type 1 is off to 5, on from 15."""
    _, solution = with_fault(ALL[3])
    assert solution.inputs[0] == pytest.approx(11.6, abs=0.15)


def test_a_tired_joint_in_a_motor_wire_adds_its_ohms_to_the_feed() -> None:
    healthy = Harness(SITE)
    harness, _ = with_fault(Fault(FaultKind.TIRED_JOINT, "motor-a-blue", 2.5))
    word = harness.word_at_rest()
    assert harness.motor_feed(word, 0)[1] == pytest.approx(healthy.motor_feed(word, 0)[1] + 2.5, rel=1e-9)


def test_a_bridged_pair_calls_without_a_hand_on_the_button() -> None:
    assert with_fault(ALL[4])[1].inputs[3] > 15.0


def test_a_bridge_is_at_the_far_end_so_ohms_tell_how_far() -> None:
    """By hand: out and back 2 x 20 m of 0.5 mm2 (W1: 1.56 ohm), four screws and the 0.1 ohm of the touch."""
    harness, _ = with_fault(ALL[4])
    dead = harness.word_dead()
    reading = read(Instrument.OHMS, harness, dead, (0.0, 0.0), (0.0, 0.0), "board.COM", "board.CALL")
    assert reading.text == "1.7 Ω"


def test_only_cores_of_one_cable_touch_where_a_site_names_its_cables() -> None:
    """The farm's beam has a cable to each post; its stop chain goes out and comes back in one to the box."""
    harness = Harness(load_site("farm-double").wiring)
    cables = {wire.name: wire.cable for wire in harness.spec.wires}
    for kind in (FaultKind.BRIDGED_PAIR, FaultKind.THIN_CABLE):
        pairs = [place.split("|") for place in places(harness, kind)]
        assert all(cables[a] == cables[b] or not (cables[a] and cables[b]) for a, b in pairs)
        assert ["stop-feed", "stop-return"] in pairs


def test_a_cable_out_and_back_that_is_rubbed_through_shorts_what_is_behind_it() -> None:
    """By hand: COM to the box and back, 2 x 3 m of 0.5 mm2 (W1: 0.234 ohm), four screws, 0.1 ohm of touch."""
    harness = Harness(load_site("farm-double").wiring)
    inject(harness, Fault(FaultKind.BRIDGED_PAIR, "stop-feed|stop-return"))
    rest = harness.word_at_rest()
    for button in ("stop-post", "stop-barn"):  # pressed, and nothing comes of it
        assert harness.solve(rest & ~harness.contacts[button]).inputs[0] > 15.0
    dead = harness.word_dead()
    for a, b, text in (("board.COM", "board.STOP", "0.4 Ω"), ("post-left.1", "post-left.3", "0.1 Ω")):
        assert read(Instrument.OHMS, harness, dead, (0.0, 0.0), (0.0, 0.0), a, b).text == text


def test_a_swapped_pair_turns_the_motor_round() -> None:
    harness, _ = with_fault(ALL[5])
    assert harness.motor_feed(harness.word_at_rest(), 0)[0] == pytest.approx(-1.0, rel=1e-12)


def test_a_blown_aux_fuse_kills_the_beam_and_takes_the_whole_voltage() -> None:
    harness, solution = with_fault(ALL[6])
    assert not harness.works(solution, "beam")
    assert solution.volts("board.AUX+", "board.0V") == 0.0
    assert solution.powered


def test_a_blown_mains_fuse_kills_board_and_motors() -> None:
    harness, solution = with_fault(Fault(FaultKind.BLOWN_FUSE, "mains"))
    assert not solution.powered
    assert harness.motor_feed(harness.word_at_rest(), 0) == (0.0, math.inf)


def _turn_motor_end(harness: Harness) -> None:
    harness.move_wire("motor-a-brown", "to", "motor-a.2")
    harness.move_wire("motor-a-blue", "to", "motor-a.1")


HANDS: list[tuple[Fault, Callable[[Harness], None]]] = [
    (ALL[0], lambda h: h.remake_wire("stop-on")),
    (ALL[1], lambda h: h.add_link("board.GUARD-O", "board.COM")),
    (ALL[2], lambda h: h.remove_link("board.STOP", "board.COM")),
    (ALL[3], lambda h: h.remake_wire("stop-on")),
    (ALL[4], lambda h: h.remake_wire("call-back")),
    (ALL[5], lambda h: h.swap_wires("motor-a-brown", "motor-a-blue")),
    (ALL[5], _turn_motor_end),
    (ALL[6], lambda h: h.replace_fuse("aux")),
]


@pytest.mark.parametrize(("fault", "hands"), HANDS)
def test_a_fault_that_hands_put_right_counts_as_gone(fault: Fault, hands: Callable[[Harness], None]) -> None:
    healthy = every_solution(Harness(SITE))[:-2]
    harness = Harness(SITE)
    inject(harness, fault)
    hands(harness)
    assert not present(harness, fault)
    assert outstanding(harness) == ()
    if hands is not _turn_motor_end:  # that one ends right in another way: other ends changed over
        assert every_solution(harness)[:-2] == healthy
    mend(harness, fault)  # the trainer may still strike it off
    assert harness.injected == []


def test_mending_a_pair_of_which_hands_moved_one_end_brings_both_home() -> None:
    harness = Harness(SITE)
    wires = harness.wires()
    inject(harness, ALL[5])
    harness.move_wire("motor-a-brown", "to", "motor-a.2")
    assert present(harness, ALL[5])
    mend(harness, ALL[5])
    assert harness.wires() == wires


def test_undoing_a_wire_does_not_heal_the_break_in_it() -> None:
    harness = Harness(SITE)
    inject(harness, ALL[0])
    harness.part_wire("stop-on")
    harness.move_wire("stop-on", "from", "post.1")
    assert outstanding(harness) == (ALL[0],)
    assert harness.solve(harness.word_at_rest()).inputs[0] == 0.0


@pytest.mark.parametrize(
    ("fault", "found", "allowed"),
    [
        (Fault(FaultKind.PARTED_WIRE, "stop-of"), "'stop-of'", "did you mean 'stop-on'"),
        (Fault(FaultKind.PARTED_WIRE, "stop-on", 3.0), "an amount of 3", "no amount"),
        (Fault(FaultKind.TIRED_JOINT, "stop-on"), "an amount of 0", "0.5 to 5000 ohm"),
        (Fault(FaultKind.TIRED_JOINT, "stop-on", math.nan), "an amount of nan", "0.5 to 5000 ohm"),
        (Fault(FaultKind.MISSING_LINK, "board.COM|board.STOP"), "board.STOP", "board.COM|board.GUARD-O"),
        (Fault(FaultKind.FORGOTTEN_LINK, "board.COM"), "'board.COM'", "board.COM|board.STOP"),
        (Fault(FaultKind.BRIDGED_PAIR, "stop-on|lamp-red"), "stop-on|lamp-red", "stop-on|stop-back"),
        (Fault(FaultKind.SWAPPED_PAIR, "lamp"), "'lamp'", "motor-a, motor-b"),
        (Fault(FaultKind.BLOWN_FUSE, "lamp"), "'lamp'", "aux, mains"),
    ],
)
def test_a_fault_that_cannot_be_is_refused_with_what_can(fault: Fault, found: str, allowed: str) -> None:
    harness = Harness(SITE)
    before = every_solution(harness)
    with pytest.raises(UserError) as error:
        inject(harness, fault)
    (problem,) = error.value.problems
    assert found in problem.found
    assert allowed in problem.allowed
    assert every_solution(harness) == before


@each_fault
def test_a_fault_goes_in_once_and_comes_out_once(fault: Fault) -> None:
    harness = Harness(SITE)
    with pytest.raises(UserError, match="no fault is in"):
        mend(harness, fault)
    inject(harness, fault)
    with pytest.raises(UserError, match="there already"):
        inject(harness, fault)
    mend(harness, fault)
    with pytest.raises(UserError):
        mend(harness, fault)


def test_a_pair_is_the_same_pair_either_way_round() -> None:
    harness = Harness(SITE)
    inject(harness, Fault(FaultKind.FORGOTTEN_LINK, "board.STOP|board.COM"))
    mend(harness, Fault(FaultKind.FORGOTTEN_LINK, "board.COM|board.STOP"))
    assert harness.injected == []


def test_an_unknown_kind_is_refused_with_the_nearest() -> None:
    with pytest.raises(UserError, match="did you mean 'parted-wire'"):
        kind_of("parted-wires")


@settings(max_examples=40, deadline=None)  # each example builds and solves a site anew
@given(st.lists(st.tuples(st.sampled_from(FaultKind), st.integers(0, 1 << 16)), max_size=5), st.randoms())
def test_any_faults_mended_in_any_order_leave_the_site_as_it_was(
    chosen: list[tuple[FaultKind, int]], chance: Random
) -> None:
    harness = Harness(SITE)
    before = harness.solve(harness.word_at_rest()).potentials
    for kind, number in chosen:
        here = places(harness, kind)
        if here:
            amount = row(kind).least
            fault = Fault(kind, here[number % len(here)], amount)
            if not present(harness, fault):
                inject(harness, fault)
    solution = harness.solve(harness.word_at_rest())
    assert all(math.isfinite(potential) for potential in solution.potentials)
    order = list(harness.injected)
    chance.shuffle(order)
    for fault in order:
        mend(harness, fault)
    assert harness.solve(harness.word_at_rest()).potentials == before
