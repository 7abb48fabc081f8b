"""Checks of the line, of remotes and of edges at hand-made endings: when met, what they say when not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from simgate.bench.actions import Block, Operate, RemoteKey, SetSwitches
from simgate.bench.device_view import HeadView, LineView, RemoteView
from simgate.bench.record import ScanRecord
from simgate.board.signals import Acted, NoteKind
from simgate.board.stimuli import Condition
from simgate.practice.ending import Ending
from tests.practice.made import C, R, S, acted, did, ending, judged, kept, noted

OUTER = ("outer-sender", "outer-receiver")
CLEAR = (("closing 1", "clear"), ("both 1", "clear"))


def heads(**changed: dict[str, Any]) -> tuple[HeadView, ...]:
    """The heads of the mews as they are meant; `outer_sender` and so on change one."""
    made = []
    for beam, switches in (("outer", "-2--"), ("inner", "12--")):
        for word in ("sender", "receiver"):
            view = HeadView(f"{beam}-{word}", beam, word, True, switches, 0.0, 0.0, True, False, True)
            made.append(replace(view, **changed.get(f"{beam}_{word}", {})))
    return tuple(made)


def mews(
    records: Sequence[ScanRecord] = (),
    *,
    stand: tuple[HeadView, ...] | None = None,
    enrolled: int = 4,
    beams: tuple[tuple[str, str], ...] = CLEAR,
    faults: tuple[str, ...] = (),
    taught: tuple[tuple[int, int, str], ...] = (),
) -> Ending:
    """An ending at the mews, all well unless said otherwise."""
    return ending(
        records,
        place="mews-double",
        heads=heads() if stand is None else stand,
        line=LineView(22.0, enrolled, beams, faults),
        taught=taught,
        remotes=(
            RemoteView("remote-house", "house", 210417, 2, 0, 5.0, True, False),
            RemoteView("remote-spare", "spare", 210530, 2, 0, 5.0, True, False),
        ),
    )


# The roll-call ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("end", "why"),
    [
        ({"enrolled": 0, "beams": ()}, "the roll-call was not done"),
        (
            {"faults": ("Beam both 1: no sender answers",)},
            "the line has a fault: Beam both 1: no sender answers",
        ),
        ({"enrolled": 2}, "2 heads are in the roll-call, 4 are fitted"),
        ({"beams": (("closing 1", "clear"), ("both 1", "not clear"))}, "beam both 1 is not clear"),
    ],
)
def test_a_roll_call_is_healthy_with_every_head_in_it_and_every_beam_clear(
    end: dict[str, Any], why: str
) -> None:
    assert judged("roll-call-healthy", mews()).met
    verdict = judged("roll-call-healthy", mews(**end))
    assert (verdict.met, verdict.why) == (False, why)


def test_a_head_that_is_not_fitted_is_not_waited_for_in_the_roll_call() -> None:
    gone = heads(inner_sender={"fitted": False}, inner_receiver={"fitted": False})
    assert judged("roll-call-healthy", mews(stand=gone, enrolled=2, beams=CLEAR[:1])).met


def test_a_site_without_a_line_has_no_roll_call() -> None:
    assert not judged("roll-call-healthy", ending()).met


# What belongs on the line, and how it looks -------------------------------------------------------


def test_a_missing_head_and_one_that_guards_something_else_are_not_as_meant() -> None:
    assert judged("line-as-meant", mews()).met
    gone = judged("line-as-meant", mews(stand=heads(outer_receiver={"fitted": False})))
    assert (gone.met, gone.why) == (False, "there is no outer receiver in its place")
    other = judged("line-as-meant", mews(stand=heads(inner_sender={"switches": "1---"})))
    assert (other.met, other.why) == (False, "the inner sender is set to guard opening, not both ways")


def test_another_number_of_the_same_role_is_as_meant() -> None:
    third = {"switches": "12-4"}
    assert judged("line-as-meant", mews(stand=heads(inner_sender=third, inner_receiver=third))).met


@pytest.mark.parametrize(
    ("head", "met"),
    [
        ({"across": 4.9}, True),
        ({"across": 5.1}, False),
        ({"across": -3.0, "up": 4.1}, False),
        ({"lens": False}, False),
        ({"dirty": True}, False),
        ({"fitted": False}, False),
    ],
)
def test_a_beam_may_lose_half_its_light_to_aim_and_none_to_dirt(head: dict[str, Any], met: bool) -> None:
    """R5: half the power at 5 degrees, so one head may be that far off and no further."""
    assert judged("line-aimed", mews()).met
    assert judged("line-aimed", mews(stand=heads(inner_receiver=head))).met is met


def test_two_heads_a_little_off_add_up() -> None:
    off = {"across": 4.0}
    assert judged("line-aimed", mews(stand=heads(inner_sender=off))).met
    assert not judged("line-aimed", mews(stand=heads(inner_sender=off, inner_receiver=off))).met


# Roles --------------------------------------------------------------------------------------------

OPENING = (C.OPENING, S.GUARD_O_BROKEN, R.HOLD, C.HELD)
CLOSING = (C.CLOSING, S.GUARD_C_BROKEN, R.REVERSE, C.OPENING)


def broken(beam: str, tick: int, *cells: tuple[Any, Any, Any, Any]) -> list[ScanRecord]:
    """A beam put out while those cells act, and cleared again."""
    return [did(tick, Block(beam, True)), *acted(tick + 100, *cells), did(tick + 5000, Block(beam, False))]


def test_a_role_is_shown_by_a_beam_of_that_role_alone() -> None:
    assert judged("line-role-shown", mews(broken("outer", 1000, CLOSING)), role="closing").met
    verdict = judged("line-role-shown", mews(broken("inner", 1000, CLOSING)), role="closing")
    assert (verdict.met, verdict.why) == (
        False,
        "no beam that guards closing was broken while the gate shuts",
    )
    assert not judged("line-role-shown", mews(broken("outer", 1000, CLOSING)), role="opening").met


def test_a_beam_of_both_is_shown_only_when_it_acted_both_ways() -> None:
    both = [*broken("inner", 1000, OPENING), *broken("inner", 20_000, CLOSING)]
    assert judged("line-role-shown", mews(both), role="both").met
    for half in (both[:3], both[3:]):
        assert not judged("line-role-shown", mews(half), role="both").met


def test_a_guard_that_broke_with_nothing_in_the_beam_or_was_ignored_shows_nothing() -> None:
    assert not judged("line-role-shown", mews(acted(1000, CLOSING)), role="closing").met
    ignored = (C.CLOSING, S.GUARD_C_BROKEN, R.IGNORE, C.CLOSING)
    assert not judged("line-role-shown", mews(broken("outer", 1000, ignored)), role="closing").met


@pytest.mark.parametrize(
    "later",
    [
        noted(20_000, NoteKind.ROLL_CALL, "2 beams found"),
        did(20_000, SetSwitches("outer-sender", "-2--")),
        kept(20_000, "pause = 10"),
    ],
)
def test_what_was_shown_before_the_last_change_proves_nothing(later: ScanRecord) -> None:
    run = broken("outer", 1000, CLOSING)
    assert not judged("line-role-shown", mews([*run, later]), role="closing").met
    again = [*run, later, *broken("outer", 30_000, CLOSING)]
    assert judged("line-role-shown", mews(again), role="closing").met


# Remotes ------------------------------------------------------------------------------------------

OPENS = ((C.SHUT, S.CALL, R.OPEN, C.OPENING), (C.OPENING, S.ARRIVED, R.REST, C.OPEN))
PARTS = ((C.SHUT, S.PART, R.OPEN_PART, C.PART_OPENING), (C.PART_OPENING, S.ARRIVED, R.REST, C.PART_OPEN))


def pressed(tick: int, *cells: tuple[Any, Any, Any, Any], key: int = 1) -> list[ScanRecord]:
    """A key of the spare remote pressed, and what came of it."""
    return [did(tick, RemoteKey("remote-spare", key, True)), *acted(tick + 50, *cells)]


def shown(records: Sequence[ScanRecord], gate: str = "whole", key: str = "1") -> bool:
    """Whether the check takes it as shown."""
    return judged("remote-shown", mews(records), remote="remote-spare", key=key, gate=gate).met


def test_a_key_is_taught_for_its_call_and_no_other() -> None:
    asked = {"remote": "remote-house", "key": "1", "call": "call"}
    assert judged("key-taught", mews(taught=((210417, 1, "call"),)), **asked).met
    wrong = judged("key-taught", mews(taught=((210417, 1, "part call"),)), **asked)
    assert (wrong.met, wrong.why) == (False, "key 1 of remote house is taught for: part call")
    none = judged("key-taught", mews(taught=((210530, 1, "call"), (210417, 2, "call"))), **asked)
    assert (none.met, none.why) == (False, "key 1 of remote house is not taught")


def test_a_remote_is_erased_when_no_key_of_it_is_left() -> None:
    left = judged("remote-erased", mews(taught=((210530, 2, "call"),)), remote="remote-spare")
    assert (left.met, left.why) == (False, "the board still knows key 2 of remote spare")
    assert judged("remote-erased", mews(taught=((210417, 1, "call"),)), remote="remote-spare").met


def test_a_key_is_shown_by_the_whole_way_that_it_calls_for() -> None:
    assert shown(pressed(1000, *OPENS))
    assert not shown(pressed(1000, *OPENS[:1]))
    assert not shown(pressed(1000, *PARTS))
    assert shown(pressed(1000, *PARTS, key=2), "part", "2")
    assert not shown(pressed(1000, *OPENS, key=2))


def test_a_gate_that_was_opened_by_something_else_or_stopped_on_its_way_shows_no_key() -> None:
    assert not shown(acted(1000, *OPENS))
    assert not shown([did(1000, RemoteKey("remote-spare", 1, True)), *acted(9000, *OPENS)])
    stopped = (C.OPENING, S.STOP_PARTED, R.STOP, C.STOPPED_OPENING)
    assert not shown(pressed(1000, OPENS[0], stopped))


def test_a_key_pressed_before_it_was_taught_anew_has_to_be_pressed_again() -> None:
    taught = noted(20_000, NoteKind.KEY_TAUGHT, "210530 key 1 = call")
    assert not shown([*pressed(1000, *OPENS), taught])
    assert shown([taught, *pressed(21_000, *OPENS)])


# Edges --------------------------------------------------------------------------------------------


def edged(*records: ScanRecord) -> Ending:
    """An ending at the depot, whose edges are on leaf A and on leaf B."""
    return ending(records, place="depot-double")


def press(edge: str, tick: int, condition: Condition = C.CLOSING) -> list[ScanRecord]:
    """An edge pressed and let go, and what came of it."""
    cell = (condition, S.EDGE_AMISS, R.REVERSE, C.OPENING)
    return [did(tick, Operate(edge, True)), *acted(tick + 100, cell), did(tick + 300, Operate(edge, False))]


def test_every_edge_has_to_be_pressed_while_the_gate_moves() -> None:
    assert judged("edges-shown", edged(*press("edge-a", 1000), *press("edge-b", 9000))).met
    verdict = judged("edges-shown", edged(*press("edge-a", 1000)))
    assert (verdict.met, verdict.why) == (
        False,
        "the edge on leaf B was not pressed while the gate moved",
    )
    standing = (*press("edge-a", 1000), *press("edge-b", 9000, C.SHUT))
    assert not judged("edges-shown", edged(*standing)).met


def test_an_edge_that_acted_before_the_last_change_has_to_be_pressed_again() -> None:
    run = (*press("edge-a", 1000), kept(5000, "edge-use = both"), *press("edge-b", 9000))
    assert not judged("edges-shown", edged(*run)).met


def test_a_cell_acts_once_in_a_record() -> None:
    """The hand-made runs above are spelled as the bench spells them."""
    (record,) = acted(1000, CLOSING)
    assert record.acted == (Acted(1000, *CLOSING[:3], CLOSING[3], False),)
