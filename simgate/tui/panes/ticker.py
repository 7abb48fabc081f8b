"""The Ticker: what could be seen and heard, newest last, and no more of it than anybody scrolls back."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from textwrap import wrap

from textual.app import ComposeResult
from textual.widgets import Static

from simgate.bench.record import Event, ScanRecord
from simgate.tui.captions import line
from simgate.tui.panes.pane import ScrollPane

KEPT = 200
INDENT = 9  # width of time and sign


class Ticker(ScrollPane):
    """A bounded list of lines. Fed with records, not with snapshots: an event is over in one scan."""

    DEFAULT_CSS = """
    Ticker > #ticks { height: auto; }
    """
    BORDER_TITLE = " Ticker "

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._lines: deque[str] = deque(maxlen=KEPT)

    def compose(self) -> ComposeResult:
        yield Static("", id="ticks", markup=False)

    def add(self, records: Iterable[ScanRecord]) -> None:
        """Append the events of `records`."""
        events: list[Event] = [event for record in records for event in record.events]
        if events:
            self._append(line(event) for event in events)

    def say(self, text: str) -> None:
        """Append a line that is not of the gate: a refusal, a change of speed."""
        self._append([text])

    def _append(self, lines: Iterable[str]) -> None:
        self._lines.extend(lines)
        self._paint()

    def on_resize(self) -> None:
        """Lines are broken anew for another width."""
        self._paint()

    def _paint(self) -> None:
        """All lines, those too long for the pane broken under their text."""
        width = max(self.scrollable_content_region.width, INDENT + 10)
        broken = [part for text in self._lines for part in wrap(text, width, subsequent_indent=" " * INDENT)]
        self.query_one("#ticks", Static).update("\n".join(broken))
        self.scroll_end(animate=False)
