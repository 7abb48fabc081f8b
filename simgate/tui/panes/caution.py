"""The caution of the moment, in the place of the Job sheet for as long as it holds.

A caution that made room for itself would push a terminal or a key off a small screen; one that passed in a
corner would not be read.
"""

from __future__ import annotations

from textual.app import ComposeResult

from simgate.bench.record import Snapshot
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.panes.pane import ScrollPane


class Caution(ScrollPane, can_focus=False):
    """What the instrument in hand has to say; the screen has class -caution while it says something."""

    DEFAULT_CSS = """
    Caution { display: none; border-top: heavy $warning; border-title-color: $warning; color: $warning; }
    """
    BORDER_TITLE = " ! Caution "

    def __init__(self) -> None:
        super().__init__()
        self._caution = ""

    def compose(self) -> ComposeResult:
        yield Hanging()

    def watch_snapshot(self, shot: Snapshot | None) -> None:
        """Follow the meter's caution."""
        caution = shot.meter.caution if shot is not None and shot.meter is not None else ""
        if self.is_mounted and caution != self._caution:
            self._caution = caution
            self.query_one(Hanging).show([Line(caution, style="bold")])
            self.screen.set_class(bool(caution), "-caution")
