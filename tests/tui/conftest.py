"""Screens tested without waiting for wall time.

The clock of these tests stands still, so the frame that asks it thirty times a second is left out; with it
the pilot never finds the program idle.
"""

from __future__ import annotations

import pytest
import textual._wait
import textual.constants
import textual.screen
from textual._compositor import Compositor
from textual.screen import Screen

from simgate.tui.screens import running

LOOK = 1 / 60  # s between two looks of the pilot, instead of 1/50
REPAINT = 1 / 120  # s, instead of 1/60


@pytest.fixture(autouse=True)
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Time passes by `advance` alone, and nothing is animated."""
    monkeypatch.setattr(running, "FRAME", 3600.0)
    monkeypatch.setattr(textual._wait, "SLEEP_GRANULARITY", LOOK)
    monkeypatch.setattr(textual._wait, "SLEEP_IDLE", LOOK / 10)
    monkeypatch.setattr(textual.screen, "UPDATE_PERIOD", REPAINT)
    monkeypatch.setattr(textual.constants, "TEXTUAL_ANIMATIONS", "none")


@pytest.fixture
def unpainted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is rendered for a terminal that is not there; `text_of` renders the screen when it is asked.

    For tests that look at the screen by `text_of` alone. The whole program, in test_app, paints.
    """

    def nothing_to_send(
        compositor: Compositor,
        full: bool = False,
        screen_stack: list[Screen[object]] | None = None,
        simplify: bool = False,
    ) -> None:
        compositor._dirty_regions.clear()

    monkeypatch.setattr(Compositor, "render_update", nothing_to_send)
