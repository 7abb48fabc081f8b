"""What a round shows over the Bench: its question with the answers, and the map of the card at its end.

The question lies at the foot of the screen and leaves the Yard in sight: whoever is asked what a gate will do
should see the gate.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.markup import escape
from textual.widgets import Static

from simgate.bench.record import Snapshot
from simgate.board.stimuli import Response
from simgate.practice.round import Mark
from simgate.practice.round_words import Question
from simgate.tui.commands import Place, bindings, commands
from simgate.tui.keys import hints, keymap_of
from simgate.tui.panes.card import Marks, card_table, card_text
from simgate.tui.screens.modal import Over

LEGEND = "✓ known  ✗ answered wrongly  ? not asked  else: cannot be tried here"
COLUMN = 36  # two columns of answers in a card of 74


class AskCell(Over[Response]):
    """What will it do? Gives the answer, or None. leaving: what escape does, in words."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.ANSWER)]

    def __init__(self, asked: Question, title: str, leaving: str) -> None:
        super().__init__()
        self._asked, self._title, self._leaving = asked, title, leaving

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title = self._title
            leave = hints(self.app, ("close", self._leaving))
            card.border_subtitle = f"the key beside it: answer · {leave}"
            yield Static(self._asked.text, classes="text question", markup=False)
            yield Static(self._answers(), classes="text")

    def _answers(self) -> Content:
        """The answers in two columns, each to be clicked as well."""
        keymap = keymap_of(self.app)
        caps = [keymap.cap(command.id) for command in commands(Place.ANSWER)]
        cells = [
            (
                f'[@click="screen.pick({n})"][b]{escape(caps[n - 1])}[/b]  {escape(words)}[/]',
                len(caps[n - 1]) + 2 + len(words),
            )
            for n, words in enumerate(self._asked.answers, 1)
        ]
        half = -(-len(cells) // 2)
        lines = []
        for row in range(half):
            left, wide = cells[row]
            right = cells[row + half][0] if row + half < len(cells) else ""
            lines.append(f"{left}{' ' * max(COLUMN - wide, 2) if right else ''}{right}")
        return Content.from_markup("\n".join(lines))

    def action_pick(self, number: int) -> None:
        """Answer."""
        if number <= len(self._asked.choices):
            self.dismiss(self._asked.choices[number - 1])


class RoundMap(Over[None]):
    """The card with what is known of it."""

    def __init__(self, shot: Snapshot, marks: Marks, of: int) -> None:
        super().__init__()
        self._shot, self._marks, self._of = shot, marks, of

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card map") as card:
            table = card_table(self._shot)
            card.border_title = f"Map of your round · {table.title}"
            card.border_subtitle = f"arrows: scroll · {hints(self.app, ('close', 'close'))}"
            yield Static(self._summary(), classes="text", markup=False)
            yield Static(card_text(table, self._shot.condition, None, self._marks), classes="text")

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def _summary(self) -> str:
        marks = list(self._marks.values())
        known, missed = marks.count(Mark.KNOWN), marks.count(Mark.MISSED)
        wrong = f", {missed} answered wrongly" if missed else ""
        return f"{known} of {self._of} cells known{wrong}.\n{LEGEND}\n"
