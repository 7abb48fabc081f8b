"""What is said of a mode from its table: facts, differences in words, card and diagram."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from simgate.board import mode_card, mode_diagram
from simgate.board.mode_facts import Facts, facts_of
from simgate.board.mode_table import AFTER, Table
from simgate.board.mode_words import DOES, WHEN, WHILE, differences, told
from simgate.board.modes import common, shipped_modes
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response

MODES = tuple(shipped_modes().values())
every_mode = pytest.mark.parametrize("table", MODES, ids=lambda table: table.name)


def facts(title: str) -> Facts:
    """The facts of a shipped mode."""
    return facts_of(shipped_modes()[title])


def test_facts_are_read_off_the_cells() -> None:
    titles = [table.title for table in MODES]
    assert [t for t in titles if facts(t).only_opens] == ["Shared drive"]
    assert [t for t in titles if facts(t).shuts_behind] == ["Close-behind"]
    assert [t for t in titles if facts(t).stops] == ["Four-step", "Hold-to-run"]
    assert [t for t in titles if facts(t).two_calls] == ["Hold-to-run", "Two-call"]
    assert [t for t in titles if not facts(t).parts] == ["Hold-to-run"]
    assert [t for t in titles if facts(t).reopens] == [
        "Close-behind", "Latch", "Self-close", "Shared drive", "Two-call",
    ]  # fmt: skip


def test_every_word_of_the_tables_has_its_words() -> None:
    assert set(WHILE) == set(Condition)
    assert set(WHEN) == set(MODE_STIMULI)
    assert set(DOES) == set(Response) == set(mode_card.SHORT)
    assert set(mode_diagram.LABELS) == set(MODE_STIMULI)
    assert set(mode_diagram.ROUND) == set(Condition)


def test_a_difference_is_told_in_words() -> None:
    one, other = shipped_modes()["Self-close"], shipped_modes()["Shared drive"]
    sentences = [told(each, one, other) for each in differences(one.cells, other.cells)]
    assert (
        "while open, a call: Self-close shuts at once; Shared drive begins the pause or renews it"
        in sentences
    )


@pytest.mark.parametrize("other", MODES, ids=lambda table: table.name)
@every_mode
def test_differences_are_just_the_cells_that_differ(table: Table, other: Table) -> None:
    found = {(each.condition, each.stimulus) for each in differences(table.cells, other.cells)}
    for condition in Condition:
        for stimulus in MODE_STIMULI:
            same = table.cells[condition][stimulus] is other.cells[condition][stimulus]
            assert ((condition, stimulus) in found) is not same


@every_mode
def test_the_card_fits_eighty_columns_and_shows_every_cell(table: Table) -> None:
    lines = mode_card.text(table).splitlines()
    head = lines[: lines.index("open   open fully")]
    assert max(len(line) for line in head) <= 80
    for heading, stimuli, cells in (
        ("What this mode answers", MODE_STIMULI, table.cells),
        ("What every mode answers", COMMON_STIMULI, common().cells),
    ):
        rows = head[head.index(heading) + 3 :][: len(Condition)]
        assert [row[: mode_card.LABEL].strip() for row in rows] == [mode_card.label(c) for c in Condition]
        for row, condition in zip(rows, Condition, strict=True):
            short = [mode_card.SHORT[cells[condition][stimulus]] for stimulus in stimuli]
            assert row[mode_card.LABEL :].split() == short


@every_mode
def test_the_plain_card_holds_every_cell(table: Table) -> None:
    plain = mode_card.plain(table)
    cells, common = plain["cells"], plain["common"]
    assert isinstance(cells, dict)
    assert isinstance(common, dict)
    for condition in Condition:
        assert list(cells[condition.value]) == [stimulus.value for stimulus in MODE_STIMULI]
        assert list(common[condition.value]) == [stimulus.value for stimulus in COMMON_STIMULI]


@every_mode
def test_the_diagram_has_an_arrow_for_every_cell_that_leads_elsewhere_and_no_other(table: Table) -> None:
    wanted = {
        (condition, AFTER[response][condition])
        for condition, row in table.cells.items()
        for response in row.values()
        if AFTER[response][condition] is not condition
    }
    assert set(mode_diagram.arrows(table)) == wanted
    text = mode_diagram.mermaid(table)
    assert text.count("-->") == len(wanted) + 1
    root = ElementTree.fromstring(mode_diagram.svg(table))
    paths = [path for path in root.iter("{http://www.w3.org/2000/svg}path") if path.get("class") == "a"]
    assert len(paths) == len(wanted)


@every_mode
def test_no_arrow_of_the_diagram_leaves_the_picture(table: Table) -> None:
    for condition in Condition:
        x, y = mode_diagram._place(condition)
        assert mode_diagram.BOX_W / 2 <= x <= mode_diagram.WIDTH - mode_diagram.BOX_W / 2
        assert 60 <= y <= mode_diagram.HEIGHT - 60
