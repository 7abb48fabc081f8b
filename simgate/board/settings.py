"""The set-up book's settings: what may be set, what is set, and drafts that change nothing until kept.

Everything about a setting stands in settings.toml; this file only applies it, so that a new setting
is a new entry there and not a branch here. A value is held as its place in the list of all allowed
values: it cannot leave its range, and 0.1 s steps gather no floating-point dust.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from functools import cache
from pathlib import Path

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
    shown_when: dict[str, int | float | bool | str] = msgspec.field(default_factory=dict)
    stales_learn: str = ""


class _Table(Shape, frozen=True):
    chapters: list[str]
    setting: list[_Entry]


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting. options: every allowed value, in the order in which Less and More walk them.

    default: place of the default in `options`. shown_when: fact -> needed value, all must hold.
    stale_word: what the display calls it when it makes the learn stale; '' when it does not.
    """

    key: str
    name: str
    chapter: str
    unit: str
    kind: Kind
    options: tuple[Value, ...]
    default: int
    shown_when: tuple[tuple[str, Value], ...]
    stale_word: str
    help: Help

    def text(self, place: int) -> str:
        """The value at `place` as people read it: '2.5 s', 'medium'."""
        value = self.options[place]
        shown = value if isinstance(value, str) else f"{value:g}"
        return f"{shown} {self.unit}".rstrip()

    def allowed(self) -> str:
        """What may be set, in words: '0 to 10 s in steps of 0.5 s'."""
        if self.kind is Kind.CHOICE:
            return ", ".join(str(option) for option in self.options)
        step = Decimal(str(self.options[1])) - Decimal(str(self.options[0])) if len(self.options) > 1 else 0
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.options[0]} to {self.options[-1]}{unit} in steps of {step}{unit}"

    def place(self, value: object) -> int | None:
        """Where `value` stands in `options`; None when it is not allowed."""
        wanted = str if self.kind is Kind.CHOICE else (int, float)
        if isinstance(value, bool) or not isinstance(value, wanted) or value not in self.options:
            return None
        return self.options.index(value)


# Checking the table --------------------------------------------------------------------------------


@cache
def _table() -> tuple[_Table, Document]:
    return files.read(TABLE, _Table, TABLE.name)


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


def _mistakes(entry: _Entry, keys: list[str], options: tuple[Value, ...]) -> Iterator[tuple[str, str, str]]:
    """(key, found, allowed) for each thing in an entry that has the right shape but no meaning."""
    chapters = _table()[0].chapters
    if keys.count(entry.key) > 1:
        yield "key", entry.key, "a key used once"
    if entry.chapter not in chapters:
        yield "chapter", entry.chapter, files.nearest(entry.chapter, chapters)
    if not 0 < len(entry.name) <= LONGEST_NAME:
        yield "name", files.shown(entry.name), f"1 to {LONGEST_NAME} characters"
    if not options:
        yield "range", "no sound set of values", "range [low, high] a whole number of steps apart, or choices"
    for fact in entry.shown_when:
        if fact not in (*keys, CLOSES_ITSELF):
            yield "shown-when", fact, files.nearest(fact, [*keys, CLOSES_ITSELF])


def _catalogue(modes: Mapping[str, bool]) -> dict[str, Setting]:
    """Every setting of the table for a board with these modes. Raises UserError with every mistake."""
    table, document = _table()
    keys = [entry.key for entry in table.setting]
    problems: list[Problem] = []
    settings: dict[str, Setting] = {}
    for index, entry in enumerate(table.setting):
        options = _options(entry, modes)
        mistakes = list(_mistakes(entry, keys, options))
        default = _default(entry, options, modes)
        if default is None:
            mistakes.append(("default", files.shown(entry.default), "one of its own values"))
        problems += [document.problem(["setting", index, key], *rest) for key, *rest in mistakes]
        settings[entry.key] = Setting(
            entry.key, entry.name, entry.chapter, entry.unit, entry.kind, options, default or 0,
            tuple(entry.shown_when.items()), entry.stales_learn, entry.help,
        )  # fmt: skip
    if problems:
        raise UserError(problems)
    return settings


# Values --------------------------------------------------------------------------------------------


