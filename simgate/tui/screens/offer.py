"""A short list of what can be done at one place, over whatever asked."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from simgate.tui.keys import hints
from simgate.tui.screens.modal import Over
from simgate.tui.screens.picker import ChoiceList
from simgate.tui.tools import Choice


class Offer(Over[str]):
    """What can be done at one place."""

    clock_stands = False

    def __init__(self, title: str, choices: list[Choice], caution: str) -> None:
        super().__init__()
        self._title, self._choices, self._caution = title, choices, caution

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title = self._title
            card.border_subtitle = hints(self.app, ("close", "back"))
            if self._caution:
                yield Static(self._caution, classes="caution")
            yield ChoiceList(self.dismiss)

    def on_mount(self) -> None:
        self.query_one(ChoiceList).ask(self._choices)
