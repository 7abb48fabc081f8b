"""The Workshop: pick a job, or a mode to rehearse; where the trainer's drawer is; what a simulator is not."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.geometry import Size
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from simgate.tui.caution import CAUTION
from simgate.tui.commands import Place, bindings
from simgate.tui.keys import keymap_of
from simgate.tui.messages import Compare, Start
from simgate.tui.panes.footer import FooterLine

WELCOME = (
    "A powered gate is iron, copper and wits: here are all three for your own hands. "
    "Pick a job, or rehearse a mode on a gate that is already learned."
)
WIDTHS = [(0, "-slim"), (80, "-narrow"), (140, "-broad")]
HEIGHTS = [(0, "-low"), (24, "-short"), (48, "-high")]
JOBS, MODES = "jobs", "modes"  # ids of the two lists
TRAINER = (
    "Trainer: {drawer} at the Bench opens the fault drawer; such a run is not marked. "
    "For a job of your own: simgate jobs --help."
)
LEFT_OPEN = "{runs} left open: {key} goes on where you were."


@dataclass(frozen=True, slots=True)
class Entry:
    """Something to start: the name it is loaded by, and how it reads."""

    name: str
    title: str
    about: str


class WorkshopScreen(Screen[None]):
    """jobs, modes: what can be started. left_open: counts the runs that can be gone on with.

    The app loads workshop.tcss for it. Tells the app with `Start`; going on is the app's own action.
    """

    place = Place.WORKSHOP
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.WORKSHOP)]

    def __init__(
        self, jobs: Sequence[Entry], modes: Sequence[Entry], left_open: Callable[[], int] = lambda: 0
    ) -> None:
        super().__init__()
        self._jobs, self._modes, self._left_open = jobs, modes, left_open

    def compose(self) -> ComposeResult:
        self.set_classes(" ".join(classes_of(self.app.size)))
        yield Static("simgate · Workshop", id="head", markup=False)
        yield Static(WELCOME, id="welcome", markup=False)
        with Horizontal(id="lists"):
            yield _shelf("Jobs", JOBS, self._jobs)
            yield _shelf("Rehearse a mode", MODES, self._modes)
        yield Static("", id="left-open", markup=False)
        yield Static(TRAINER.format(drawer=keymap_of(self.app).cap("drawer")), id="trainer", markup=False)
        caution = Static(CAUTION, id="caution", markup=False)
        caution.border_title = "Caution"
        yield caution
        yield FooterLine(Place.WORKSHOP)

    def on_screen_resume(self) -> None:
        """Here, or here again: count the runs left open, after the first paint."""
        self.call_after_refresh(self.count)

    def count(self) -> None:
        """Say how many runs there are to go on with."""
        number = self._left_open()
        line = self.query_one("#left-open", Static)
        if not number and not line.display:  # nothing to paint again
            return
        line.display = bool(number)
        runs = "1 run is" if number == 1 else f"{number} runs are"
        line.update(LEFT_OPEN.format(runs=runs, key=keymap_of(self.app).cap("go-on")))

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        self.post_message(Start(event.option.id or "", rehearse=event.option_list.id == MODES))

    def action_start(self) -> None:
        """Start what the bar is on in the list with the focus."""
        if isinstance(self.focused, OptionList):
            self.focused.action_select()

    def action_compare(self) -> None:
        """Ask with which other mode the one under the bar is to be compared."""
        from simgate.tui.screens.offer import Offer

        place = self.query_one(f"#{MODES}", OptionList).highlighted or 0
        mode = self._modes[place]
        others = [(other.name, f"{other.title}\n{other.about}") for other in self._modes if other is not mode]

        def chosen(other: str | None) -> None:
            if other is not None:
                self.post_message(Compare(mode.name, other))

        self.app.push_screen(Offer(f"{mode.title} beside which mode?", others, ""), chosen)

    def action_manual(self) -> None:
        from simgate.tui.screens.help import (
            Help,  # loads the mode card, which the first paint need not wait for
        )

        self.app.push_screen(Help(Place.WORKSHOP))


def classes_of(size: Size) -> Iterator[str]:
    """The classes of a screen of this size, which Textual gives it only once it has been painted without."""
    for cells, points in ((size.width, WIDTHS), (size.height, HEIGHTS)):
        yield max((least, name) for least, name in points if least <= cells)[1]


def _shelf(title: str, id: str, entries: Sequence[Entry]) -> OptionList:
    options = [
        Option(Content.assemble((entry.title, "bold"), "\n", (entry.about, "")), id=entry.name)
        for entry in entries
    ]
    shelf = OptionList(*options, id=id, compact=True)
    shelf.border_title = f" {title} "
    return shelf
