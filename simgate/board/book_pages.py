"""Where the set-up book is open: chapters, what stands in them, and the way from page to page.

Apart from the keys, so that what a key does can be read without how the book is bound. A chapter in
which nothing applies is left out: a page without anything on it would be a way that ends nowhere.
"""

from __future__ import annotations

from simgate.board.book_devices import PAGES, DeviceBook
from simgate.board.book_words import (
    COUNT,
    DEVICES,
    ERASE_ALL,
    ERASE_ONE,
    JOGS,
    KEY_WORDS,
    LEARN,
    RESET,
    ROLL_CALL,
    TEACHES,
    WORK,
    KeyWords,
    Page,
)
from simgate.board.display import Lines
from simgate.board.settings import Draft, Settings
from simgate.board.settings_table import chapter_order

CHAPTER_WORK = {
    "Line": (ROLL_CALL, DEVICES),
    "Remotes": (*TEACHES, ERASE_ONE, ERASE_ALL),
    "Learn": (*JOGS, LEARN),
    "Reset": (COUNT, RESET),
}


class Pages:
    """The book's pages over a draft of `settings`."""

    def __init__(self, settings: Settings, devices: DeviceBook) -> None:
        self._settings = settings
        self.devices = devices
        self._first()

    def _first(self) -> None:
        """Shut, with a fresh draft."""
        self._page = Page.CLOSED
        self._chapter = self._item = self._then = ""
        self._draft: Draft = self._settings.draft()
        self._was = 0
        self._words: Lines = ("", "")

    @property
    def open(self) -> bool:
        """Whether the book, and not the gate's own display, is on the display."""
        return self._page is not Page.CLOSED

    @property
    def teaching(self) -> bool:
        """Whether the book waits for a remote's key, which then is no call."""
        return self._page is Page.TEACH

    def place(self) -> tuple[str, ...]:
        """(), (chapter,) or (chapter, setting or work): what a help text can be shown for."""
        if not self.open:
            return ()
        return (self._chapter,) if self._page is Page.CHAPTERS else (self._chapter, self._item)

    def key_words(self) -> KeyWords:
        """What each key does on this page, in a word."""
        return KEY_WORDS[self._page]

    # Walking ---------------------------------------------------------------------------------------

    def chapters(self) -> tuple[str, ...]:
        """The chapters in which something applies, as the draft stands."""
        return tuple(name for name in chapter_order() if self.items(name))

    def items(self, chapter: str) -> tuple[str, ...]:
        """What stands in a chapter: keys of settings, then work."""
        work = CHAPTER_WORK.get(chapter, ())
        leaves = self._draft.value("leaves")
        fitting = (one for one in work if isinstance(leaves, int) and JOGS.get(one, 0) < leaves)
        return (*(setting.key for setting in self._draft.chapter(chapter)), *fitting)

    def _walk_chapters(self, by: int) -> None:
        """To the next chapter, from the last to the first: the way to Learn is short from either end."""
        names = self.chapters()
        place = names.index(self._chapter) + by if self._chapter in names else 0
        self._chapter = names[place % len(names)]

    def _walk_items(self, by: int) -> None:
        self._item = _beside(self.items(self._chapter), self._item, by)

    def _enter_chapter(self, tick: int) -> None:
        items = self.items(self._chapter)
        if items:  # a chapter can empty behind the book's back when the board's settings are changed
            self._page, self._item = Page.ITEMS, items[0]

    def _to_chapters(self, tick: int) -> None:
        self._page = Page.CHAPTERS

    def _to_items(self, tick: int) -> None:
        self._page = Page.ITEMS
        self._words = ("", "")

    def _enter_item(self, tick: int) -> None:
        if self._item not in WORK:
            self._page = Page.CHANGE
            self._was = self._draft.place(self._item)
        elif self._draft.changed():
            self._page, self._then = Page.ASK, self._item
        else:
            self._enter_work()

    def _enter_work(self) -> None:
        if self._item in PAGES:
            self._page = PAGES[self._item]
            self.devices.enter()
            return
        pages = {LEARN: Page.LEARN, COUNT: Page.COUNT, RESET: Page.RESET}
        self._page = Page.JOG if self._item in JOGS else pages[self._item]

    def _undo(self, tick: int) -> None:
        self._draft.put(self._item, self._was)
        self._to_items(tick)


def _beside(names: tuple[str, ...], name: str, by: int) -> str:
    """The neighbour of `name`, stopping at both ends; the first when `name` is no longer there."""
    place = names.index(name) + by if name in names else 0
    return names[min(max(place, 0), len(names) - 1)]
