"""What every pane of the Bench has in common: a snapshot that comes down from the screen, and a rule on top.

Panes hold no state of the gate. Each picks the few values it shows out of the snapshot and paints only
when those change; comparing whole snapshots thirty times a second would cost more than painting.
"""

from __future__ import annotations

from textual.containers import Vertical, VerticalScroll
from textual.reactive import var

from simgate.bench.record import Snapshot


class Pane(Vertical):
    """A titled part of the Bench that shows something of the snapshot."""

    DEFAULT_CSS = """
    Pane {
        height: 1fr;
        padding: 0 1;
        border-top: solid $rule;
        border-title-color: $text-muted;
        border-title-style: bold;
        border-subtitle-color: $text-muted;
    }
    Pane:focus, Pane:focus-within {
        border-top: heavy $accent;
        border-title-color: $foreground;
    }
    """

    snapshot: var[Snapshot | None] = var(None, always_update=True)


class ScrollPane(VerticalScroll):
    """A pane whose text may be longer than its place."""

    DEFAULT_CSS = """
    ScrollPane {
        height: 1fr;
        padding: 0 1;
        scrollbar-size-vertical: 1;
        border-top: solid $rule;
        border-title-color: $text-muted;
        border-title-style: bold;
    }
    ScrollPane > Hanging { padding: 0 1 0 0; }
    ScrollPane:focus {
        border-top: heavy $accent;
        border-title-color: $foreground;
    }
    """

    snapshot: var[Snapshot | None] = var(None, always_update=True)
