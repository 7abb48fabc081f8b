"""The mode card as text, and how large a screen's file may grow."""

from __future__ import annotations

from pathlib import Path

import simgate.tui
from simgate.board.mode_card import label
from simgate.board.signals import Acted
from simgate.board.stimuli import Condition, Response, Stimulus
from simgate.tui.panes.card import card_table, card_text, telling
from tests.tui.made import made


def test_the_card_writes_every_cell_of_the_table_the_board_runs() -> None:
    table = card_table(made())
    text = card_text(table, Condition.OPENING, None).plain
    rows = [line for line in text.splitlines() if line[1:13].strip() in {label(c) for c in Condition}]
    assert len(rows) == 2 * len(Condition)
    assert all(set(row) == set(Stimulus) for row in table.cells.values())
    assert text.count("▶") == 2
    assert max(map(len, text.splitlines())) <= 70  # the card at 80x24, beside its scroll bar


def test_letting_go_without_effect_does_not_hide_the_press() -> None:
    def acted(stimulus: Stimulus, response: Response) -> Acted:
        return Acted(0, Condition.SHUT, stimulus, response, Condition.SHUT, common=False)

    assert not telling(acted(Stimulus.CALL_RELEASED, Response.IGNORE))
    assert telling(acted(Stimulus.CALL_RELEASED, Response.STOP))
    assert telling(acted(Stimulus.CALL, Response.IGNORE))


def test_app_and_screens_stay_small() -> None:
    """Screens put panes together; when one grows past 250 lines, work has crept into it."""
    folder = Path(simgate.tui.__file__).parent
    for path in [folder / "app.py", *(folder / "screens").glob("*.py")]:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 250, path.name
