"""Every place where the set-up book can be open has a help text."""

from __future__ import annotations

from simgate.board import modes
from simgate.board.book_help import help_to, title, work_help
from simgate.board.book_words import WORK
from simgate.board.settings import Settings

SETTINGS = Settings(modes.facts(modes.shipped_modes()))


def test_every_setting_and_every_work_of_the_book_has_its_title_and_four_texts() -> None:
    assert set(work_help()) == set(WORK)
    for item in (*SETTINGS.catalogue, *WORK):
        assert title(item, SETTINGS)
        told = help_to(item, SETTINGS)
        for words in (told.does, told.look, told.high, told.low):
            assert words.endswith((".", ":"))
            assert len(words) > 15


def test_direction_before_learn_stands_where_one_jogs() -> None:
    assert "Direction before learn" in help_to("jog-a", SETTINGS).look
