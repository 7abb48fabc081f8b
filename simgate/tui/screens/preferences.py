"""Preferences, over whatever screen they were asked for on: theme and motion to choose, keys by their file.

What is chosen is seen at once. Whether it could be kept is said in words: a home that cannot be written is no
reason to work in the wrong light.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from simgate.tui.commands import Place, bindings
from simgate.tui.keys import hints
from simgate.tui.preferences import Motion, Preferences
from simgate.tui.screens.modal import Over
from simgate.tui.themes import TITLES

MOTIONS = {
    Motion.FULL: "Full motion: the Yard moves smoothly",
    Motion.REDUCED: "Reduced motion: a few pictures a second, nothing glides or blinks",
}
KEYS = (
    "What is chosen here is kept in {path}. In the same file any key can be changed: it lists every command, "
    "and what is changed holds from the next start. {note}"
)
UNWRITTEN = "It is written with the first choice here."


@dataclass(frozen=True, slots=True)
class Choice:
    """One line that was picked: a key of the file and its new value."""

    key: str
    value: str


class PreferencesScreen(Over[None]):
    """now: what is chosen. choose: puts a choice into effect. forced: why no colour is shown, '' if it is."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.PREFERENCES)]

    def __init__(self, now: Preferences, path: Path, forced: str = "") -> None:
        super().__init__()
        self._now, self._path, self._forced = now, path, forced

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title = "Preferences"
            card.border_subtitle = hints(self.app, ("prefer", "choose"), ("close", "close"))
            yield OptionList(compact=True)
            number = len(self._now.keymap.keys)
            note = f"{number} changed now." if number else "" if self._path.exists() else UNWRITTEN
            words = KEYS.format(path=self._path, note=note).strip()
            yield Static(words, classes="hint", markup=False)
            if self._forced:
                yield Static(self._forced, classes="hint", markup=False)

    def on_mount(self) -> None:
        self._list()
        self.query_one(OptionList).focus()

    def _list(self) -> None:
        options = self.query_one(OptionList)
        place = options.highlighted or 0
        themes = [(f"theme {name}", title, name == self._now.theme) for name, title in TITLES.items()]
        motions = [
            (f"motion {motion.value}", text, motion is self._now.motion) for motion, text in MOTIONS.items()
        ]
        options.set_options(
            Option(Content(f"{'●' if chosen else '○'} {text}"), id=id)
            for id, text, chosen in [*themes, *motions]
        )
        options.highlighted = place

    def action_choose(self) -> None:
        """What the bar is on."""
        self.query_one(OptionList).action_select()

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        key, value = (event.option.id or "").split(" ")
        self._now = self.app.choose(key, value)  # type: ignore[attr-defined]
        self._list()
