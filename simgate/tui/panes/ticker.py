"""The Ticker: what could be seen and heard, newest last, and no more of it than anybody scrolls back.

It paints its own few rows. A scrolling text that grew would have the whole screen laid out again with every
line, in the very moment in which a key waits for its answer.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widget import Widget

from simgate.bench import actions as do
from simgate.bench.record import Event, ScanRecord, Sense
from simgate.board.signals import NoteKind
from simgate.practice.debrief import TOLD
from simgate.tui.captions import SENSES, clock
from simgate.tui.commands import Place, bindings
from simgate.tui.panes.hanging import Line
from simgate.tui.panes.pane import Pane

KEPT = 200
WHEEL = 2  # rows for one notch of a mouse wheel
# what hands did and is seen elsewhere at once, or heard of from the gate
PLAIN_TO_SEE = (do.PressKey, do.Operate, do.RemoteKey, do.Probe, do.PutAway, do.Step, do.Turn)
TOLD_OTHERWISE = (do.Inspect, do.AskNext, do.TakeHint, do.HandOver, do.OpenDrawer, do.Inject, do.Mend)


class Tail(Widget):
    """The last rows of some lines, or as many further up as somebody scrolled back."""

    DEFAULT_CSS = "Tail { height: 1fr; width: 1fr; }"

    def __init__(self) -> None:
        super().__init__()
        self.lines: deque[Line] = deque(maxlen=KEPT)
        self.back = 0

    def scroll(self, rows: int) -> None:
        """So many rows further back; to the end again if negative enough."""
        most = max(len(self._rows()) - self.size.height, 0)
        self.back = min(max(self.back + rows, 0), most)
        self.refresh()

    def render(self) -> Content:
        """The rows that there is room for."""
        rows = self._rows()
        last = len(rows) - self.back
        return Content("\n".join(rows[max(last - self.size.height, 0) : last]))

    def _rows(self) -> list[str]:
        return [row for line in self.lines for row in _broken(line, self.size.width)]


class Ticker(Pane, can_focus=True):
    """A bounded list of lines. Fed with records, not with snapshots: an event is over in one scan."""

    BORDER_TITLE = " Ticker "
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.TICKER)]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._tail = Tail()
        self._display_last = False  # whether the last line is what the display read

    @property
    def lines(self) -> deque[Line]:
        """What it holds, oldest first."""
        return self._tail.lines

    def compose(self) -> ComposeResult:
        yield self._tail

    def add(self, records: Iterable[ScanRecord]) -> None:
        """Append the events of `records`. A display that changes and changes again stands there once."""
        told = [pair for record in records for pair in _told(record)]
        for event, display in told:
            if display and self._display_last:
                self.lines.pop()
            self.lines.append(Line(event.text, f"{clock(event.tick)} {SENSES[event.sense]} "))
            self._display_last = display
        if told:
            self._tail.back = 0
            self._tail.refresh()

    def action_back(self, rows: int) -> None:
        """Scroll back, or on again."""
        self._tail.scroll(rows)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """A notch back."""
        self._tail.scroll(WHEEL)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """A notch on."""
        self._tail.scroll(-WHEEL)


def _told(record: ScanRecord) -> Iterator[tuple[Event, bool]]:
    """What hands did, and the events of a record, each with whether it is a change of the display.

    Those come last in a record.
    """
    for action in record.actions:
        deed = "" if isinstance(action, PLAIN_TO_SEE + TOLD_OTHERWISE) else TOLD[type(action)](action)
        if deed:
            yield Event(record.tick, Sense.DONE, deed[0].upper() + deed[1:]), False
    changes = sum(note.kind is NoteKind.DISPLAY for note in record.notes)
    first = len(record.events) - changes
    for number, event in enumerate(record.events):
        yield event, number >= first


def _broken(line: Line, width: int) -> list[str]:
    pieces = line.broken(width)
    return [line.prefix + pieces[0], *(" " * len(line.prefix) + piece for piece in pieces[1:])]
