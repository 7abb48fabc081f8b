"""The debrief on the screen, from a made-up story."""

from __future__ import annotations

import pytest

from simgate.practice.conduct import ConductFault
from simgate.practice.debrief import Debrief, Moment
from simgate.practice.goals import Judged
from simgate.practice.marks import Term
from simgate.practice.weights import Weight
from simgate.tui.panes.hanging import plain
from simgate.tui.screens.debrief import DebriefScreen, story_lines
from tests.tui.stage import LARGE, SMALL, OneScreen, matches

STORY = Debrief(
    title="A gate of cardboard",
    asked=("Open the gate.", "Shut it again and leave it shut."),
    done=(
        Moment(1200, "pressed call button", own=True),
        Moment(1300, "call while shut: open fully", own=False),
        Moment(83_400, "handed over", own=True),
    ),
    goals=(
        Judged("Open the gate.", True, "it was opened at 0:14"),
        Judged("Shut it again and leave it shut.", False, "leaf A stands at 95 degrees"),
    ),
    conduct=(
        ConductFault(
            "inside-while-powered",
            "In the swing while it was powered",
            2000,
            2,
            "stepped in while leaf A was opening",
            "Isolate and lock off before anybody steps into the swing.",
            Weight(marks=50, words="somebody can be hurt by it"),
        ),
    ),
    terms=(Term("goals", 50, "1 of 2"), Term("conduct", -50, "1 rule broken"), Term("time", 0, "in time")),
    total=0,
    passed=False,
    verdict="Not passed: 1 goal not met and 0 marks, 70 are needed.",
)


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_the_debrief_tells_the_run(size: tuple[int, int]) -> None:
    app = OneScreen(DebriefScreen(STORY))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert matches(app, f"debrief-{size[0]}x{size[1]}")


def test_the_story_leaves_nothing_out() -> None:
    text = plain(story_lines(STORY))
    for part in (
        STORY.verdict,
        *STORY.asked,
        "leaf A stands at 95 degrees",
        "0:02.0  In the swing while it was powered, 2 times",
        "Caution: Isolate and lock off",
        "handed over",
        "   0  of 100",
        "A simulator qualifies nobody.",
    ):
        assert part in text


@pytest.mark.parametrize(("key", "answer"), [("a", True), ("q", False), ("escape", False)])
async def test_the_same_job_again_or_back_to_the_workshop(key: str, answer: bool) -> None:
    app = OneScreen(DebriefScreen(STORY))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press(key)
        await pilot.pause()
        assert app.answer is answer
