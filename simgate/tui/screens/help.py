"""Help: the keys of the screen it was called from, and what the signs of the picture mean.

Made from the command table and the picture's own legend; nothing is written here twice.
"""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from simgate.tui.caution import CAUTION
from simgate.tui.commands import Group, Place, commands
from simgate.tui.panes.card import SHORT
from simgate.tui.picture import LEGEND
from simgate.tui.screens.modal import Over


class Help(Over[None]):
    """Keys of one screen."""

    def __init__(self, place: Place) -> None:
        super().__init__()
        self._place = place

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card -tall") as card:
            card.border_title = f"Help · {self._place.value}"
            card.border_subtitle = "arrows: scroll · escape: close"
            yield Static(help_text(self._place), classes="text")

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()


def help_text(place: Place) -> Content:
    """The whole help of one screen."""
    parts: list[tuple[str, str] | str] = []
    for group in Group:
        found = [command for command in commands(place) if command.group is group]
        if found:
            parts.append((f"{group.value}\n", "bold $accent"))
        for command in found:
            parts += [(f" {command.keycap:<6}", "bold"), f"{command.title}: {command.help}\n"]
    parts += [
        ("Everywhere\n", "bold $accent"),
        (" ctrl+p", "bold"), "  The list of all commands; type to narrow it.\n",
        (" tab   ", "bold"), "From pane to pane. In the Cabinet, arrows and enter are its keys.\n",
        (" mouse ", "bold"), "A key or button stays down for as long as the mouse button is.\n",
        (" ctrl+q", "bold"), "  Leave simgate.\n",
        ("The Yard\n", "bold $accent"),
    ]  # fmt: skip
    parts += [f" {sign:<6}{meaning}\n" for sign, meaning in LEGEND]
    parts.append(("Words of the mode card\n", "bold $accent"))
    parts += [f" {word:<6}{response.value}\n" for response, word in SHORT.items()]
    parts += [("\n" + CAUTION, "bold $warning")]
    return Content.assemble(*parts)
