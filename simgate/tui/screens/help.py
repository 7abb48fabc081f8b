"""Help: the keys of the screen it was called from, and what the signs of the picture mean.

Made from the command table and the picture's own legend; nothing is written here twice.
"""

from __future__ import annotations

from collections.abc import Iterator

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from simgate.board.mode_card import SHORT
from simgate.practice.diagnosis.costs import prices
from simgate.tui.caution import CAUTION
from simgate.tui.commands import Group, Place, commands
from simgate.tui.keys import NO_OTHER, Keymap, hints, keymap_of
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.picture import LEGEND
from simgate.tui.screens.modal import Over


class Help(Over[None]):
    """Keys of one screen."""

    def __init__(self, place: Place) -> None:
        super().__init__()
        self._place = place

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card") as card:
            card.border_title = f"Help · {self._place.value}"
            card.border_subtitle = f"arrows: scroll · {hints(self.app, ('close', 'close'))}"
            yield Hanging(help_lines(self._place, keymap_of(self.app)))

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def help_lines(place: Place, keymap: Keymap = NO_OTHER) -> list[Line]:
    """The whole help of one screen, with the keys that the person has chosen."""
    lines: list[Line] = []
    places = [place, *WITHIN.get(place, ()), *(() if place is Place.EVERYWHERE else (Place.EVERYWHERE,))]
    shown = [command for one in places for command in commands(one)]
    for group in Group:
        found = [command for command in shown if command.group is group]
        lines += [_heading(group.value)] if found else []
        lines += [_entry(keymap.cap(command.id), f"{command.title}: {command.help}") for command in found]
    lines += [*(_entry(key, text) for key, text in EVERYWHERE)]
    lines += [_heading("The Yard"), *(_entry(sign, meaning) for sign, meaning in LEGEND)]
    if place is Place.BENCH:
        lines += [_heading("What a look takes, in seconds of trade time (invented)"), *_prices()]
    lines += [_heading("Words of the mode card")]
    lines += [_entry(word, response.value) for response, word in SHORT.items() if word != response.value]
    return [*lines, Line(), Line(CAUTION, style="bold $warning")]


WITHIN = {
    Place.BENCH: (Place.CABINET, Place.TICKER, Place.DIAGRAM)
}  # told of in the help of the screen round it
EVERYWHERE = (
    ("tab", "From pane to pane; the one with the focus has a thick line over it."),
    ("mouse", "A key or button stays down for as long as the mouse button is."),
    ("undo", "There is none, as there is none at a gate. A job can be started again, or gone on with."),
)


def _prices() -> Iterator[Line]:
    """The table by which the debrief counts a look: to bring about, to fetch, to open and to place add up."""
    for what, seconds_of in prices().items():
        told = ", ".join(f"{name.replace('_', ' ')} {s:g}" for name, s in seconds_of.items() if s)
        yield Line(f"{what[0].upper()}{what[1:]}: {told}.", " ")


def _heading(text: str) -> Line:
    return Line(text, style="bold $accent")


def _entry(key: str, text: str) -> Line:
    return Line(text, f" {key:<8} ", prefix_style="bold")
