"""Runs left open, over the Workshop: go on with one where it was left, or start its job again.

There is no going back within a run: nothing can be undone at a gate, and the screen says so here, where
somebody who wants it back would look.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from simgate.bench.left_open import put_away
from simgate.tui.captions import clock
from simgate.tui.commands import Place, bindings
from simgate.tui.keys import hints, keymap_of
from simgate.tui.opening import Offer
from simgate.tui.screens.modal import Over

NO_UNDO = (
    "A run goes on from the moment it was left, with everything as your hands left it. Nothing can be "
    "undone, as nothing can at a gate; a job can only be started again from its beginning."
)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What to do with a run left open. again: start its job from the beginning."""

    offer: Offer
    again: bool


class GoingOn(Over[Chosen]):
    """offers: at least one. Gives what was chosen, or None."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.RUNS)]

    def __init__(self, offers: Sequence[Offer]) -> None:
        super().__init__()
        self._offers = list(offers)

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title = "Runs left open"
            card.border_subtitle = hints(
                self.app,
                ("run-on", "go on"),
                ("run-again", "start the job again"),
                ("run-away", "put away"),
                ("close", "close"),
            )
            yield OptionList(*(Option(offer_text(offer)) for offer in self._offers), compact=True)
            yield Static(NO_UNDO, classes="hint", markup=False)

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    @on(OptionList.OptionSelected)
    def _go_on(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        offer = self._offers[event.option_index]
        if offer.against:
            self.app.clear_notifications()
            again = f"{keymap_of(self.app).cap('run-again')} starts the job again."
            self.notify(f"{offer.against} {again}", severity="warning", markup=False)
        else:
            self.dismiss(Chosen(offer, again=False))

    def action_go_on(self) -> None:
        """With the run under the bar."""
        self.query_one(OptionList).action_select()

    def action_again(self) -> None:
        """The job under the bar, from its beginning."""
        place = self.query_one(OptionList).highlighted
        if place is not None:
            self.dismiss(Chosen(self._offers[place], again=True))

    def action_put_away(self) -> None:
        """The run under the bar is offered no more; nothing of it is lost."""
        runs = self.query_one(OptionList)
        place = runs.highlighted
        if place is None:
            return
        try:
            put_away(self._offers[place].run.path)
        except OSError as error:
            self.notify(f"It stays here: {error.strerror}.", severity="warning", markup=False)
            return
        del self._offers[place]
        runs.remove_option_at_index(place)
        if not self._offers:
            self.dismiss(None)


def offer_text(offer: Offer) -> Content:
    """Job, how far it came, when it was left, and what speaks against going on."""
    when = datetime.fromtimestamp(offer.run.when).strftime("%Y-%m-%d %H:%M")
    lines: list[tuple[str, str] | str] = [
        (offer.title, "bold"),
        (f"\n  {clock(offer.run.tick)} into the job, left on {when}", ""),
    ]
    if offer.against or offer.note:
        lines.append((f"\n  ! {offer.against or offer.note}", "bold"))  # under the bar a colour is faint
    return Content.assemble(*lines)
