"""The one line of keys at the foot of a screen, each word of it to be clicked."""

from __future__ import annotations

from textual.events import Resize
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

    def on_resize(self, event: Resize) -> None:
        """As many words as there is room for."""
        self.update(footer(self._place, keymap_of(self.app).caps(), self.size.width), layout=False)


class SmallWindow(Static):
    """Says that the window is too small for all panes, where it is; the sheet of the screen shows it then."""

    DEFAULT_CSS = """
    SmallWindow { display: none; dock: bottom; height: 1; margin: 0 0 1 0; padding: 0 1; color: $warning; }
    """

    def __init__(self) -> None:
        super().__init__("A window of 80 × 24 shows all. Nothing is lost.", markup=False)
