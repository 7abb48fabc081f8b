"""Asking a good hand at the Bench, and the fault-finding of the debrief, at both sizes."""

from __future__ import annotations

import time
from collections.abc import AsyncIterator, Sequence
from dataclasses import replace
from threading import Event

import pytest
import pytest_asyncio

from simgate.bench import actions as do
from simgate.bench.record import ScanRecord
from simgate.practice.advice import Advice
from simgate.practice.debrief import Debrief, Moment
from simgate.practice.finding_told import FaultFinding, GoodLook, Look, Part, Waste
from simgate.tui.good_hand import EXAM, NOTHING_HIDDEN
from simgate.tui.panes.hanging import plain
from simgate.tui.screens.answer import Answer
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.debrief import WORKING_OUT, DebriefScreen, story_lines
from tests.tui.made import CardboardBench
from tests.tui.stage import LARGE, SHARED, SHEET, SMALL, OneScreen, OnShared, matches, still, text_of
from tests.tui.test_debrief_screen import STORY

pytestmark = [pytest.mark.asyncio(loop_scope="module"), pytest.mark.usefixtures("unpainted")]
SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
ADVICE = Advice(
    "Volts between stop post 2 and board 0V, mains on, at rest.",
    ("12 of 12 suspects fit what you have seen.", "It halves what is left: 23.8 V would leave 6, 0.00 V 6."),
)
FIRST = "volts between stop post 2 and board 0V, mains on, at rest"
LAMP = "volts between lamp 1 and board 0V, mains on, at rest"
BEST, WHY = "the input lamps, while stop barn is worked", "It parts what is left. It takes 25 s."
FOUND = FaultFinding(
    looks=(
        Look(24_200, FIRST, 145.0, 1.0, 12, 6, Waste.NONE),
        Look(31_000, LAMP, 105.0, 0.0, 6, 6, Waste.IRRELEVANT, BEST, WHY),
    ),
    good_hand=(GoodLook(FIRST, 145.0, 1),),
    seconds=250.0,
    par=294.0,
    least=294.0,
    proven=True,
    suspects=12,
    left=6,
    doubt=3.4,
    mended=True,
    parts=(Part(0, 12, 1, False, False, False, 250.0, 294.0, 294.0, True),),
)
TOLD = replace(
    STORY,
    finding=FOUND,
    swaps=(Moment(40_000, "made stop feed good", own=True),),
    guesses=(Moment(50_000, "made stop barn out good", own=True),),
)


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for all of these tests."""
    async with SHARED.running():
        yield


class Thinker:
    """Answers once it is let; notes what it was asked with."""

    def __init__(self, at_once: bool = True) -> None:
        self.may = Event()
        self.asked: list[int] = []
        if at_once:
            self.may.set()

    def __call__(self, records: Sequence[ScanRecord]) -> Advice:
        self.asked.append(len(records))
        assert self.may.wait(20)
        return ADVICE


def stage(thinker: Thinker | None, exam: bool = False) -> tuple[OnShared, BenchScreen, CardboardBench]:
    bench = CardboardBench()
    screen = BenchScreen(bench, replace(SHEET, exam=exam), still(), ask=thinker)
    return OnShared(screen), screen, bench


@SIZES
async def test_the_answer_is_told_with_its_reason(size: tuple[int, int]) -> None:
    app, screen, bench = stage(Thinker())
    async with app.run_test(size=size) as pilot:
        await pilot.press("y", "y")
        await screen.workers.wait_for_complete()
        await pilot.pause()
        assert matches(app, f"good-hand-{size[0]}x{size[1]}")
        await pilot.press("enter")
        await pilot.pause()
        assert "Next: Volts" in " ".join(text_of(app).split())
        assert bench.asked.count(do.AskNext()) == 1


async def test_while_it_thinks_keys_and_picture_go_on() -> None:
    thinker = Thinker(at_once=False)
    app, screen, bench = stage(thinker)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("y", "y")
        await pilot.pause()
        assert isinstance(app.screen, Answer)
        assert "Thinks it over" in text_of(app)
        began = time.perf_counter()
        await pilot.press("escape", "c")
        screen.advance(100)
        await pilot.pause()
        assert time.perf_counter() - began < 5  # it waits for nobody; the thinker would wait for 20 s
        assert do.Operate("call-button", True) in bench.asked
        thinker.may.set()
        await screen.workers.wait_for_complete()
        await pilot.pause()
        assert "Next: Volts" in " ".join(text_of(app).split())  # kept on the job sheet all the same


async def test_it_is_thought_over_while_the_question_is_read_and_told_to_nobody_who_says_no() -> None:
    thinker = Thinker()
    app, screen, bench = stage(thinker)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("y")
        await screen.workers.wait_for_complete()
        assert len(thinker.asked) == 1
        await pilot.press("n")
        await pilot.pause()
        assert do.AskNext() not in bench.asked
        assert "Next: Volts" not in " ".join(text_of(app).split())


async def test_the_same_question_again_costs_nothing_until_something_was_done() -> None:
    app, screen, bench = stage(Thinker())
    async with app.run_test(size=SMALL) as pilot:
        for keys in (("y", "n", "y", "y"), ("enter", "y"), ("enter", "x", "y", "y")):
            await pilot.press(*keys)
            screen.advance(100)
            await screen.workers.wait_for_complete()
            await pilot.pause()
            assert "stop post 2" in text_of(app)
        assert bench.asked.count(do.AskNext()) == 2


@pytest.mark.parametrize(("exam", "words"), [(True, EXAM), (False, NOTHING_HIDDEN)])
async def test_in_an_exam_or_without_a_fault_nothing_is_asked(exam: bool, words: str) -> None:
    app, _, bench = stage(Thinker() if exam else None, exam)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("y")
        await pilot.pause()
        assert words[:20] in " ".join(text_of(app).split())
        assert do.AskNext() not in bench.asked


@SIZES
async def test_the_debrief_tells_how_the_fault_was_found(size: tuple[int, int]) -> None:
    app = OneScreen(DebriefScreen(TOLD))
    async with app.run_test(size=size) as pilot:
        await pilot.press("pagedown")
        await pilot.pause()
        assert matches(app, f"finding-{size[0]}x{size[1]}")


async def test_the_section_leaves_nothing_out() -> None:
    text = plain(story_lines(TOLD))
    for part in (
        "12 single faults fitted the complaint.",
        "✓  0:24.2  volts between stop post 2",
        "told 1.0 bit: 6 of 12 suspects left · 145 s",
        "As good a look as any.",
        "✗  0:31.0  volts between lamp 1",
        "told nothing: 6 of 6 suspects left · 105 s",
        "Irrelevant: it reads the same",
        "A good hand: the input lamps, while stop barn is worked. It parts what is left.",
        "made stop feed good: it was sound",
        "made stop barn out good: a guess, when",
        "Looking took 250 s of trade time; par is 294 s on average, and no plan is shorter",
        "A good hand on this gate: 1 look, 145 s",
        "1 volts between stop post 2 and board 0V, mains on, at rest · 145 s, found",
    ):
        assert part in text


async def test_a_debrief_that_takes_a_while_says_so_and_comes() -> None:
    may = Event()

    def later() -> Debrief:
        assert may.wait(20)
        return TOLD

    screen = DebriefScreen(None, "A gate of cardboard", later)
    app = OneScreen(screen)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert WORKING_OUT[:30] in text_of(app)
        may.set()
        await screen.workers.wait_for_complete()
        await pilot.pause()
        assert TOLD.verdict in text_of(app)


async def test_a_debrief_that_is_left_before_it_comes_is_left() -> None:
    may = Event()

    def later() -> Debrief:
        assert may.wait(20)
        return TOLD

    app = OneScreen(DebriefScreen(None, "A gate of cardboard", later))
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("q")
        await pilot.pause()
        may.set()
        await pilot.pause(0.1)
        assert app.answer is False
