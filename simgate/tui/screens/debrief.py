"""The debrief on the screen: verdict and marks, goals, conduct with its cautions, and what was done when.

The story comes as data from practice; this screen only sets it out.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from simgate.practice.debrief import Debrief, Moment
from simgate.tui.captions import clock
from simgate.tui.caution import CAUTION
from simgate.tui.commands import Place, bindings
from simgate.tui.panes.footer import FooterLine
from simgate.tui.screens.help import Help

Parts = list[tuple[str, str] | str]


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
            yield Static(story_text(self._story), id="story")
        yield FooterLine(Place.DEBRIEF)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def action_again(self) -> None:
        self.dismiss(True)

    def action_leave(self) -> None:
        self.dismiss(False)

    def action_manual(self) -> None:
        self.app.push_screen(Help(Place.DEBRIEF))


def story_text(story: Debrief) -> Content:
    """The debrief as one text."""
    parts: Parts = [(f"{story.verdict}\n\n", "bold")]
    parts += _marks(story) + _goals(story) + _conduct(story)
    parts.append(("What was done\n", "bold $accent"))
    parts += [_moment(moment) for moment in story.done] or ["  Nothing.\n"]
    parts.append(("\n" + CAUTION, "$warning"))
    return Content.assemble(*parts)


def _marks(story: Debrief) -> Parts:
    parts: Parts = [("Marks\n", "bold $accent")]
    parts += [f"  {term.marks:>+4}  {term.name:<9} {term.why}\n" for term in story.terms]
    return [*parts, (f"  {story.total:>4}  of 100\n\n", "bold")]


def _goals(story: Debrief) -> Parts:
    parts: Parts = [("What was asked\n", "bold $accent")]
    for goal in story.goals:
        parts.append(
            (f"  {'✓ met    ' if goal.met else '✗ not met'} {goal.words}\n", "" if goal.met else "bold")
        )
        if not goal.met and goal.why:
            parts.append((f"            {goal.why}\n", ""))
    return [*parts, "\n"]


def _conduct(story: Debrief) -> Parts:
    parts: Parts = [("Conduct\n", "bold $accent")]
    for fault in story.conduct:
        times = f", {fault.times} times" if fault.times > 1 else ""
        parts.append((f"  ✗ {clock(fault.tick)} {fault.title}{times}\n", "bold"))
        parts += [f"    {fault.why}\n", (f"    Caution: {fault.caution}\n", "$warning")]
    if not story.conduct:
        parts.append("  Nothing to say against it.\n")
    return [*parts, "\n"]


def _moment(moment: Moment) -> tuple[str, str]:
    who = "you  " if moment.own else "gate "
    return (f"  {clock(moment.tick):>7}  {who} {moment.text}\n", "" if moment.own else "dim")
