"""The one line of keys at the foot of a screen, each word of it to be clicked."""

from __future__ import annotations

from textual.widgets import Static

from simgate.tui.commands import Place, footer
from simgate.tui.keys import keymap_of


class FooterLine(Static):
    """Made from the command table; the rest of the keys is in the help."""

    DEFAULT_CSS = """
    FooterLine {
        dock: bottom; height: 1; padding: 0 1; background: $panel; color: $foreground;
        link-style: none; link-color: $foreground; link-style-hover: bold reverse; link-color-hover: $accent;
        link-background-hover: $panel;
        text-wrap: nowrap; text-overflow: clip;
    }
    """

    def __init__(self, place: Place) -> None:
        super().__init__()
        self._place = place

    def on_mount(self) -> None:
        self.update(footer(self._place, keymap_of(self.app).caps()))
