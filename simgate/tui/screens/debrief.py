"""The debrief on the screen: verdict, marks, goals, conduct with its cautions, fault-finding, what was done.

The story comes as data from practice; this screen only sets it out. Where a fault was hidden it takes a
moment to work out what each look told; the screen is there at once and says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from simgate.practice.debrief import Debrief, Moment
from simgate.tui.captions import clock
from simgate.tui.caution import CAUTION
from simgate.tui.commands import Place, bindings
from simgate.tui.finding import finding_lines
from simgate.tui.panes.footer import FooterLine
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.screens.help import Help

WORKING_OUT = "Working out what each look told, and what a good hand would have done …"
Later = Callable[[], Debrief]


class DebriefScreen(Screen[bool]):
    """One run told. Gives True for the same job again."""

    CSS_PATH = "debrief.tcss"
    place = Place.DEBRIEF
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.DEBRIEF)]

    def __init__(self, story: Debrief | None, title: str = "", later: Later | None = None) -> None:
        """story: None when it takes a while to work out; then `later` gives it, and title is the job's."""
        super().__init__()
        self._story, self._later = story, later
        self._title = title if story is None else story.title

    def compose(self) -> ComposeResult:
        yield Static(f"Debrief · {self._title}", id="head", markup=False)
        with VerticalScroll():
            yield Hanging([Line(WORKING_OUT)] if self._story is None else story_lines(self._story))
        yield FooterLine(Place.DEBRIEF)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()
        if self._later is not None:
            self.run_worker(self._work_out, thread=True)

    def _work_out(self) -> None:
        """In a thread of its own: keys and clock go on."""
        assert self._later is not None
        story = self._later()
        self.app.call_from_thread(self._tell, story)

    def _tell(self, story: Debrief) -> None:
        self._story = story
        for text in self.query(Hanging):  # none when it was left meanwhile
            text.show(story_lines(story))

    def action_again(self) -> None:
        self.dismiss(True)

    def action_leave(self) -> None:
        self.dismiss(False)

    def action_manual(self) -> None:
        self.app.push_screen(Help(Place.DEBRIEF))


def story_lines(story: Debrief) -> list[Line]:
    """The debrief as lines."""
    lines = [Line(story.verdict, style="bold"), Line()]
    lines += [*_marks(story), Line(), *_goals(story), Line(), *_conduct(story), Line()]
    if story.finding is not None:
        lines += [*finding_lines(story), Line()]
    lines += [_heading("What was done"), *(_moment(moment) for moment in story.done)]
    if not story.done:
        lines.append(Line("Nothing.", "  "))
    return [*lines, Line(), Line(CAUTION, style="$warning")]


def _marks(story: Debrief) -> Iterator[Line]:
    yield _heading("Marks")
    for term in story.terms:
        yield Line(term.why, f"  {term.marks:>+4}  {term.name:<9} ")
    yield Line("of 100", f"  {story.total:>4}  ", style="bold")


def _goals(story: Debrief) -> Iterator[Line]:
    yield _heading("What was asked")
    for goal in story.goals:
        yield Line(
            goal.words, "  ✓ met      " if goal.met else "  ✗ not met  ", style="" if goal.met else "bold"
        )
        if not goal.met and goal.why:
            yield Line(goal.why, " " * 13)


def _conduct(story: Debrief) -> Iterator[Line]:
    yield _heading("Conduct")
    for fault in story.conduct:
        times = f", {fault.times} times" if fault.times > 1 else ""
        yield Line(f"{fault.title}{times}", f"  ✗ {clock(fault.tick):>7}  ", style="bold")
        yield Line(fault.why, " " * 13)
        yield Line(f"{fault.weight.marks} marks: {fault.weight.words}.", " " * 13)
        yield Line(f"Caution: {fault.caution}", " " * 13, style="$warning")
    if not story.conduct:
        yield Line("Nothing to say against it.", "  ")


def _moment(moment: Moment) -> Line:
    who = "you " if moment.own else "gate"
    return Line(moment.text, f"  {clock(moment.tick):>7}  {who}  ", style="" if moment.own else "$text-muted")


def _heading(text: str) -> Line:
    return Line(text, style="bold $accent")
