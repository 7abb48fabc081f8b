"""The set-up book beside the Cabinet: help to the page that is open, and the settings as they stand."""

from __future__ import annotations

from textual.content import Content

from simgate.bench.record import Snapshot
from simgate.board import modes
from simgate.board.book_help import help_to, title
from simgate.board.book_words import PASSCODE, WORK
from simgate.board.settings import Settings

Parts = list[tuple[str, str] | str]

ASKED = (("", "does"), ("Look for: ", "look"), ("Too much: ", "high"), ("Too little: ", "low"))
"""What stands before each of the four texts."""
WRONG = {"high": "Mind: ", "low": "Mind: "}  # a choice has no too much or too little, only a wrong one
WRONG_WORK = {"high": "Mind: ", "low": "Left out: "}  # what can be done too soon, or not at all


def book_text(shot: Snapshot) -> Content:
    """Where the book is open, its help and chapter; else every chapter. '*' differs from the default."""
    carried = {**modes.shipped_modes(), shot.mode: shot.table}
    book = Settings(modes.facts(carried), dict(shot.settings))
    chapter, item = (*shot.page, "", "")[:2]
    parts: Parts = []
    if item:
        parts += _help(item, book)
    else:
        learned = "learned, but stale" if shot.stale else "learned" if shot.learned else "not learned"
        parts.append(f"The gate is {learned}. * differs from default.\n")
    names = [chapter] if chapter and item else book.chapters()
    for name in names:
        parts += _chapter(name, item, book, name == chapter)
    return Content.assemble(*parts)


def _help(item: str, book: Settings) -> Parts:
    """The four texts to one place of the book."""
    found = help_to(item, book)
    other = WRONG_WORK if item in WORK else WRONG if isinstance(book.value(item), str) else {}
    parts: Parts = [(f"{title(item, book)}\n", "bold")]
    for label, name in ASKED:
        parts += [(other.get(name, label), "bold"), f"{getattr(found, name)}\n"]
    parts.append("\n")
    return parts


def _chapter(name: str, item: str, book: Settings, here: bool) -> Parts:
    """One chapter with its settings; '▶' stands before the one that the book is open at."""
    settings = book.chapter(name)
    if not settings:
        return []
    differs = book.differs()
    parts: Parts = [(f"{'▶ ' if here and not item else ''}{name}\n", "bold")]
    for setting in settings:
        mark = "▶" if setting.key == item else "*" if setting.key in differs else " "
        line = f" {mark} {setting.name:<28} {_value(book, setting.key)}\n"
        parts.append((line, "bold") if setting.key == item else line)
    return parts


def _value(book: Settings, key: str) -> str:
    """A setting's value; whoever looks at the board from outside cannot read its passcode."""
    return ("set" if book.value(key) else "none") if key == PASSCODE else book.text(key)
