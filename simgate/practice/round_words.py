"""Questions and answers of a round in words: what happens at the gate, and what it could do.

Answers that look the same at a gate are one answer: 'close' and 'cut the pause short' both shut it at once.
What is asked must be what can be seen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simgate.board.mode_table import Table, possible
from simgate.board.mode_words import WHILE
from simgate.board.stimuli import MODE_STIMULI, Condition, Response, Stimulus
from simgate.practice.moves import Cell

C, R, S = Condition, Response, Stimulus

COMES: Mapping[Stimulus, str] = {
    S.CALL: "the call button is pressed",
    S.CALL_RELEASED: "the call button is let go",
    S.PART: "the part button is pressed",
    S.PART_RELEASED: "the part button is let go",
    S.ARRIVED: "the leaves come to the end of their way",
    S.PAUSE_OVER: "the pause is over",
    S.PASSED: "whatever broke GUARD-C is through",
    S.STOP_PARTED: "STOP is pressed",
    S.STOP_REMADE: "STOP is set free again",
    S.GUARD_O_BROKEN: "GUARD-O is broken",
    S.GUARD_O_CLEAR: "GUARD-O is clear again",
    S.GUARD_C_BROKEN: "GUARD-C is broken",
    S.GUARD_C_CLEAR: "GUARD-C is clear again",
    S.EDGE_AMISS: "an edge is pressed",
    S.EDGE_HEALTHY: "the edge is free again",
    S.OBSTACLE: "a leaf meets something",
    S.FAULT: "the board finds a fault",
}
"""Said after 'The gate is opening. Now'."""

ANSWERS: Mapping[Response, str] = {
    R.OPEN: "It opens fully.",
    R.OPEN_PART: "It opens in part.",
    R.CLOSE: "It shuts at once.",
    R.STOP: "It stops.",
    R.REVERSE: "It turns round.",
    R.HOLD: "It waits, then goes on.",
    R.RESUME: "It goes on.",
    R.GIVE_WAY: "It stops and backs off.",
    R.REST: "It stays until called.",
    R.START_PAUSE: "It stays and begins its pause.",
    R.RESTART_PAUSE: "The pause begins anew.",
    R.SHUT_SOON: "It shuts soon.",
    R.IGNORE: "It takes no notice.",
}
STOP_AT_REST = "It stays; any pause is ended."

ALIKE: Mapping[Response, Response] = {R.CUT_PAUSE: R.CLOSE}
"""What nobody can tell apart at a gate."""
ALIKE_AT_REST: Mapping[Response, Response] = {**ALIKE, R.START_PAUSE: R.RESTART_PAUSE}
AT_REST = (C.OPEN, C.PART_OPEN)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked before a cell acts. choices: responses in the order of the board's words."""

    cell: Cell
    text: str
    choices: tuple[Response, ...]

    @property
    def answers(self) -> tuple[str, ...]:
        """The choices as they are read."""
        return tuple(answer_words(self.cell, choice) for choice in self.choices)


def question(cell: Cell) -> Question:
    """'The gate is open. Now the call button is pressed: what will it do?'"""
    choices = tuple(dict.fromkeys(alike(cell, response) for response in possible(cell.condition)))
    text = f"The gate is {WHILE[cell.condition]}. Now {COMES[cell.stimulus]}: what will it do?"
    return Question(cell, text, choices)


def alike(cell: Cell, response: Response) -> Response:
    """The answer that stands for `response`."""
    return (ALIKE_AT_REST if cell.condition in AT_REST else ALIKE).get(response, response)


def answer_words(cell: Cell, response: Response) -> str:
    """One answer in words."""
    response = alike(cell, response)
    return STOP_AT_REST if response is R.STOP and cell.condition in AT_REST else ANSWERS[response]


def explained(table: Table, cell: Cell, response: Response) -> str:
    """What the cell does, and why, if the card has a note on it or every mode does the same."""
    words = f"{WHILE[cell.condition].capitalize()}, and {COMES[cell.stimulus]}: "
    said = words + _lower(answer_words(cell, response))
    note = table.notes.get(cell.condition, {}).get(cell.stimulus, "")
    if not note and cell.stimulus not in MODE_STIMULI:
        note = "It is so in every mode."
    return f"{said} {note}".rstrip()


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]
