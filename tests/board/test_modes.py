"""The mode tables, cell by cell, and the reports on files that are wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate import files
from simgate.board import modes
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response, Stimulus
from simgate.files import UserError

# call | call-released | part | part-released | arrived | pause-over | passed; - is ignore
GOLDEN = {
    "Latch": """
        shut            | open fully | - | open part | - | - | - | -
        opening         | reverse | - | - | - | rest | - | -
        part-opening    | open fully | - | reverse | - | rest | - | -
        held            | reverse | - | - | - | - | - | -
        part-held       | reverse | - | reverse | - | - | - | -
        open            | close | - | - | - | - | - | -
        part-open       | open fully | - | close | - | - | - | -
        closing         | reverse | - | reverse | - | rest | - | -
        stopped-opening | close | - | close | - | - | - | -
        stopped-closing | open fully | - | close | - | - | - | -
    """,
    "Self-close": """
        shut            | open fully | - | open part | - | - | - | -
        opening         | - | - | - | - | start the pause | - | -
        part-opening    | open fully | - | - | - | start the pause | - | -
        held            | - | - | - | - | - | - | -
        part-held       | - | - | - | - | - | - | -
        open            | cut the pause short | - | restart the pause | - | - | close | -
        part-open       | open fully | - | cut the pause short | - | - | close | -
        closing         | reverse | - | reverse | - | rest | - | -
        stopped-opening | close | - | close | - | - | - | -
        stopped-closing | open fully | - | close | - | - | - | -
    """,
    "Hold-to-run": """
        shut            | open fully | - | - | - | - | - | -
        opening         | - | stop | stop | stop | rest | - | -
        part-opening    | stop | stop | stop | stop | rest | - | -
        held            | - | stop | stop | stop | - | - | -
        part-held       | stop | stop | stop | stop | - | - | -
        open            | - | - | close | - | - | - | -
        part-open       | open fully | - | close | - | - | - | -
        closing         | stop | stop | - | stop | rest | - | -
        stopped-opening | open fully | - | close | - | - | - | -
        stopped-closing | open fully | - | close | - | - | - | -
    """,
    "Four-step": """
        shut            | open fully | - | open part | - | - | - | -
        opening         | stop | - | stop | - | rest | - | -
        part-opening    | stop | - | stop | - | rest | - | -
        held            | stop | - | stop | - | - | - | -
        part-held       | stop | - | stop | - | - | - | -
        open            | close | - | - | - | - | - | -
        part-open       | open fully | - | close | - | - | - | -
        closing         | stop | - | stop | - | rest | - | -
        stopped-opening | close | - | close | - | - | - | -
        stopped-closing | open fully | - | close | - | - | - | -
    """,
    "Shared drive": """
        shut            | open fully | - | open part | - | - | - | -
        opening         | - | - | - | - | start the pause | - | -
        part-opening    | open fully | - | - | - | start the pause | - | -
        held            | - | - | - | - | - | - | -
        part-held       | open fully | - | - | - | - | - | -
        open            | start the pause | - | start the pause | - | - | close | -
        part-open       | open fully | - | start the pause | - | - | close | -
        closing         | reverse | - | reverse | - | rest | - | -
        stopped-opening | open fully | - | open fully | - | - | - | -
        stopped-closing | open fully | - | open fully | - | - | - | -
    """,
    "Close-behind": """
        shut            | open fully | - | open part | - | - | - | -
        opening         | - | - | - | - | start the pause | - | -
        part-opening    | open fully | - | - | - | start the pause | - | -
        held            | - | - | - | - | - | - | -
        part-held       | open fully | - | - | - | - | - | -
        open            | cut the pause short | - | restart the pause | - | - | close | shut soon
        part-open       | open fully | - | cut the pause short | - | - | close | shut soon
        closing         | reverse | - | reverse | - | rest | - | -
        stopped-opening | close | - | close | - | - | - | -
        stopped-closing | open fully | - | close | - | - | - | -
    """,
    "Two-call": """
        shut            | open fully | - | open part | - | - | - | -
        opening         | - | - | reverse | - | rest | - | -
        part-opening    | open fully | - | reverse | - | rest | - | -
        held            | - | - | reverse | - | - | - | -
        part-held       | open fully | - | reverse | - | - | - | -
        open            | - | - | close | - | - | - | -
        part-open       | open fully | - | close | - | - | - | -
        closing         | reverse | - | - | - | rest | - | -
        stopped-opening | open fully | - | close | - | - | - | -
        stopped-closing | open fully | - | close | - | - | - | -
    """,
}

# stop-parted | stop-remade | guard-o-broken | -clear | guard-c-broken | -clear | edge-amiss | -healthy |
# obstacle | fault
GOLDEN_COMMON = """
shut            | ignore | ignore | ignore | ignore | ignore  | ignore | ignore | ignore | ignore   | ignore
opening         | stop   | ignore | hold   | ignore | ignore  | ignore | ignore | ignore | give way | stop
part-opening    | stop   | ignore | hold   | ignore | ignore  | ignore | ignore | ignore | give way | stop
held            | stop   | ignore | ignore | go on  | ignore  | go on  | ignore | ignore | ignore   | stop
part-held       | stop   | ignore | ignore | go on  | ignore  | go on  | ignore | ignore | ignore   | stop
open            | stop   | ignore | ignore | ignore | ignore  | ignore | ignore | ignore | ignore   | stop
part-open       | stop   | ignore | ignore | ignore | ignore  | ignore | ignore | ignore | ignore   | stop
closing         | stop   | ignore | ignore | ignore | reverse | ignore | ignore | ignore | reverse  | stop
stopped-opening | ignore | ignore | ignore | ignore | ignore  | ignore | ignore | ignore | ignore   | ignore
stopped-closing | ignore | ignore | ignore | ignore | ignore  | ignore | ignore | ignore | ignore   | ignore
"""


def _response(cell: str) -> Response:
    return Response.IGNORE if cell == "-" else Response(cell)


def table(text: str, stimuli: tuple[Stimulus, ...]) -> dict[Condition, dict[Stimulus, Response]]:
    """A golden table as written above."""
    rows = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    return {Condition(name): dict(zip(stimuli, map(_response, cells), strict=True)) for name, *cells in rows}


@pytest.mark.parametrize("title", GOLDEN)
def test_every_cell_of_a_shipped_mode_is_as_written_here(title: str) -> None:
    assert modes.shipped()[title].cells == table(GOLDEN[title], MODE_STIMULI)


def test_every_shipped_mode_has_a_golden_table() -> None:
    assert sorted(modes.shipped()) == sorted(GOLDEN)


def test_every_cell_of_the_common_table_is_as_written_here() -> None:
    assert modes.common().when({"guard-c-use": "closing"}) == table(GOLDEN_COMMON, COMMON_STIMULI)


def test_guard_c_set_for_both_differs_in_holding_while_opening_and_nowhere_else() -> None:
    closing, both = (modes.common().when({"guard-c-use": use}) for use in ("closing", "both"))
    differing = {
        (condition, stimulus): both[condition][stimulus]
        for condition in Condition
        for stimulus in COMMON_STIMULI
        if both[condition][stimulus] is not closing[condition][stimulus]
    }
    assert differing == {
        (Condition.OPENING, Stimulus.GUARD_C_BROKEN): Response.HOLD,
        (Condition.PART_OPENING, Stimulus.GUARD_C_BROKEN): Response.HOLD,
    }


EDGE_OPENING = {
    (Condition.OPENING, Stimulus.EDGE_AMISS): Response.GIVE_WAY,
    (Condition.PART_OPENING, Stimulus.EDGE_AMISS): Response.GIVE_WAY,
    (Condition.HELD, Stimulus.EDGE_HEALTHY): Response.RESUME,
    (Condition.PART_HELD, Stimulus.EDGE_HEALTHY): Response.RESUME,
}
EDGE_CLOSING = {(Condition.CLOSING, Stimulus.EDGE_AMISS): Response.REVERSE}


@pytest.mark.parametrize(
    ("use", "cells"),
    [
        ("not fitted", {}),
        ("closing", EDGE_CLOSING),
        ("opening", EDGE_OPENING),
        ("both", EDGE_OPENING | EDGE_CLOSING),
    ],
)
def test_an_edge_acts_on_the_movement_that_it_guards_and_on_no_other(
    use: str, cells: dict[tuple[Condition, Stimulus], Response]
) -> None:
    without, fitted = modes.common().cells, modes.common().when({"edge-use": use})
    differing = {
        (condition, stimulus): fitted[condition][stimulus]
        for condition in Condition
        for stimulus in COMMON_STIMULI
        if fitted[condition][stimulus] is not without[condition][stimulus]
    }
    assert differing == cells


def test_which_modes_close_themselves_and_only_hold_to_run_needs_a_held_call() -> None:
    shipped = modes.shipped()
    themselves = [title for title, closes in modes.facts(shipped).items() if closes]
    assert themselves == ["Close-behind", "Self-close", "Shared drive"]
    assert [title for title, mode in shipped.items() if mode.part_closes] == ["Hold-to-run", "Two-call"]
    assert [title for title, mode in shipped.items() if mode.while_held] == ["Hold-to-run"]


@pytest.mark.parametrize("title", GOLDEN)
def test_without_part_opening_no_cell_opens_part_and_part_is_at_most_the_call_that_shuts(title: str) -> None:
    whole = modes.shipped()[title]
    without = whole.without_part()
    for condition in Condition:
        for stimulus in MODE_STIMULI:
            was, now = whole.cells[condition][stimulus], without.cells[condition][stimulus]
            if stimulus in (Stimulus.PART, Stimulus.PART_RELEASED) and not whole.part_closes:
                assert now is Response.IGNORE
            else:
                assert now is (Response.IGNORE if was is Response.OPEN_PART else was)


def test_a_mode_without_a_pause_cannot_shorten_one(tmp_path: Path) -> None:
    path = mode_file(tmp_path, '[open]\ncall = "close"', '[open]\ncall = "shut soon"', "latch")
    assert "open.call: found 'shut soon'; allowed: a mode with a pause" in complaints(path)[0]


def test_a_note_stands_beside_a_cell_that_exists_and_is_a_sentence() -> None:
    for mode in modes.shipped().values():
        for condition, notes in mode.notes.items():
            for stimulus, sentence in notes.items():
                assert stimulus in mode.cells[condition]
                assert sentence[0].isupper()
                assert sentence.endswith(".")


# Files that are wrong -----------------------------------------------------------------------------


def mode_file(tmp_path: Path, old: str, new: str, name: str = "self-close") -> Path:
    """A shipped mode with one piece of its text changed."""
    text = files.find("modes", name).read_text()
    assert old in text
    path = tmp_path / "mine.toml"
    path.write_text(text.replace(old, new, 1))
    return path


def complaints(path: Path) -> list[str]:
    """What the report on a wrong file says, without the file's name."""
    with pytest.raises(UserError) as caught:
        modes.read(path, "mine.toml")
    return [str(problem) for problem in caught.value.problems]


