"""What is set on a board, and drafts that change nothing until they are kept.

Everything about a setting stands in settings.toml; this file only applies it, so that a new setting
is a new entry there and not a branch here. A value is held as its place among all allowed values: it
cannot leave its range, and steps of 0.1 s gather no floating-point dust.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping

from simgate import files
from simgate.board import drive_presets
from simgate.board.settings_table import CLOSES_ITSELF, MODE, Kind, Setting, Value, catalogue, chapter_order
from simgate.files import Problem, UserError

__all__ = ["Draft", "Setting", "Settings", "Sheet", "Value"]


class Sheet(ABC):
    """A reading of every setting: what `Settings` and a `Draft` of it can both be asked."""

    def __init__(self, settings: Mapping[str, Setting], modes: Mapping[str, bool]) -> None:
        self.catalogue = settings
        self.modes = modes

    @abstractmethod
    def place(self, key: str) -> int:
        """Where the value of `key` stands in its options."""

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
        return all(self._fact(fact) in values for fact, values in self.setting(key).shown_when)

    def chapters(self) -> tuple[str, ...]:
        """Chapters in which at least one setting is shown, in the order of the book."""
        return tuple(name for name in chapter_order() if self.chapter(name))

    def chapter(self, name: str) -> tuple[Setting, ...]:
        """The settings of one chapter that are shown; () for one without any."""
        return tuple(one for one in self.catalogue.values() if one.chapter == name and self.shown(one.key))

    def _fact(self, name: str) -> Value:
        return self.modes[str(self.value(MODE))] if name == CLOSES_ITSELF else self.value(name)


class Settings(Sheet):
    """What is set on one board. Raises UserError, with every problem, for a `given` that is not allowed.

    modes: title of each mode table the board carries -> whether that mode closes by itself.
    given: values that differ from the default at the start.
    """

    def __init__(self, modes: Mapping[str, bool], given: Mapping[str, Value] | None = None) -> None:
        super().__init__(catalogue(modes), modes)
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
        if key == drive_presets.KEY:
            self._fill(str(self.value(key)))

    def _fill(self, drive: str) -> None:
        """Take over a drive's preset; the choice that leaves all as it is takes it back."""
        presets = drive_presets.presets()
        for key in {key: None for preset in presets.values() for key in preset}:
            self._edits.pop(key, None)
        for key, number in presets.get(drive, {}).items():
            options = self.setting(key).options
            distances = [abs(float(option) - number) for option in options]
            self._edits[key] = distances.index(min(distances))

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
