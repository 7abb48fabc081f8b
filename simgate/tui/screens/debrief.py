"""The debrief on the screen: verdict and marks, goals, conduct with its cautions, and what was done when.

The story comes as data from practice; this screen only sets it out.
"""

from __future__ import annotations

from collections.abc import Iterator
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
from simgate.tui.panes.footer import FooterLine
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.screens.help import Help


class DebriefScreen(Screen[bool]):
    """One run told. Gives True for the same job again."""

    CSS_PATH = "debrief.tcss"
    place = Place.DEBRIEF
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.DEBRIEF)]

    def __init__(self, story: Debrief) -> None:
        super().__init__()
        self._story = story

    def compose(self) -> ComposeResult:
        yield Static(f"Debrief · {self._story.title}", id="head", markup=False)
        with VerticalScroll():
            yield Hanging(story_lines(self._story))
        yield FooterLine(Place.DEBRIEF)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

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
        yield Line(f"Caution: {fault.caution}", " " * 13, style="$warning")
    if not story.conduct:
        yield Line("Nothing to say against it.", "  ")


def _moment(moment: Moment) -> Line:
    who = "you " if moment.own else "gate"
    return Line(moment.text, f"  {clock(moment.tick):>7}  {who}  ", style="" if moment.own else "dim")


def _heading(text: str) -> Line:
    return Line(text, style="bold $accent")
