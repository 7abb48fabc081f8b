"""The trainer's fault drawer over the Bench: which faults are in, put one in, mend one.

The only place where a fault is called by its name. So opening it ends the marking of the run: whoever has
read there what is wrong has not found it. The Bench asks before.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from simgate.bench.actions import Inject, Mend
from simgate.tui.captions import point, words
from simgate.tui.keys import hints
from simgate.tui.messages import Act
from simgate.tui.screens.modal import Over
from simgate.tui.screens.picker import ChoiceList
from simgate.tui.tools import Choice
from simgate.wiring.faults import Fault, kind_of, row

NOTE = "For the trainer. This run is no longer marked."
MEND = "mend "


class Drawer(Over[Act]):
    """choices: kind -> places; present: faults that are in. Gives `Act` or None.

    Asks for the kind (or which fault to mend), then the place, then the amount if the kind has one.
    """

    def __init__(self, choices: Sequence[tuple[str, Sequence[str]]], present: Sequence[Fault]) -> None:
        super().__init__()
        self._places = {kind: tuple(places) for kind, places in choices if places}
        self._present = tuple(present)
        self._answers: list[str] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_subtitle = hints(self.app, ("close", "back"))
            yield Static(NOTE, classes="caution", markup=False)
            yield Static(classes="text about", markup=False)
            yield ChoiceList(self._chosen)

    def on_mount(self) -> None:
        self._ask()

    def _ask(self) -> None:
        """The next question, or the end."""
        choices, title = self._question()
        if not choices:
            kind, place, *amount = self._answers
            self.dismiss(Act(Inject(kind, place, float(amount[0]) if amount else 0.0)))
            return
        self.query_one(".card").border_title = " · ".join(["Fault drawer", *title])
        about = self.query_one(".about", Static)
        about.update(_about(self._answers[0]) if self._answers else "")
        about.display = bool(self._answers)
        self.query_one(ChoiceList).ask(choices)

    def _question(self) -> tuple[list[Choice], list[str]]:
        """Choices and title of the question that comes after the answers so far; none at the end."""
        if not self._answers:
            return self._first(), []
        kind, *rest = self._answers
        if not rest:
            return [(place, _place(place)) for place in self._places[kind]], [words(kind), "where?"]
        amounts = _amounts(kind) if len(rest) == 1 else []
        return amounts, [words(kind), "how many ohms?" if row(kind_of(kind)).unit == "ohm" else "how much?"]

    def _first(self) -> list[Choice]:
        mends = [
            (f"{MEND}{number}", f"Mend: {words(fault.kind.value)} at {_place(fault.place)}")
            for number, fault in enumerate(self._present)
        ]
        return mends + [(kind, f"Put in: {words(kind)}") for kind in self._places]

    def _chosen(self, answer: str) -> None:
        if answer.startswith(MEND):
            fault = self._present[int(answer.removeprefix(MEND))]
            self.dismiss(Act(Mend(fault.kind.value, fault.place)))
            return
        self._answers.append(answer)
        self._ask()

    def action_close(self) -> None:
        """One question back; from the first one, away."""
        if self._answers:
            self._answers.pop()
            self._ask()
        else:
            self.dismiss(None)


def _about(kind: str) -> str:
    """What the catalogue says of a kind, so that a trainer knows what goes in and how it comes out."""
    its = row(kind_of(kind))
    return f"{its.words} {its.does}\nShows: {its.shows}\nMended: {its.mended}\n"


def _place(place: str) -> str:
    """A place of one or two points as it reads."""
    return " to ".join(point(one) for one in place.split("|"))


def _amounts(kind: str) -> list[Choice]:
    """Amounts to choose from for a kind that needs one: a little, middling, a lot."""
    kinds = row(kind_of(kind))
    if not kinds.most:
        return []
    least, most = max(kinds.least, 0.1), kinds.most
    middle = float(f"{math.sqrt(least * most):.1g}")
    return [(str(ohms), f"{ohms:g} {kinds.unit}") for ohms in (least, middle, most)]
