"""The mode card over the Bench, for screens that are too small to have it beside the Yard."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from simgate.bench.record import Snapshot
from simgate.board.signals import Acted
from simgate.tui.keys import hints
from simgate.tui.panes.card import Card, Marks
from simgate.tui.screens.modal import Over


class CardOver(Over[None]):
    """Card and, turned over with the same key, book and strips. It follows the gate while it lies there."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("v", "turn", "Turn over", show=False, id="card")]
    clock_stands = False

    def __init__(self, shot: Snapshot, acted: Acted | None, marks: Marks | None = None) -> None:
        super().__init__()
        self._shot, self._acted, self._marks = shot, acted, marks

    def compose(self) -> ComposeResult:
        card = Card()
        card.add_class("card", "-wide")
        keys = hints(self.app, ("card", "card, book, strips"), ("close", "close"))
        card.border_subtitle = f"arrows: scroll · {keys}"
        yield card

    def on_mount(self) -> None:
        self.query_one(Card).focus()
        self.follow(self._shot, self._acted)

    def follow(self, shot: Snapshot, acted: Acted | None) -> None:
        """Show the gate as it stands now, and the cell that acted last."""
        card = self.query_one(Card)
        card.marks, card.acted = self._marks, acted
        card.snapshot = shot

    def action_turn(self) -> None:
        """Card, book, strips."""
        self.query_one(Card).turn()