class Sheet:
    """A reading of every setting: what `Settings` and a `Draft` of it can both be asked."""

    def __init__(self, catalogue: Mapping[str, Setting], modes: Mapping[str, bool]) -> None:
        self.catalogue = catalogue
        self.modes = modes

    def place(self, key: str) -> int:
        """Where the value of `key` stands in its options."""
        raise NotImplementedError

    def setting(self, key: str) -> Setting:
        """The setting called `key`. Raises UserError, with the nearest keys, when there is none."""
        if key not in self.catalogue:
            raise UserError(Problem("settings", key, "no such setting", files.nearest(key, self.catalogue)))
        return self.catalogue[key]

    def value(self, key: str) -> Value:
        """The value of `key`."""
        return self.setting(key).options[self.place(key)]

    def text(self, key: str) -> str:
        """The value of `key` with its unit, as the display shows it."""
        return self.setting(key).text(self.place(key))

    def values(self) -> dict[str, Value]:
        """Every setting's value by key, hidden ones too."""
        return {key: self.value(key) for key in self.catalogue}

    def differs(self) -> tuple[str, ...]:
        """Keys of the settings that are not at their default, hidden ones too."""
        return tuple(key for key, setting in self.catalogue.items() if self.place(key) != setting.default)

    def shown(self, key: str) -> bool:
        """Whether the book shows `key` with everything else set as it is."""
        return all(self._fact(fact) == needed for fact, needed in self.setting(key).shown_when)

    def chapters(self) -> tuple[str, ...]:
        """Chapters in which at least one setting is shown, in the order of the book."""
        return tuple(name for name in chapter_order() if self.chapter(name))

    def chapter(self, name: str) -> tuple[Setting, ...]:
        """The settings of one chapter that are shown; () for one without any."""
        return tuple(one for one in self.catalogue.values() if one.chapter == name and self.shown(one.key))

    def _fact(self, name: str) -> Value:
        return self.modes[str(self.value(MODE))] if name == CLOSES_ITSELF else self.value(name)


def chapter_order() -> tuple[str, ...]:
    """Every chapter of the book, shown or not, in its order."""
    return tuple(_table()[0].chapters)


class Settings(Sheet):
    """What is set on one board. Raises UserError, with every problem, for a `given` that is not allowed.

    modes: title of each mode table the board carries -> whether that mode closes by itself.
    given: values that differ from the default at the start.
    """

    def __init__(self, modes: Mapping[str, bool], given: Mapping[str, Value] | None = None) -> None:
        super().__init__(_catalogue(modes), modes)
        self._places = {key: setting.default for key, setting in self.catalogue.items()}
        self.version = 0
        problems: list[Problem] = []
        for key, value in (given or {}).items():
            try:
                self.change(key, value)
            except UserError as error:
                problems.extend(error.problems)
        if problems:
            raise UserError(problems)

    def place(self, key: str) -> int:
        return self._places[key]

    def number(self, key: str) -> float:
        """A number setting's value in its own unit."""
        return float(self.catalogue[key].options[self._places[key]])

    def choice(self, key: str) -> str:
        """A choice setting's value."""
        return str(self.catalogue[key].options[self._places[key]])

    def change(self, key: str, value: Value) -> None:
        """Set `key`; `version` rises when that changes anything. Raises UserError when not allowed."""
        setting = self.setting(key)
        place = setting.place(value)
        if place is None:
            raise UserError(_refusal(setting, value))
        if place != self._places[key]:
            self._places[key] = place
            self.version += 1

    def reset(self) -> None:
        """Every setting back to its default."""
        for key in self.differs():
            self.change(key, self.catalogue[key].options[self.catalogue[key].default])

    def stales(self, key: str) -> bool:
        """Whether changing `key` makes a learn cycle stale."""
        return bool(self.setting(key).stale_word)

    def stale_since(self, learned: Mapping[str, Value]) -> str:
        """What makes a learn stale that was made at `learned` (`values()` of then): 'force', else ''."""
        changed = (one for one in self.catalogue.values() if learned.get(one.key) != self.value(one.key))
        return next((one.stale_word for one in changed if one.stale_word), "")

    def draft(self) -> Draft:
        """A draft in which edits are collected and nothing is changed until `keep`."""
        return Draft(self)


def _refusal(setting: Setting, value: object) -> Problem:
    allowed = setting.allowed()
    if setting.kind is Kind.CHOICE:
        allowed = files.nearest(str(value), [str(option) for option in setting.options])
    unit = f" {setting.unit}" if setting.unit and isinstance(value, int | float) else ""
    return Problem("settings", setting.key, files.shown(value) + unit, allowed)


class Draft(Sheet):
    """Edits over a `Settings`. Forgetting the draft drops them; the sheet below never saw them."""

    def __init__(self, settings: Settings) -> None:
        super().__init__(settings.catalogue, settings.modes)
        self._settings = settings
        self._edits: dict[str, int] = {}

    def place(self, key: str) -> int:
        return self._edits.get(key, self._settings.place(key))

    def step(self, key: str, by: int) -> None:
        """Move `key` by so many options, staying within the first and the last."""
        self.put(key, self.place(key) + by)

    def put(self, key: str, place: int) -> None:
        """Put `key` at a place in its options, clamped to the first and the last."""
        self._edits[key] = min(max(place, 0), len(self.setting(key).options) - 1)

    def changed(self) -> tuple[str, ...]:
        """Keys whose draft differs from what is set, in the order of the book."""
        return tuple(key for key in self.catalogue if self.place(key) != self._settings.place(key))

    def keep(self) -> tuple[str, ...]:
        """Set everything that was changed; returns those keys."""
        changed = self.changed()
        for key in changed:
            self._settings.change(key, self.value(key))
        self._edits.clear()
        return changed
