"""A mode's card as text and as plain values: the whole table, common stimuli included.

Made from the table that the board itself runs; a card drawn by hand would be wrong after the first change.
"""

from __future__ import annotations

from collections.abc import Mapping

from simgate.board.mode_table import Row, Table
from simgate.board.modes import common
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response, Stimulus

LABEL = 13
CELL = {MODE_STIMULI: 7, COMMON_STIMULI: 6}
NARROW = 5  # a column that has nothing longer than '[on]': all must fit in 70 characters at 80x24
SHORT_LABELS = {Condition.STOPPED_OPENING: "was opening", Condition.STOPPED_CLOSING: "was closing"}

SHORT = {
    Response.OPEN: "open",
    Response.OPEN_PART: "part",
    Response.CLOSE: "close",
    Response.STOP: "stop",
    Response.REVERSE: "turn",
    Response.HOLD: "hold",
    Response.RESUME: "on",
    Response.GIVE_WAY: "back",
    Response.REST: "rest",
    Response.START_PAUSE: "pause",
    Response.RESTART_PAUSE: "again",
    Response.CUT_PAUSE: "cut",
    Response.SHUT_SOON: "soon",
    Response.IGNORE: "·",
}
HEALED = (Stimulus.STOP_REMADE, Stimulus.GUARD_O_CLEAR, Stimulus.GUARD_C_CLEAR, Stimulus.EDGE_HEALTHY)
HEADS = {
    Stimulus.CALL: ("CALL", "press"),
    Stimulus.CALL_RELEASED: ("", "let go"),
    Stimulus.PART: ("PART", "press"),
    Stimulus.PART_RELEASED: ("", "let go"),
    Stimulus.ARRIVED: ("", "there"),
    Stimulus.PAUSE_OVER: ("pause", "over"),
    Stimulus.PASSED: ("", "passed"),
    Stimulus.STOP_PARTED: ("STOP", "open"),
    Stimulus.STOP_REMADE: ("", "made"),
    Stimulus.GUARD_O_BROKEN: ("GUARD-O", "open"),  # wider than its column, over an empty one
    Stimulus.GUARD_O_CLEAR: ("", "made"),
    Stimulus.GUARD_C_BROKEN: ("GUARD-C", "open"),
    Stimulus.GUARD_C_CLEAR: ("", "made"),
    Stimulus.EDGE_AMISS: ("EDGE", "amiss"),
    Stimulus.EDGE_HEALTHY: ("", "well"),
    Stimulus.OBSTACLE: ("leaf", "met"),
    Stimulus.FAULT: ("", "fault"),
}


def text(table: Table) -> str:
    """The card for a terminal of 80 columns."""
    lines = [table.title, table.summary, ""]
    for heading, stimuli, cells in (
        ("What this mode answers", MODE_STIMULI, table.cells),
        ("What every mode answers", COMMON_STIMULI, common().cells),
    ):
        lines += [heading, *_block(stimuli, cells), ""]
    lines += [f"{short:<6} {response.value}" for response, short in SHORT.items() if short != "·"]
    notes = [
        f"{condition.value}, {stimulus.value}: {sentence}"
        for condition, row in table.notes.items()
        for stimulus, sentence in row.items()
    ]
    return "\n".join([*lines, "", *notes]).rstrip()


def plain(table: Table) -> dict[str, object]:
    """The card as plain values, for JSON."""
    return {
        "title": table.title,
        "summary": table.summary,
        "closes_itself": table.closes_itself,
        "while_held": table.while_held,
        "cells": _plain(table.cells),
        "common": _plain(common().cells),
        "notes": {c.value: {s.value: words for s, words in row.items()} for c, row in table.notes.items()},
    }


def _plain(cells: Mapping[Condition, Row]) -> dict[str, dict[str, str]]:
    return {c.value: {s.value: response.value for s, response in row.items()} for c, row in cells.items()}


def _block(stimuli: tuple[Stimulus, ...], cells: Mapping[Condition, Row]) -> list[str]:
    """Heads over two lines, then a row for each condition."""
    rows = [f"{'':{LABEL}}{heads(stimuli, level)}".rstrip() for level in (0, 1)]
    for condition in Condition:
        line = "".join(f"{SHORT[cells[condition][one]]:^{width(one)}}" for one in stimuli)
        rows.append(f"{label(condition):<{LABEL}}{line}".rstrip())
    return rows


def label(condition: Condition) -> str:
    """A condition's name in the first column."""
    return SHORT_LABELS.get(condition, condition.value.replace("-", " "))


def width(stimulus: Stimulus) -> int:
    """Characters of a column."""
    return (
        NARROW if stimulus in HEALED else CELL[COMMON_STIMULI if stimulus in COMMON_STIMULI else MODE_STIMULI]
    )


def heads(stimuli: tuple[Stimulus, ...], level: int) -> str:
    """Columns' heads; one wider than its column stands over the empty one beside it."""
    line, at = "", 0
    for stimulus in stimuli:
        word, wide = HEADS[stimulus][level], width(stimulus)
        if word:
            line = line.ljust(at) + f"{word:^{wide}}"
        at += wide
    return line
