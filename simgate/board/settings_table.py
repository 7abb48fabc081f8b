"""The set-up book's table: reads settings.toml and refuses it, with every mistake, when it is unsound.

A slip in the table (a default outside its range, a condition on a setting that does not exist) would
show only when somebody turned to that page; so the whole table is checked before a board has settings.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from functools import cache
from pathlib import Path
from types import MappingProxyType

import msgspec

from simgate import files
from simgate.files import Document, Problem, Shape, UserError

Value = int | float | str

TABLE = Path(__file__).with_name("settings.toml")
MODE = "mode"
CLOSES_ITSELF = "mode_closes_itself"
MOST_OPTIONS = 1000  # a range that needs more presses than this is a slip in the table
LONGEST_NAME = 28  # what the display's line leaves beside a mark


class Kind(Enum):
    """What a setting's values are."""

    NUMBER = "number"
    CHOICE = "choice"


# The table as written ------------------------------------------------------------------------------


class Help(Shape, frozen=True):
    """What a setting does, what to look for, and what too high and too low are like."""

    does: str
    look: str
    high: str
    low: str


class _Entry(Shape, frozen=True, rename="kebab"):
    key: str
    name: str
    chapter: str
    kind: Kind
    default: int | float | str
    help: Help
    unit: str = ""
    range: tuple[float, ...] = ()
    step: float = 1
    choices: tuple[str, ...] = ()
    choices_of: str = ""
    shown_when: dict[str, int | float | bool | str | list[int | float | bool | str]] = msgspec.field(
        default_factory=dict
    )
    stales_learn: str = ""


