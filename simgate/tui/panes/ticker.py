"""The Ticker: what could be seen and heard, newest last, and no more of it than anybody scrolls back."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from textual.app import ComposeResult

from simgate.bench.record import ScanRecord
from simgate.tui.captions import SENSES, clock
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.panes.pane import ScrollPane

KEPT = 200


class Ticker(ScrollPane):
    """A bounded list of lines. Fed with records, not with snapshots: an event is over in one scan."""

    BORDER_TITLE = " Ticker "

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.lines: deque[Line] = deque(maxlen=KEPT)

    def compose(self) -> ComposeResult:
        yield Hanging()

    def add(self, records: Iterable[ScanRecord]) -> None:
        """Append the events of `records`."""
        events = [event for record in records for event in record.events]
        if events:
            self.lines += [
                Line(event.text, f"{clock(event.tick)} {SENSES[event.sense]} ") for event in events
            ]
            self.query_one(Hanging).show(self.lines)
            self.scroll_end(animate=False)
