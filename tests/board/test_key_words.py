"""What the Cabinet says under each key, against the table of what the keys do."""

from __future__ import annotations

import pytest

from simgate.board.book import KEYS, _ignore
from simgate.board.book_words import KEY_WORDS, Page
from simgate.board.stimuli import Key

LONGEST = 5  # characters under a key at 80 columns


@pytest.mark.parametrize("page", Page)
def test_a_key_has_a_word_where_it_does_something_and_none_where_it_does_not(page: Page) -> None:
    for key, word in zip(Key, KEY_WORDS[page], strict=True):
        assert bool(word) is (KEYS[page][key] is not _ignore), f"{page.value}, {key.value}: '{word}'"
        assert len(word) <= LONGEST