class _Table(Shape, frozen=True):
    chapters: list[str]
    setting: list[_Entry]


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting. options: every allowed value, in the order in which Less and More walk them.

    default: place of the default in `options`. shown_when: fact -> values that will do, all must hold.
    stale_word: what the display calls it when it makes the learn stale; '' when it does not.
    """

    key: str
    name: str
    chapter: str
    unit: str
    kind: Kind
    options: tuple[Value, ...]
    default: int
    shown_when: tuple[tuple[str, tuple[Value, ...]], ...]
    stale_word: str
    help: Help

    def text(self, place: int) -> str:
        """The value at `place` as people read it: '2.5 s', 'medium'."""
        return f"{self.plain(place)} {self.unit}".rstrip()

    def plain(self, place: int) -> str:
        """The value at `place` without its unit: '2.5'."""
        value = self.options[place]
        return value if isinstance(value, str) else f"{value:g}"

    def allowed(self) -> str:
        """What may be set, in words: '0 to 10 s in steps of 0.5 s'."""
        if self.kind is Kind.CHOICE:
            return ", ".join(str(option) for option in self.options)
        step = Decimal(str(self.options[1])) - Decimal(str(self.options[0])) if len(self.options) > 1 else 0
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.plain(0)} to {self.plain(-1)}{unit} in steps of {step}{unit}"

    def place(self, value: object) -> int | None:
        """Where `value` stands in `options`; None when it is not allowed."""
        wanted = str if self.kind is Kind.CHOICE else (int, float)
        if isinstance(value, bool) or not isinstance(value, wanted) or value not in self.options:
            return None
        return self.options.index(value)


# Checking the table --------------------------------------------------------------------------------


@cache
def _shipped() -> Document:
    return files.parse(TABLE, TABLE.name)


def _decimal_options(entry: _Entry) -> tuple[Value, ...]:
    """Every number of a range, each the float nearest to its decimal; () when the range is unsound."""
    if len(entry.range) != 2 or entry.step <= 0:
        return ()
    low, high = (Decimal(str(end)) for end in entry.range)
    step = Decimal(str(entry.step))
    count = (high - low) / step
    if count != int(count) or not 0 < count < MOST_OPTIONS:
        return ()
    numbers = [low + step * index for index in range(int(count) + 1)]
    if all(number == int(number) for number in numbers):
        return tuple(int(number) for number in numbers)
    return tuple(float(number) for number in numbers)


def _options(entry: _Entry, modes: Mapping[str, bool]) -> tuple[Value, ...]:
    if entry.kind is Kind.NUMBER:
        return _decimal_options(entry)
    return tuple(modes) if entry.choices_of == "modes" else tuple(entry.choices)


def _default(entry: _Entry, options: tuple[Value, ...], modes: Mapping[str, bool]) -> int | None:
    """Place of the default. A board without the default mode falls back on one that stays put."""
    if entry.default in options:
        return options.index(entry.default)
    if entry.choices_of:
        return min(range(len(options)), key=lambda place: modes[str(options[place])], default=None)
    return None


def _mistakes(entry: _Entry, table: _Table, options: tuple[Value, ...]) -> Iterator[tuple[str, str, str]]:
    """(key, found, allowed) for each thing in an entry that has the right shape but no meaning."""
    keys = [other.key for other in table.setting]
    if keys.count(entry.key) > 1:
        yield "key", files.shown(entry.key), "a key used once"
    if entry.chapter not in table.chapters:
        yield "chapter", files.shown(entry.chapter), files.nearest(entry.chapter, table.chapters)
    if not 0 < len(entry.name) <= LONGEST_NAME:
        yield "name", files.shown(entry.name), f"1 to {LONGEST_NAME} characters"
    if not options:
        yield "range", "no sound set of values", "range [low, high] a whole number of steps apart, or choices"


def _idle_facts(entry: _Entry, settings: Mapping[str, Setting]) -> Iterator[tuple[str, str, str]]:
    """Conditions that can never hold, so that the setting would stay hidden for good."""
    for fact, written in entry.shown_when.items():
        if fact != CLOSES_ITSELF and (fact not in settings or fact == entry.key):
            yield "shown-when", files.shown(fact), files.nearest(fact, [*settings, CLOSES_ITSELF])
            continue
        if not _any_of(written):
            yield "shown-when", "an empty list", "at least one value"
        for needed in _any_of(written):
            if fact == CLOSES_ITSELF:
                if not isinstance(needed, bool):
                    yield "shown-when", files.shown(needed), "true or false"
            elif settings[fact].options and settings[fact].place(needed) is None:
                yield "shown-when", files.shown(needed), settings[fact].allowed()


def _any_of(written: Value | list[Value]) -> tuple[Value, ...]:
    """One value or a list of them, any of which will do."""
    return tuple(written) if isinstance(written, list) else (written,)


def catalogue(modes: Mapping[str, bool]) -> Mapping[str, Setting]:
    """Every setting of the shipped table for a board with these modes, in the order of the book."""
    return _for_modes(tuple(modes.items()))


@cache  # checking takes some 10 ms; tests and proofs make thousands of boards with the same modes
def _for_modes(modes: tuple[tuple[str, bool], ...]) -> Mapping[str, Setting]:
    return MappingProxyType(checked(_shipped(), dict(modes)))


def checked(document: Document, modes: Mapping[str, bool]) -> dict[str, Setting]:
    """Every setting of the table in `document`. Raises UserError with every mistake in it."""
    table = files.shaped(document, _Table)
    problems: list[Problem] = []
    settings: dict[str, Setting] = {}
    for index, entry in enumerate(table.setting):
        options = _options(entry, modes)
        mistakes = list(_mistakes(entry, table, options))
        default = _default(entry, options, modes)
        if default is None:
            mistakes.append(("default", files.shown(entry.default), "one of its own values"))
        problems += [document.problem(["setting", index, key], *rest) for key, *rest in mistakes]
        settings[entry.key] = Setting(
            entry.key, entry.name, entry.chapter, entry.unit, entry.kind, options, default or 0,
            tuple((fact, _any_of(needed)) for fact, needed in entry.shown_when.items()),
            entry.stales_learn, entry.help,
        )  # fmt: skip
    for index, entry in enumerate(table.setting):
        for key, *rest in _idle_facts(entry, settings):
            problems.append(document.problem(["setting", index, key], *rest))
    if problems:
        raise UserError(problems)
    return settings


@cache
def chapter_order() -> tuple[str, ...]:
    """Every chapter of the book, shown or not, in its order."""
    return tuple(files.shaped(_shipped(), _Table).chapters)
