"""The board's display while the set-up book is shut: what the gate does, and the one thing to know.

Two lines of plain words. A code would have to be looked up, and a line that says only 'error' sends
people to the wrong terminal; so every line names what is open, changed or missing. Pure functions:
the board says what is so, this file says how it reads.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from simgate.board.stimuli import Condition, Input, Task

WIDTH = 32  # characters in one line of the display

Lines = tuple[str, str]

DOING = {
    Condition.SHUT: "Gate shut",
    Condition.OPENING: "Opening",
    Condition.PART_OPENING: "Opening in part",
    Condition.HELD: "Waiting to open",
    Condition.PART_HELD: "Waiting to open in part",
    Condition.OPEN: "Open",
    Condition.PART_OPEN: "Open in part",
    Condition.CLOSING: "Shutting",
    Condition.STOPPED_OPENING: "Stopped",
    Condition.STOPPED_CLOSING: "Stopped",
}
TAKEN = {
    Condition.SHUT: "Taken to be shut",
    Condition.OPEN: "Taken to be open",
    Condition.PART_OPEN: "Taken to be open in part",
}
"""The same while no place is known: a leaf that met something may as well be held by its bolt."""

MOVING = (Condition.OPENING, Condition.PART_OPENING, Condition.CLOSING)
BUSY = {Task.JOG: "Jog", Task.LEARN: "Learn cycle"}

NOT_LEARNED = ("Not learned", "Jog, then learn cycle")
UNKNOWN = "Place not known: moves slowly"

# What an open terminal forbids, in the order in which it is told: STOP forbids everything, and a guard
# of the movement that waits comes before the guard of a movement that nobody asked for.
FORBIDS = {
    (Input.STOP,): "STOP is open",
    (Input.GUARD_O, Input.GUARD_C): "GUARD-O and GUARD-C are open",
    (Input.GUARD_O,): "GUARD-O open: will not open",
    (Input.GUARD_C,): "GUARD-C open: will not shut",
}
GUARD_C_BOTH = "GUARD-C open: will not move"  # set for both it holds an opening gate too
EDGE_FORBIDS = {"closing": "will not shut", "opening": "will not open", "both": "will not move"}


def fit(text: str) -> str:
    """`text` as one line of the display; what is too long ends in '…'."""
    return text if len(text) <= WIDTH else text[: WIDTH - 1] + "…"


def spread(heading: str, words: str) -> Lines:
    """`heading` over `words`; when the words need both lines the heading gives way."""
    words = words.strip()
    if len(words) <= WIDTH:
        return fit(heading), words
    first, *rest = textwrap.wrap(words, WIDTH, break_on_hyphens=False)
    return first, fit(" ".join(rest))


def forbidden(amiss: Mapping[Input, str], edge_use: str = "", guard_c_use: str = "closing") -> str:
    """What the terminals that are amiss forbid: 'GUARD-C open: will not shut', or ''."""
    if not amiss:
        return ""
    for terminals, words in FORBIDS.items():
        if all(one in amiss for one in terminals):
            return GUARD_C_BOTH if terminals == (Input.GUARD_C,) and guard_c_use == "both" else words
    edge = amiss.get(Input.EDGE, "").replace(" is ", " ")
    return f"{edge}: {EDGE_FORBIDS[edge_use]}" if edge else ""


def lines(
    condition: Condition,
    *,
    mode: str,
    task: Task = Task.MODE,
    cause: str = "",
    learned: bool = True,
    stale: str = "",
    pause_left: int = 0,
    known: bool = True,
    advice: str = "",
) -> Lines:
    """The two lines for the gate as it is.

    mode: title of the logic mode. cause: why the gate does not move, or what the learn cycle is doing.
    stale: what changed since the learn cycle ('force'), '' when nothing. pause_left: s until the gate
    shuts by itself, 0 when no pause runs. known: whether the board knows where the leaves are. advice: what
    can wait, such as a service that is due.
    """
    if task is not Task.MODE:
        return spread(BUSY[task], cause)
    if not learned:
        return spread(NOT_LEARNED[0], cause or NOT_LEARNED[1])
    doing = DOING[condition] if known else TAKEN.get(condition, DOING[condition])
    if cause:
        return spread(doing, cause)
    moving = condition in MOVING
    second = (
        f"Shuts in {pause_left} s" if pause_left > 0 and not moving else "",
        f"Learn again: {stale} changed" if stale else "",
        "" if known else UNKNOWN,
        "" if moving else advice,
        "" if moving else f"Ready: {mode}",
    )
    return spread(doing, fit(next((words for words in second if words), "")))
