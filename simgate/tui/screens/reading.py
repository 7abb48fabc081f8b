"""Texts over the Bench: the job sheet in full, and questions with yes and no."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from simgate.tui.commands import Place, bindings
from simgate.tui.keys import hints
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.screens.modal import Over


class Reading(Over[None]):
    """A text to read; any of enter, space and escape goes on, arrows scroll what is longer."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.READING)]

    def __init__(self, title: str, lines: Iterable[Line]) -> None:
        super().__init__()
        self._title, self._lines = title, tuple(lines)

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card") as card:
            card.border_title = self._title
            card.border_subtitle = f"arrows: scroll · {hints(self.app, ('read', 'go on'))}"
            yield Hanging(self._lines)


class Question(Over[bool]):
    """A question with a key for yes and one for no; to close it says no as well.

    Enter does not: it is in the fingers of whoever works the five keys, and what is asked here ends a run.
    """

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.QUESTION)]

    yes, no = "yes", "no"  # what the keys mean, as it stands under the question

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self._title, self._text = title, text

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card") as card:
            card.border_title = self._title
            card.border_subtitle = hints(self.app, ("yes", self.yes), (("no", "close"), self.no))
            yield Static(self._text, classes="text", markup=False)

    def action_yes(self) -> None:
        """Do it."""
        self.dismiss(True)
