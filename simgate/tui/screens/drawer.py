"""The trainer's fault drawer over the Bench: which faults are in, put one in, mend one.

The only place where a fault is called by its name. Opening it changes nothing; the first fault put in
or mended ends the marking of the run, and the drawer says so before.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import OptionList, Static

from simgate.bench.actions import Inject, Mend
from simgate.tui.captions import point, words
from simgate.tui.messages import Act
from simgate.tui.screens.modal import Over
from simgate.tui.screens.picker import ChoiceList
from simgate.tui.tools import Choice

NOTE = "For the trainer. Once a fault is put in or mended here, the run is no longer marked."


class Drawer(Over[Act]):
    """choices: kind -> places; present: (kind, place) of each fault that is in. Gives `Act` or None."""

    def __init__(
        self, choices: Sequence[tuple[str, Sequence[str]]], present: Sequence[tuple[str, str]]
    ) -> None:
        super().__init__()
        self._places = {kind: tuple(places) for kind, places in choices if places}
        self._present = tuple(present)
        self._kind = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title = "Fault drawer"
            card.border_subtitle = "escape: back"
            yield Static(NOTE, classes="caution", markup=False)
            yield ChoiceList()

    def on_mount(self) -> None:
        self._ask()

    def _ask(self) -> None:
        card = self.query_one(".card")
        if self._kind:
            card.border_title = f"Fault drawer · {words(self._kind)} · where?"
            self.query_one(ChoiceList).ask([(place, point(place)) for place in self._places[self._kind]])
            return
        card.border_title = "Fault drawer"
        mends: list[Choice] = [
            (f"mend {number}", f"Mend: {words(kind)} at {point(place)}")
            for number, (kind, place) in enumerate(self._present)
        ]
        puts: list[Choice] = [(f"put {kind}", f"Put in: {words(kind)}") for kind in self._places]
        self.query_one(ChoiceList).ask(mends + puts)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        answer = event.option.id or ""
        if self._kind:
            self.dismiss(Act(Inject(self._kind, answer)))
        elif answer.startswith("mend "):
            kind, place = self._present[int(answer.removeprefix("mend "))]
            self.dismiss(Act(Mend(kind, place)))
        else:
            self._kind = answer.removeprefix("put ")
            self._ask()

    def action_close(self) -> None:
        """From the places back to the kinds, from there away."""
        if self._kind:
            self._kind = ""
            self._ask()
        else:
            self.dismiss(None)
