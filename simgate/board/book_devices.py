"""The book's chapters Line and Remotes: roll-call, what stands on the line, keys taught and erased.

Apart from the rest of the book, so that it can be read by itself: what each of their pages says, and what
Keep does there. Which key does what on which page stands with all the others in `book.py`.
"""

from __future__ import annotations

from collections.abc import Callable

from simgate.board.book_words import ERASE_ALL, ERASE_ONE, HOLD_SECONDS, ROLL_CALL, TEACHES, WORK, Page
from simgate.board.display import Lines
from simgate.board.line import Line, count
from simgate.board.radio import MEMORY, OTHER_FAMILY, Radio, Use
from simgate.board.signals import NoteKind

USES = {f"teach-{use.value.replace(' ', '-')}": use for use in Use}
NOTHING_THERE = "Nothing answers, none expected"
NONE_TAUGHT = "No key is taught"
WEAK = "Its battery is low"
PRESS_NOW, HEARD = "Press the remote's key now", ". Keep?"  # on the page that teaches: before and after

Tell = Callable[[int, NoteKind, str], None]


def _tell_nobody(tick: int, kind: NoteKind, detail: str) -> None:
    """For a book without a board."""


class DeviceBook:
    """What the book knows of the line and the remotes. place: which device or key a page shows."""

    def __init__(self, line: Line, radio: Radio, tell: Tell = _tell_nobody) -> None:
        self.line = line
        self.radio = radio
        self._tell = tell
        self.place = 0

    def enter(self) -> None:
        """A page is opened: at its first device or key, with nothing heard yet."""
        self.place = 0
        self.radio.offered = None

    def walk(self, page: Page, by: int) -> None:
        """To the next device or key, stopping at both ends."""
        many = len(self.line.beams if page is Page.DEVICES else self.radio.taught)
        self.place = min(max(self.place + by, 0), max(many - 1, 0))

    # What the pages say ---------------------------------------------------------------------------

    def lines(self, page: Page, item: str, left: int) -> Lines:
        """The two lines of one of these pages. left: s for which Keep must still be held."""
        holding = f"Keep holding: {left} s" if left else ""
        if page is Page.ROLL_CALL:
            return self._count(), holding or f"Hold Keep {HOLD_SECONDS} s: roll-call"
        if page is Page.DEVICES:
            return self._device()
        if page is Page.TEACH:
            return self._heard(item)
        if page is Page.KEYS:
            return self._taught(holding)
        return self._memory(), holding or f"Hold Keep {HOLD_SECONDS} s: erase all"

    def _count(self) -> str:
        return f"Line {self.line.volts:.1f} V, {count(len(self.line.beams), 'beam')}"

    def _device(self) -> Lines:
        beams = self.line.beams
        if not beams:
            return self._count(), NOTHING_THERE
        place = min(self.place, len(beams) - 1)
        address, word = beams[place]
        return f"Line {self.line.volts:.1f} V, beam {place + 1} of {len(beams)}", f"{address.name}: {word}"

    def _heard(self, item: str) -> Lines:
        radio = self.radio
        offer = radio.offer()
        if not offer:
            return WORK[item], OTHER_FAMILY if radio.strange else PRESS_NOW
        weak = radio.offered is not None and radio.offered.weak
        return f"{offer}{HEARD}", WEAK if weak else WORK[item]

    def _taught(self, holding: str) -> Lines:
        taught = self.radio.taught
        if not taught:
            return self._memory(), NONE_TAUGHT
        one = taught[min(self.place, len(taught) - 1)]
        return (
            f"{one.serial} key {one.key}: {one.use.value}",
            holding or f"Hold Keep {HOLD_SECONDS} s: erase this",
        )

    def _memory(self) -> str:
        return f"{len(self.radio.taught)} of {MEMORY} keys are taught"

    # What Keep does -------------------------------------------------------------------------------

    def roll_call(self, tick: int) -> Lines:
        """Hold the roll-call."""
        found = self.line.roll_call()
        self._tell(tick, NoteKind.ROLL_CALL, found)
        return "Roll-call", found

    def teach(self, item: str, tick: int) -> Lines | None:
        """Keep what was heard; None when nothing was."""
        frame = self.radio.offered
        if frame is None:
            return None
        use = USES[item]
        refused = self.radio.teach(frame, use)
        if refused:
            return "Not taught", refused
        self._tell(tick, NoteKind.KEY_TAUGHT, f"{frame.serial} key {frame.key} = {use.value}")
        return "Taught", f"{frame.serial} key {frame.key}: {use.value}"

    def erase_one(self, tick: int) -> Lines | None:
        """Forget the key that is shown; None when there is none."""
        taught = self.radio.taught
        if not taught:
            return None
        one = taught[min(self.place, len(taught) - 1)]
        self.radio.erase(one)
        self._tell(tick, NoteKind.KEY_ERASED, f"{one.serial} key {one.key}")
        return "Erased", one.words

    def erase_all(self, tick: int) -> Lines:
        """Forget every key."""
        for one in self.radio.taught:
            self._tell(tick, NoteKind.KEY_ERASED, f"{one.serial} key {one.key}")
        self.radio.erase_all()
        return "Erased", "No remote is taught any more"


PAGES = {
    ROLL_CALL: Page.ROLL_CALL,
    "devices": Page.DEVICES,
    **dict.fromkeys(TEACHES, Page.TEACH),
    ERASE_ONE: Page.KEYS,
    ERASE_ALL: Page.ERASE_ALL,
}
"""Item of the chapters Line and Remotes -> the page that it opens."""