def test_a_missing_cell_and_an_impossible_response_come_in_one_report(tmp_path: Path) -> None:
    path = mode_file(tmp_path, '[shut]\ncall = "open fully"', '[shut]\ncall = "reverse"')
    path.write_text(path.read_text().replace('pause-over = "close"\n', "", 1))
    first, second = complaints(path)
    assert "shut.call: found 'reverse'; allowed: ignore, open fully, open part" in first
    assert first.startswith("mine.toml:10:")
    assert "open.pause-over: found nothing; allowed: a response, every cell is written" in second


def test_a_misspelt_response_is_answered_with_the_nearest_one(tmp_path: Path) -> None:
    path = mode_file(tmp_path, 'arrived = "start the pause"', 'arrived = "start pause"')
    assert "did you mean 'start the pause'?" in complaints(path)[0]


def test_a_condition_left_out_is_reported_once(tmp_path: Path) -> None:
    path = mode_file(tmp_path, "[held]", "[held-not]")
    text = path.read_text()
    start = text.index("[held-not]")
    path.write_text(text[:start] + text[text.index("[part-held]") :])
    (only,) = complaints(path)
    assert "held: found nothing; allowed: a table with call, call-released" in only


def test_a_stimulus_that_is_common_cannot_be_softened_by_a_mode(tmp_path: Path) -> None:
    path = mode_file(tmp_path, "[closing]\n", '[closing]\nstop-parted = "ignore"\n')
    assert "closing.stop-parted: found an unknown stimulus" in complaints(path)[0]


def test_a_mode_that_claims_to_close_itself_must_start_a_pause(tmp_path: Path) -> None:
    path = mode_file(tmp_path, "closes-itself = false", "closes-itself = true", "latch")
    assert "closes-itself: found true, but no cell starts a pause" in complaints(path)[0]


def test_a_pause_that_nothing_ends_is_refused(tmp_path: Path) -> None:
    path = mode_file(tmp_path, 'pause-over = "close"', 'pause-over = "ignore"')
    assert (
        "open.pause-over: found 'ignore'; allowed: a response: a pause is started here" in complaints(path)[0]
    )


def test_a_note_beside_no_cell_is_refused(tmp_path: Path) -> None:
    path = mode_file(tmp_path, "[notes.opening]\ncall", "[notes.opening]\nstop-parted")
    assert "notes.opening.stop-parted: found an unknown stimulus" in complaints(path)[0]
