"""The line as the board sees it: roll-call, faults in words, filter, poll, and what each beam guards."""

from __future__ import annotations

import pytest

from simgate.board.line import Answer, Head, Line, LineHeard
from simgate.board.line_table import all_settings, place_of, table
from simgate.board.stimuli import Stimulus, Way
from simgate.files import UserError

CLOSING, OPENING, BOTH = place_of("-2--"), place_of("1---"), place_of("12--")
FILTER, POLL = 30, table().poll_ms


def pair(place: int, clear: bool = True) -> tuple[Answer, Answer]:
    """Both heads of a beam as they answer."""
    return Answer(place, Head.SENDER), Answer(place, Head.RECEIVER, clear)


def heard(*answers: Answer, volts: float = 22.0) -> LineHeard:
    """A line on which these answer."""
    return LineHeard(volts, answers)


def enrolled(*places: int) -> Line:
    """A line with these beams, clear, after its roll-call."""
    line = Line()
    line.start(heard(*(one for place in places for one in pair(place))))
    line.roll_call()
    return line


def settle(line: Line, now: LineHeard, tick: int = 1000, filter_ms: int = FILTER) -> tuple[Stimulus, ...]:
    """Let the line take in `now` for a second of scans; everything that it meant."""
    fired: list[Stimulus] = []
    for at in range(tick, tick + 1000, 10):
        fired += line.scan(now, at, filter_ms)
    return tuple(fired)


def test_every_setting_of_the_switches_is_one_address() -> None:
    assert len(all_settings()) == 16
    assert sorted(place_of(setting) for setting in all_settings()) == list(range(16))
    with pytest.raises(UserError, match="switches"):
        place_of("12345")


def test_a_roll_call_finds_what_is_there_and_all_is_well() -> None:
    line = Line()
    line.start(heard(*pair(CLOSING), *pair(BOTH)))
    assert line.words == "Beam closing 1: not in the roll-call"
    assert line.roll_call() == "2 beams found"
    assert line.words == ""
    assert line.faults == ()
    assert [(address.name, word) for address, word in line.beams] == [
        ("closing 1", "clear"),
        ("both 1", "clear"),
    ]


def test_what_nobody_called_forbids_what_it_guards_until_the_roll_call() -> None:
    line = Line()
    line.start(heard(*pair(CLOSING)))
    assert line.trouble(Way.CLOSING)
    assert not line.trouble(Way.OPENING)
    line.roll_call()
    assert not line.trouble(Way.CLOSING)


@pytest.mark.parametrize(
    ("now", "word"),
    [
        (heard(), "does not answer"),
        (heard(pair(CLOSING)[0]), "no receiver answers"),
        (heard(pair(CLOSING)[1]), "no sender answers"),
        (heard(*pair(CLOSING, clear=False)), "not clear"),
        (heard(Answer(CLOSING, Head.SENDER, garbled=True), pair(CLOSING)[1]), "two answer alike"),
    ],
)
def test_a_beam_that_is_not_sound_is_said_in_words_and_breaks_its_guard(now: LineHeard, word: str) -> None:
    line = enrolled(CLOSING)
    assert settle(line, now) == (Stimulus.GUARD_C_BROKEN,)
    assert line.words == f"Beam closing 1: {word}"
    assert line.trouble(Way.CLOSING)
    assert not line.trouble(Way.OPENING)
    assert bool(line.faults) is (word != "not clear")


def test_a_head_that_is_back_with_its_switches_is_back_and_one_with_others_is_not() -> None:
    """Nothing on the line tells a head from its like; what its switches say tells it from all others."""
    line = enrolled(CLOSING)
    sender, receiver = pair(CLOSING)
    settle(line, heard(receiver))
    assert settle(line, heard(Answer(OPENING, Head.SENDER), receiver), 3000) == (Stimulus.GUARD_O_BROKEN,)
    assert [*line.faults] == ["Beam closing 1: no sender answers", "Beam opening 1: not in the roll-call"]
    settle(line, heard(receiver), 5000)
    assert settle(line, heard(sender, receiver), 7000) == (Stimulus.GUARD_C_CLEAR,)
    assert [*line.faults] == []
    assert line.words == ""


