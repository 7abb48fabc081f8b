"""Texts over the Bench: the job sheet in full, and questions with yes and no."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.screens.modal import Over


class Reading(Over[None]):
    """A text to read; any of enter, space and escape goes on, arrows scroll what is longer."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,space", "close", "Go on", show=False)]

    def __init__(self, title: str, lines: Iterable[Line]) -> None:
        super().__init__()
        self._title, self._lines = title, tuple(lines)

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card") as card:
            card.border_title = self._title
            card.border_subtitle = "arrows: scroll · enter: go on"
            yield Hanging(self._lines)


class Question(Over[bool]):
    """A question that y answers with yes, n and escape with no.

    Enter does not: it is in the fingers of whoever works the five keys, and what is asked here ends a run.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "yes", "Yes", show=False),
        Binding("n", "close", "No", show=False),
    ]

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self._title, self._text = title, text

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card") as card:
            card.border_title = self._title
            card.border_subtitle = "y: yes · n or escape: no"
            yield Static(self._text, classes="text", markup=False)

    def action_yes(self) -> None:
        """Do it."""
        self.dismiss(True)
