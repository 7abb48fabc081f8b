"""Asking what a good hand would look at next: on the tape, thought over apart from the clock, then told.

The tape holds only that it was asked: the answer follows from the run up to there. It is worked out in a
thread of its own, for the first time takes about a second, in which keys and picture must not stand. That
first second begins while the question is read, so that the answer is there soon after the yes.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from simgate.bench import actions as do
from simgate.bench.record import ScanRecord
from simgate.practice.advice import Advice
from simgate.tui.panes.job_sheet import JobSheet
from simgate.tui.screens.answer import Answer
from simgate.tui.screens.reading import Question

if TYPE_CHECKING:
    from simgate.tui.screens.bench import BenchScreen

Asked = Callable[[Sequence[ScanRecord]], Advice]
"""From the records so far to the answer."""

NOTHING_HIDDEN = "This job hides no fault to be found by looking: there is nothing to ask here."
SURE = "Ask what a good hand would look at next, and why? It costs marks, as a hint does. No fault is named."
EXAM = "This is an exam: nobody is asked what to look at next."


class GoodHand:
    """Answers for one Bench. ask: gives the answer; None where there is nothing to ask. exam: not now."""

    def __init__(self, screen: BenchScreen, ask: Asked | None, exam: bool) -> None:
        self._screen, self._ask, self._exam = screen, ask, exam
        self._records: list[ScanRecord] = []
        self._last: tuple[int, Advice] | None = None  # how much had been done, and what was answered

    def see(self, records: Sequence[ScanRecord]) -> None:
        """What happened so far; every record once."""
        self._records += records

    def asked(self) -> None:
        """Put the question. One that was answered and has not become another costs nothing again."""
        if self._ask is None or self._exam:
            self._screen.say(EXAM if self._exam else NOTHING_HIDDEN)
            return
        if self._last is None or self._last[0] != self._done():
            self._screen.app.push_screen(Question("A good hand", SURE), self._sure)
            self._think_ahead(self._ask)
        else:
            self._screen.app.push_screen(Answer(self._last[1]))

    def _think_ahead(self, ask: Asked) -> None:
        """What it takes to answer at all, kept for whoever says yes; the answer itself is told to nobody."""
        records = tuple(self._records)
        self._screen.run_worker(lambda: ask(records), thread=True)

    def _sure(self, yes: bool | None) -> None:
        if not yes:
            return
        self._screen.act(do.AskNext())
        answer = Answer()
        self._screen.app.push_screen(answer)
        records = tuple(self._records)
        self._screen.run_worker(lambda: self._think(records, answer), thread=True)

    def _done(self) -> int:
        """How much hands have done, asking apart."""
        return sum(not isinstance(action, do.AskNext) for one in self._records for action in one.actions)

    def _think(self, records: Sequence[ScanRecord], answer: Answer) -> None:
        """In a thread of its own."""
        assert self._ask is not None
        advice = self._ask(records)
        self._screen.app.call_from_thread(self._tell, advice, answer)

    def _tell(self, advice: Advice, answer: Answer) -> None:
        self._last = self._done(), advice
        self._screen.query_one(JobSheet).advised(advice.look)
        answer.tell(advice)
