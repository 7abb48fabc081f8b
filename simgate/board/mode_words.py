"""Cells in plain words: 'while open, a call: shuts at once'. One spelling for comparisons and proofs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from simgate.board.mode_table import Row, Table
from simgate.board.stimuli import Condition, Response, Stimulus

C, S, R = Condition, Stimulus, Response

WHILE: Mapping[Condition, str] = {
    C.SHUT: "shut",
    C.OPENING: "opening",
    C.PART_OPENING: "opening in part",
    C.HELD: "waiting to open",
    C.PART_HELD: "waiting to open in part",
    C.OPEN: "open",
    C.PART_OPEN: "open in part",
    C.CLOSING: "shutting",
    C.STOPPED_OPENING: "stopped, last opening",
    C.STOPPED_CLOSING: "stopped, last shutting",
}
WHEN: Mapping[Stimulus, str] = {
    S.CALL: "a call",
    S.CALL_RELEASED: "the call let go",
    S.PART: "a part call",
    S.PART_RELEASED: "the part call let go",
    S.ARRIVED: "the end of the way",
    S.PAUSE_OVER: "the end of the pause",
    S.PASSED: "something passed",
}
TERMINALS = (("guard o", "GUARD-O"), ("guard c", "GUARD-C"), ("stop ", "STOP "), ("edge ", "EDGE "))
DOES: Mapping[Response, str] = {
    R.OPEN: "opens fully",
    R.OPEN_PART: "opens in part",
    R.CLOSE: "shuts",
    R.STOP: "stops",
    R.REVERSE: "turns round",
    R.HOLD: "waits",
    R.RESUME: "goes on",
    R.GIVE_WAY: "gives way",
    R.REST: "stays there",
    R.START_PAUSE: "begins its pause",
    R.RESTART_PAUSE: "renews the pause",
    R.CUT_PAUSE: "shuts at once",
    R.SHUT_SOON: "shuts soon",
    R.IGNORE: "takes no notice",
}


@dataclass(frozen=True, slots=True)
class Difference:
    """One cell in which two tables differ."""

    condition: Condition
    stimulus: Stimulus
    one: Response
    other: Response


def differences(one: Mapping[Condition, Row], other: Mapping[Condition, Row]) -> Iterator[Difference]:
    """Cells that differ, in the order of the card."""
    for condition, row in one.items():
        for stimulus, response in row.items():
            if other[condition][stimulus] is not response:
                yield Difference(condition, stimulus, response, other[condition][stimulus])


def told(difference: Difference, one: Table, other: Table) -> str:
    """'while open, a call: Latch shuts; Shared drive renews the pause'."""
    return (
        f"while {WHILE[difference.condition]}, {WHEN[difference.stimulus]}: "
        f"{one.title} {does(difference.one, difference.condition)}; "
        f"{other.title} {does(difference.other, difference.condition)}"
    )


def does(response: Response, condition: Condition) -> str:
    """What a response does there: only one of the two also begins a pause where none runs."""
    if response is R.START_PAUSE and condition in (C.OPEN, C.PART_OPEN):
        return "begins the pause or renews it"
    return DOES[response]


def spelt(stimulus: Stimulus) -> str:
    """A stimulus in words, its terminal as it stands on the board: 'GUARD-C broken'."""
    words = stimulus.value.replace("-", " ")
    for said, terminal in TERMINALS:
        words = words.replace(said, terminal)
    return words