def test_a_head_that_is_back_but_does_not_see_its_like_guards_as_a_broken_beam() -> None:
    line = enrolled(CLOSING)
    settle(line, heard(pair(CLOSING)[0]))
    assert settle(line, heard(*pair(CLOSING, clear=False)), 3000) == ()
    assert line.trouble(Way.CLOSING) == "Beam closing 1: not clear"


def test_an_extra_device_is_a_fault_until_it_goes_or_is_called() -> None:
    line = enrolled(CLOSING)
    settle(line, heard(*pair(CLOSING), *pair(OPENING)))
    assert line.faults == ("Beam opening 1: not in the roll-call",)
    assert line.trouble(Way.OPENING)
    settle(line, heard(*pair(CLOSING)), 3000)
    assert not line.faults[0:]


def test_a_head_alone_is_no_beam_however_often_it_is_called() -> None:
    line = Line()
    line.start(heard(pair(CLOSING)[0]))
    assert line.roll_call() == "no beam; Beam closing 1: no receiver answers"
    assert line.trouble(Way.CLOSING)


def test_two_that_answer_alike_are_not_enrolled() -> None:
    line = Line()
    line.start(
        heard(Answer(CLOSING, Head.SENDER, garbled=True), Answer(CLOSING, Head.RECEIVER, garbled=True))
    )
    line.roll_call()
    assert line.enrolled == ()
    assert line.trouble(Way.CLOSING)


def test_a_beam_of_both_breaks_opening_before_closing_and_lets_a_shutting_gate_turn_round() -> None:
    line = enrolled(BOTH)
    assert settle(line, heard(*pair(BOTH, clear=False))) == (
        Stimulus.GUARD_O_BROKEN,
        Stimulus.GUARD_C_BROKEN,
    )
    assert line.trouble(Way.OPENING)
    assert not line.own_trouble(Way.OPENING)
    assert line.own_trouble(Way.CLOSING)


def test_something_that_went_through_has_passed_and_a_fault_put_right_has_not() -> None:
    line = enrolled(CLOSING)
    sound = heard(*pair(CLOSING))
    settle(line, heard(*pair(CLOSING, clear=False)))
    assert settle(line, sound, 3000) == (Stimulus.GUARD_C_CLEAR, Stimulus.PASSED)
    settle(line, heard(), 5000)
    assert settle(line, sound, 7000) == (Stimulus.GUARD_C_CLEAR,)


@pytest.mark.parametrize("change", range(1000, 1070, 10))
def test_a_broken_beam_counts_within_poll_and_filter_and_one_scan(change: int) -> None:
    line = enrolled(CLOSING)
    broken = heard(*pair(CLOSING, clear=False))
    for tick in range(change, change + 500, 10):
        if line.scan(broken, tick, FILTER):
            assert FILTER <= tick - change <= POLL + FILTER + 10
            return
    raise AssertionError("never counted")


def test_what_lasts_less_than_the_filter_is_nothing() -> None:
    line = enrolled(CLOSING)
    sound = line.seen
    assert line.scan(heard(*pair(CLOSING, clear=False)), 1200, 100) == ()
    assert line.scan(sound, 1210, 100) == ()
    assert settle(line, sound, 1220, 100) == ()
    assert line.due is None


def test_a_line_that_is_nearly_shorted_says_so() -> None:
    line = enrolled(CLOSING)
    settle(line, heard(volts=2.1))
    assert line.words == "Line has only 2.1 V"
    assert line.trouble(Way.CLOSING)


def test_what_was_called_is_kept_when_the_power_goes() -> None:
    line = enrolled(CLOSING)
    line.stop(line.seen)
    assert line.trouble(Way.CLOSING)
    line.start(heard(*pair(CLOSING)))
    assert line.words == ""


def test_a_lamp_that_moves_the_volts_makes_the_board_ask_nobody() -> None:
    line = enrolled(CLOSING)
    dimmed = heard(*pair(CLOSING), volts=21.9)
    assert line.scan(dimmed, 1_010, FILTER) == ()
    assert (line.volts, line.due) == (21.9, None)
    line.scan(heard(*pair(CLOSING), volts=table().least_volts - 1.0), 1_030, FILTER)
    assert (line.volts, line.due) == (21.9, 1_080), "too few to be heard well: at the next poll"
