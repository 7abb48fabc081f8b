"""A mode's card as text and as plain values: the whole table, common stimuli included.

Made from the table that the board itself runs; a card drawn by hand would be wrong after the first change.
"""

from __future__ import annotations

from collections.abc import Mapping

from simgate.board.modes import Row, Table, common
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response, Stimulus

LABEL = 16
CELL = 8
"""Characters of the first column, and of each other one."""

SHORT: Mapping[Response, str] = {
    Response.OPEN: "open",
    Response.OPEN_PART: "part",
    Response.CLOSE: "close",
    Response.STOP: "stop",
    Response.REVERSE: "turn",
    Response.HOLD: "hold",
    Response.RESUME: "go on",
    Response.GIVE_WAY: "yield",
    Response.REST: "rest",
    Response.START_PAUSE: "pause",
    Response.RESTART_PAUSE: "again",
    Response.CUT_PAUSE: "cut",
    Response.SHUT_SOON: "soon",
    Response.IGNORE: "·",
}


def text(table: Table) -> str:
    """The card for a terminal of 80 columns."""
    plainly = common().when(dict.fromkeys(common().settings(), ""))
    lines = [table.title, table.summary, ""]
    for heading, stimuli, cells in (
        ("What this mode answers", MODE_STIMULI, table.cells),
        ("What every mode answers", COMMON_STIMULI, plainly),
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
    plainly = common().when(dict.fromkeys(common().settings(), ""))
    return {
        "title": table.title,
        "summary": table.summary,
        "closes_itself": table.closes_itself,
        "while_held": table.while_held,
        "cells": _plain(table.cells),
        "common": _plain(plainly),
        "notes": {c.value: {s.value: words for s, words in row.items()} for c, row in table.notes.items()},
    }


def _plain(cells: Mapping[Condition, Row]) -> dict[str, dict[str, str]]:
    return {c.value: {s.value: response.value for s, response in row.items()} for c, row in cells.items()}


def _block(stimuli: tuple[Stimulus, ...], cells: Mapping[Condition, Row]) -> list[str]:
    """Heads over two lines, then a row for each condition."""
    split = [stimulus.value.rpartition("-") for stimulus in stimuli]
    rows = [
        "".join(f"{first:^{CELL}}" for first, _, _ in split),
        "".join(f"{last:^{CELL}}" for _, _, last in split),
    ]
    rows = [f"{'':{LABEL}}{row}".rstrip() for row in rows]
    for condition in Condition:
        line = "".join(f"{SHORT[cells[condition][stimulus]]:^{CELL}}" for stimulus in stimuli)
        rows.append(f"{condition.value:<{LABEL}}{line}".rstrip())
    return rows
