"""The set-up book on the five keys: which page stands on the display and what each key does there.

`KEYS` below is the whole machine: every key on every page, the silent ones too. Values go into a
draft and reach the settings only when Keep answers 'Keep the changes?'; jog runs only while a key is
held. If anything here acted without a key being down, a leaf could move with nobody at the board.
"""

from __future__ import annotations

from collections.abc import Callable

from simgate.board.book_acts import SECOND, Acts
from simgate.board.book_words import RESET, Page, View, lines
from simgate.board.display import Lines
from simgate.board.stimuli import Key, Way


class Book(Acts):
    """The book over `settings`, for one board. Keys and ticks in, two lines of plain words out."""

    # Questions -------------------------------------------------------------------------------------

    def lines(self) -> Lines:
        """The two lines of the display; empty while the book is shut."""
        return lines(
            View(
                self._page, self.chapters(), self._chapter, self._item, self._draft, self._words, self._way,
                self._left, self._code, self._host.counts(),
                self.devices.lines(self._page, self._item, self._left),
            )
        )  # fmt: skip

    def due(self, now: int) -> int | None:
        """The tick at which a held key next acts; None while waiting for hands only."""
        return None if self._next is None else max(self._next, now)

    def state(self) -> tuple[str | int | None, ...]:
        """Everything that decides what the book does next, as plain values."""
        edits = ",".join(f"{key}={self._draft.place(key)}" for key in self._draft.changed())
        down = ",".join(key.value for key in self._down)
        way = self._way.value if self._way else 0
        return (
            self._page.value, self._chapter, self._item, self._was, self._then, edits, down, self._by,
            self._left, self._next, way, self._code, self._barred, *self._words, self.devices.place,
        )  # fmt: skip

    # Happenings ------------------------------------------------------------------------------------

    def press(self, key: Key, tick: int) -> None:
        """A key goes down."""
        self.tick(tick)
        if key in self._down:
            return
        self._rest(tick)
        self._down += (key,)
        KEYS[self._page][key](self, tick)

    def release(self, key: Key, tick: int) -> None:
        """A key comes up: whatever ran because it was held, stops."""
        self.tick(tick)
        if key in self._down:
            self._down = tuple(one for one in self._down if one is not key)
            self._rest(tick)

    def tick(self, now: int) -> None:
        """Do what held keys have brought due up to `now`."""
        while self._next is not None and self._next <= now:
            HELD[self._page](self, self._next)

    def offer_reset(self) -> None:
        """Power came with Keep held down: the one way into a book whose passcode nobody knows."""
        self.leave()
        self._page, self._chapter, self._item = Page.RESET, "Reset", RESET
        self._barred = True

    def jog_ended(self, words: str) -> None:
        """The board ended the jog by itself; `words` say why. The key must come up before the next."""
        if self._page is Page.JOG:
            self._way = None
            self._words = ("", words)

    # Held keys -------------------------------------------------------------------------------------

    def _count(self, at: int) -> None:
        self._left -= 1
        self._next = at + SECOND
        if self._left == 0:
            self._forget_hold()
            HELD_OUT[self._page](self, at)


def _ignore(book: Book, tick: int) -> None:
    """The key does nothing on this page."""


# The machine: every key on every page -------------------------------------------------------------

Act = Callable[[Book, int], None]


def _row(back: Act, next_: Act, less: Act, more: Act, keep: Act) -> dict[Key, Act]:
    return {Key.BACK: back, Key.NEXT: next_, Key.LESS: less, Key.MORE: more, Key.KEEP: keep}


# fmt: off
KEYS: dict[Page, dict[Key, Act]] = {
    #                   Back               Next                 Less  More  Keep
    Page.CLOSED: _row(_ignore, Book._open, _ignore, _ignore, Book._open),
    Page.CHAPTERS: _row(
        Book._out, Book._enter_chapter,
        lambda book, _: book._walk_chapters(-1), lambda book, _: book._walk_chapters(+1), _ignore,
    ),
    Page.ITEMS: _row(
        Book._to_chapters, Book._enter_item,
        lambda book, _: book._walk_items(-1), lambda book, _: book._walk_items(+1), _ignore,
    ),
    Page.CHANGE: _row(
        Book._undo, Book._to_items,
        lambda book, tick: book._change(-1, tick), lambda book, tick: book._change(+1, tick), Book._to_items,
    ),
    Page.JOG: _row(
        Book._to_items, _ignore,
        lambda book, tick: book._jog(Way.CLOSING, tick),
        lambda book, tick: book._jog(Way.OPENING, tick), _ignore,
    ),
    Page.LEARN: _row(Book._to_items, _ignore, _ignore, _ignore, Book._hold),
    Page.RESET: _row(Book._back, _ignore, _ignore, _ignore, Book._hold),
    Page.COUNT: _row(Book._to_items, _ignore, _ignore, _ignore, Book._hold),
    Page.PASS: _row(
        lambda book, _: book._shut(), Book._take_code,
        lambda book, tick: book._change_code(-1, tick), lambda book, tick: book._change_code(+1, tick),
        Book._take_code,
    ),
    Page.SURE: _row(Book._back, _ignore, _ignore, _ignore, Book._reset),
    Page.ROLL_CALL: _row(Book._to_items, _ignore, _ignore, _ignore, Book._hold),
    Page.DEVICES: _row(Book._to_items, _ignore, Book._device_before, Book._device_after, _ignore),
    Page.TEACH: _row(Book._to_items, _ignore, _ignore, _ignore, Book._teach),
    Page.KEYS: _row(Book._to_items, _ignore, Book._device_before, Book._device_after, Book._hold),
    Page.ERASE_ALL: _row(Book._to_items, _ignore, _ignore, _ignore, Book._hold),
    Page.ASK: _row(Book._drop, _ignore, _ignore, _ignore, Book._keep),
    Page.SAY: _row(Book._back, Book._back, Book._back, Book._back, Book._back),
}
# fmt: on

HELD_OUT: dict[Page, Act] = {
    Page.LEARN: Book._start_learn,
    Page.RESET: Book._ask_sure,
    Page.COUNT: Book._serve,
    Page.ROLL_CALL: Book._roll_call,
    Page.KEYS: Book._erase_one,
    Page.ERASE_ALL: Book._erase_all,
}
HELD: dict[Page, Act] = {
    Page.CHANGE: Book._repeat,
    Page.PASS: Book._repeat_code,
    **dict.fromkeys(HELD_OUT, Book._count),
}
