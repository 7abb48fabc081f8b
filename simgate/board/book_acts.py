"""What the keys of the set-up book do: change a value, start work, ask, keep, drop.

Which key does which on which page is the machine's alone (book.py). Values go into a draft and reach the
settings only when they are kept; a jog runs only while its key is held.
"""

from __future__ import annotations

from typing import Protocol

from simgate.board.book_devices import DeviceBook
from simgate.board.book_pages import Pages
from simgate.board.book_words import HOLD_SECONDS, JOGS, PASSCODE, Page
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


class Acts(Pages):
    """Everything that a key may do to the book over `settings`, for one board."""

    def __init__(self, settings: Settings, host: Host, devices: DeviceBook | None = None) -> None:
        super().__init__(settings, devices or DeviceBook(Line(), Radio()))
        self._host = host
        self._down: tuple[Key, ...] = ()
        self.leave()

    def leave(self) -> None:
        """Shut the book and drop the draft (power cut, learn cycle). A jog is the caller's to stop."""
        self._first()
        self._down = ()
        self._way: Way | None = None
        self._code = 0
        self._barred = False
        self._forget_hold()

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
