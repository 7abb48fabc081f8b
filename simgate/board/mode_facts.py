"""What can be said of a mode from its table alone: does it shut by itself, can a call shut it in front of
somebody, does a call ever stop it.

Read off the cells, never claimed in the file: a mode that somebody writes himself is judged like ours.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.mode_table import Table
from simgate.board.stimuli import Condition, Response, Stimulus

C, R = Condition, Response

AWAY_FROM_OPEN = (C.OPENING, C.PART_OPENING, C.HELD, C.PART_HELD, C.OPEN, C.PART_OPEN)
SHUTTING = (R.CLOSE, R.CUT_PAUSE)


@dataclass(frozen=True, slots=True)
class Facts:
    """What a table comes to.

    shuts_itself: it shuts without anybody calling. while_held: it moves only while a call is held.
    only_opens: no call ever shuts, stops or turns back a gate that opens or stands open.
    shuts_behind: it shuts soon after something has passed. reopens: a call while it shuts opens it again.
    stops: a call stops a gate that moves. two_calls: one call opens and never shuts, the other shuts.
    parts: it has a part opening.
    """

    shuts_itself: bool
    while_held: bool
    only_opens: bool
    shuts_behind: bool
    reopens: bool
    stops: bool
    two_calls: bool
    parts: bool


def facts_of(table: Table) -> Facts:
    """The facts of one table."""
    cells = table.cells
    in_front = [
        cells[condition][call] for condition in AWAY_FROM_OPEN for call in (Stimulus.CALL, Stimulus.PART)
    ]
    every = [response for row in cells.values() for response in row.values()]
    call_cells = [row[Stimulus.CALL] for row in cells.values()]
    return Facts(
        shuts_itself=table.closes_itself,
        while_held=table.while_held,
        only_opens=not any(one in (*SHUTTING, R.STOP, R.REVERSE) for one in in_front),
        shuts_behind=R.SHUT_SOON in every,
        reopens=cells[C.CLOSING][Stimulus.CALL] is R.REVERSE,
        stops=R.STOP in (cells[C.OPENING][Stimulus.CALL], cells[C.CLOSING][Stimulus.CALL]),
        two_calls=table.part_closes and not any(one in SHUTTING for one in call_cells),
        parts=R.OPEN_PART in every,
    )
