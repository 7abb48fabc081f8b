"""What lies over the Bench for a moment: a card in the middle that escape takes away.

Whether the clock stands meanwhile is said here, once per kind: reading costs no time, choosing where to put
a probe does, as it does at a gate.
"""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual.binding import BindingType
from textual.screen import ModalScreen

from simgate.bench.record import Snapshot
from simgate.board.signals import Acted
from simgate.tui.commands import Place, bindings

Result = TypeVar("Result")


class Over(ModalScreen[Result]):
    """A screen over the Bench. clock_stands: simulated time waits until it is gone."""

    CSS_PATH = "modal.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.CARD)]
    VERTICAL_BREAKPOINTS = [(0, "-short"), (30, "-tall")]  # noqa: RUF012  (Textual's own form)
    clock_stands = True

    def action_close(self) -> None:
        """Go without an answer."""
        self.dismiss(None)

    def follow(self, shot: Snapshot, acted: Acted | None) -> None:
        """The gate as it stands now, for what shows something of it."""
