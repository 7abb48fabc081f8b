"""The set-up book's pages in plain words: what stands on the two lines of each page.

Kept apart from the keys, so that no wording can change what a key does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from simgate.board.display import Lines, fit, spread
from simgate.board.settings import Draft
from simgate.board.stimuli import Way

HOLD_SECONDS = 2  # what must not happen by a slip of the finger needs Keep held this long

JOGS = {"jog-a": 0, "jog-b": 1}
LEARN = "learn-cycle"
RESET = "back-to-default"
COUNT = "cycles-made"
PASSCODE = "passcode"  # the setting that locks the book
ROLL_CALL, DEVICES = "roll-call", "devices"
TEACHES = {
    "teach-call": "Teach a key: call",
    "teach-part-call": "Teach a key: part call",
    "teach-courtesy-light": "Teach a key: courtesy light",
}
ERASE_ONE, ERASE_ALL = "erase-one", "erase-all"
WORK = {
    "jog-a": "Jog leaf A",
    "jog-b": "Jog leaf B",
    LEARN: "Learn cycle",
    RESET: "Back to default",
    COUNT: "Cycles made",
    ROLL_CALL: "Roll-call",
    DEVICES: "What stands on the line",
    **TEACHES,
    ERASE_ONE: "Keys taught; erase one",
    ERASE_ALL: "Erase all keys",
}


class Page(Enum):
    """Where the book stands."""

    CLOSED = "closed"  # the gate's own display
    CHAPTERS = "chapters"
    ITEMS = "items"
    CHANGE = "change"
    JOG = "jog"
    LEARN = "learn"
    RESET = "reset"
    COUNT = "count"  # cycles made; service done
    PASS = "passcode"  # the book is locked
    ROLL_CALL = "roll-call"
    DEVICES = "devices"  # of the line, one after another
    TEACH = "teach"  # waits for a remote's key
    KEYS = "keys"  # taught keys, one after another
    ERASE_ALL = "erase all"
    SURE = "sure"  # back to default, really?
    ASK = "ask"  # keep the changes?
    SAY = "say"  # something to read; any key goes on


@dataclass(frozen=True, slots=True)
class View:
    """The book as its display needs it. left: s for which Keep must still be held, 0 when it is not."""

    page: Page
    chapters: tuple[str, ...]
    chapter: str
    item: str
    draft: Draft
    words: Lines
    way: Way | None
    left: int
    code: int = 0
    counts: tuple[int, int] = (0, 0)
    told: Lines = ("", "")  # of the pages of line and remotes


def lines(view: View) -> Lines:
    """The two lines for `view`; empty while the book is shut."""
    first, second = LINES[view.page](view)
    return fit(first), fit(second)


def _chapter_lines(view: View) -> Lines:
    names = view.chapters
    place = names.index(view.chapter) + 1 if view.chapter in names else 1
    return "Set-up book", f"Chapter {place} of {len(names)}: {view.chapter}"


def _item_lines(view: View) -> Lines:
    if view.item in WORK:
        return view.chapter, WORK[view.item]
    mark = ", not kept yet" if view.item in view.draft.changed() else ""
    return view.draft.setting(view.item).name, view.draft.text(view.item) + mark


def _change_lines(view: View) -> Lines:
    setting, place = view.draft.setting(view.item), view.draft.place(view.item)
    less = "< " if place > 0 else "  "
    more = " >" if place < len(setting.options) - 1 else ""
    return f"Set {setting.name}", less + setting.text(place) + more


def _jog_lines(view: View) -> Lines:
    doing = {Way.OPENING: "Opening", Way.CLOSING: "Shutting", None: "More opens, Less shuts"}[view.way]
    return spread(f"{WORK[view.item]}: keep people clear", view.words[1] or doing)


def _learn_lines(view: View) -> Lines:
    return "Gate shut, people clear?", _counting(view, f"Hold Keep for {HOLD_SECONDS} seconds")


def _reset_lines(view: View) -> Lines:
    count = len(view.draft.differs())
    if not count:
        return "Nothing differs from default", ""
    differ = "1 setting differs" if count == 1 else f"{count} settings differ"
    return differ, _counting(view, f"Hold Keep {HOLD_SECONDS} s: back to default")


def _count_lines(view: View) -> Lines:
    made, since = view.counts
    return f"{made} cycles, {since} unserviced", _counting(view, f"Hold Keep {HOLD_SECONDS} s: service done")


def _pass_lines(view: View) -> Lines:
    return "The book is locked", f"Passcode: < {view.code} >  then Keep"


def _counting(view: View, invitation: str) -> str:
    return f"Keep holding: {view.left} s" if view.left else invitation


LINES: dict[Page, Callable[[View], Lines]] = {
    Page.CLOSED: lambda view: ("", ""),
    Page.CHAPTERS: _chapter_lines,
    Page.ITEMS: _item_lines,
    Page.CHANGE: _change_lines,
    Page.JOG: _jog_lines,
    Page.LEARN: _learn_lines,
    Page.RESET: _reset_lines,
    Page.COUNT: _count_lines,
    Page.PASS: _pass_lines,
    Page.ROLL_CALL: lambda view: view.told,
    Page.DEVICES: lambda view: view.told,
    Page.TEACH: lambda view: view.told,
    Page.KEYS: lambda view: view.told,
    Page.ERASE_ALL: lambda view: view.told,
    Page.SURE: lambda view: ("Back to default?", "Keep: yes   Back: no"),
    Page.ASK: lambda view: ("Keep the changes?", "Keep: keep   Back: drop"),
    Page.SAY: lambda view: view.words,
}

# What each of the five keys does on a page, in a word: Back, Next, Less, More, Keep; '' for nothing.
KeyWords = tuple[str, str, str, str, str]
NO_KEYS: KeyWords = ("", "", "", "", "")
STOP_ONLY: KeyWords = ("stop", "", "", "", "")  # while a learn cycle runs
KEY_WORDS: dict[Page, KeyWords] = {
    Page.CLOSED: ("", "book", "", "", "book"),
    Page.CHAPTERS: ("out", "in", "‹", "›", ""),
    Page.ITEMS: ("out", "in", "‹", "›", ""),
    Page.CHANGE: ("undo", "take", "−", "+", "take"),
    Page.JOG: ("out", "", "shut", "open", ""),
    Page.LEARN: ("out", "", "", "", "hold"),
    Page.RESET: ("out", "", "", "", "hold"),
    Page.COUNT: ("out", "", "", "", "hold"),
    Page.PASS: ("out", "take", "−", "+", "take"),
    Page.ROLL_CALL: ("out", "", "", "", "hold"),
    Page.DEVICES: ("out", "", "‹", "›", ""),
    Page.TEACH: ("out", "", "", "", "keep"),
    Page.KEYS: ("out", "", "‹", "›", "hold"),
    Page.ERASE_ALL: ("out", "", "", "", "hold"),
    Page.SURE: ("no", "", "", "", "yes"),
    Page.ASK: ("drop", "", "", "", "keep"),
    Page.SAY: ("on", "on", "on", "on", "on"),
}
