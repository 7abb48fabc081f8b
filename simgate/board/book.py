"""The set-up book on the five keys: which page stands on the display and what each key does there.

`KEYS` below is the whole machine: every key on every page, the silent ones too. Values go into a
draft and reach the settings only when Keep answers 'Keep the changes?'; jog runs only while a key is
held. If anything here acted without a key being down, a leaf could move with nobody at the board.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from simgate.board.book_devices import DeviceBook
from simgate.board.book_pages import Pages
from simgate.board.book_words import HOLD_SECONDS, JOGS, PASSCODE, RESET, Page, View, lines
from simgate.board.display import Lines, spread
from simgate.board.line import Line
from simgate.board.radio import Radio
from simgate.board.settings import Settings
from simgate.board.stimuli import Key, Way

REPEAT_AFTER = 500  # ms a key is held before the value runs on by itself
REPEAT_EVERY = 150  # ms
SECOND = 1000  # ms


class Host(Protocol):
    """What the book needs of the board. An answer other than '' is why not, in plain words."""

    def start_learn(self, tick: int) -> str: ...
    def jog(self, leaf: int, way: Way | None, tick: int) -> str: ...
    def setting_kept(self, key: str, value: str, tick: int) -> None: ...
    def reset_done(self, tick: int) -> None: ...
    def counts(self) -> tuple[int, int]: ...
    def service_done(self, tick: int) -> None: ...


class Book(Pages):
    """The book over `settings`, for one board. Keys and ticks in, two lines of plain words out."""

    def __init__(self, settings: Settings, host: Host, devices: DeviceBook | None = None) -> None:
        super().__init__(settings, devices or DeviceBook(Line(), Radio()))
        self._host = host
        self._down: tuple[Key, ...] = ()
        self.leave()

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

    def leave(self) -> None:
        """Shut the book and drop the draft (power cut, learn cycle). A jog is the caller's to stop."""
        self._first()
        self._down = ()
        self._way: Way | None = None
        self._code = 0
        self._barred = False
        self._forget_hold()

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

    def _forget_hold(self) -> None:
        self._next: int | None = None
        self._left = 0
        self._by = 0

    def _rest(self, tick: int) -> None:
        """Nothing runs on: no repeat, no count, no jog."""
        self._forget_hold()
        if self._way is not None:
            self._way = None
            self._host.jog(JOGS[self._item], None, tick)

    def _repeat(self, at: int) -> None:
        before = self._draft.place(self._item)
        self._draft.step(self._item, self._by)
        moved = self._draft.place(self._item) != before
        self._next = at + REPEAT_EVERY if moved else None

    def _count(self, at: int) -> None:
        self._left -= 1
        self._next = at + SECOND
        if self._left == 0:
            self._forget_hold()
            HELD_OUT[self._page](self, at)

    def _start_learn(self, at: int) -> None:
        refused = self._host.start_learn(at)
        if refused:
            self._say("No learn cycle", refused)
        else:
            self.leave()

    def _roll_call(self, at: int) -> None:
        self._say(*self.devices.roll_call(at))

    def _teach(self, tick: int) -> None:
        self._say_of(self.devices.teach(self._item, tick))

    def _erase_one(self, at: int) -> None:
        self._say_of(self.devices.erase_one(at))

    def _erase_all(self, at: int) -> None:
        self._say(*self.devices.erase_all(at))

    def _device_before(self, tick: int) -> None:
        self.devices.walk(self._page, -1)

    def _device_after(self, tick: int) -> None:
        self.devices.walk(self._page, +1)

    def _say_of(self, said: Lines | None) -> None:
        if said is not None:
            self._say(*said)

    def _ask_sure(self, at: int) -> None:
        self._page = Page.SURE

    def _open(self, tick: int) -> None:
        self._shut()
        if self._settings.number(PASSCODE):
            self._page = Page.PASS
        else:
            self._enter()

    def _enter(self) -> None:
        self._page = Page.CHAPTERS
        self._chapter = self.chapters()[0]

    def _change_code(self, by: int, tick: int) -> None:
        self._by = by
        self._repeat_code(tick)
        self._next = tick + REPEAT_AFTER

    def _repeat_code(self, at: int) -> None:
        self._code = (self._code + self._by) % len(self._settings.setting(PASSCODE).options)
        self._next = at + REPEAT_EVERY

    def _take_code(self, tick: int) -> None:
        if self._code == self._settings.number(PASSCODE):
            self._enter()
        else:
            self._barred = True
            self._say("Wrong passcode", "The book stays locked")

    # Changing --------------------------------------------------------------------------------------

    def _change(self, by: int, tick: int) -> None:
        self._by = by
        self._repeat(tick)
        if self._next is not None:
            self._next = tick + REPEAT_AFTER

    def _out(self, tick: int) -> None:
        if self._draft.changed():
            self._page, self._then = Page.ASK, ""
        else:
            self._shut()

    def _shut(self) -> None:
        down = self._down  # a key that is still down must come up before it can act again
        self.leave()
        self._down = down

    def _keep(self, tick: int) -> None:
        for key in self._draft.keep():
            value = self._settings.setting(key).plain(self._settings.place(key))
            self._host.setting_kept(key, "changed" if key == PASSCODE else value, tick)
        self._go_on()

    def _drop(self, tick: int) -> None:
        self._draft = self._settings.draft()
        self._go_on()

    def _go_on(self) -> None:
        if not self._then:
            self._shut()
        elif self._then in self.items(self._chapter):
            self._then = ""
            self._enter_work()
        else:  # the answer took the work away: leaf B of a gate that has one leaf after all
            self._page, self._then, self._item = Page.ITEMS, "", self.items(self._chapter)[0]

    # Work ------------------------------------------------------------------------------------------

    def _jog(self, way: Way, tick: int) -> None:
        self._words = ("", "")
        if len(self._down) > 1:
            return
        refused = self._host.jog(JOGS[self._item], way, tick)
        self._words = ("", refused)
        self._way = None if refused else way

    def _hold(self, tick: int) -> None:
        if self._page is Page.RESET and not self._settings.differs():
            return
        self._left = HOLD_SECONDS
        self._next = tick + SECOND

    def _reset(self, tick: int) -> None:
        self._settings.reset()
        self._draft = self._settings.draft()
        self._host.reset_done(tick)
        self._say("Back to default", "Nothing differs now")

    def _serve(self, tick: int) -> None:
        self._host.service_done(tick)
        self._page = Page.COUNT

    def _back(self, tick: int) -> None:
        """Back to the items, or out for who came past the passcode."""
        if self._barred:
            self._shut()
        else:
            self._to_items(tick)

    def _say(self, heading: str, words: str) -> None:
        self._page = Page.SAY
        self._words = spread(heading, words)


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
