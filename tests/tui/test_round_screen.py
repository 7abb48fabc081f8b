"""A round at the Bench of a rehearsal: asked, answered, acted, explained; and its map."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace

import pytest
import pytest_asyncio

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.board.stimuli import Condition, Response, Stimulus
from simgate.practice.moves import Cell
from simgate.practice.outcomes import Memory
from simgate.practice.rehearse import rehearsal
from simgate.practice.round import Mark
from simgate.practice.round_words import alike
from simgate.tui.panes.card import Card
from simgate.tui.panes.job_sheet import JobSheet
from simgate.tui.panes.yard import Yard
from simgate.tui.screens.asking import AskCell, RoundMap
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.reading import Reading
from tests.tui.stage import LARGE, SHARED, SHEET, SMALL, OnShared, matches, still, text_of

pytestmark = [pytest.mark.asyncio(loop_scope="module"), pytest.mark.usefixtures("unpainted")]
REHEARSED = replace(SHEET, title="Rehearse Self-close", goals=(), minutes=0, hints=(), rehearsal=True)


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for these tests."""
    async with SHARED.running():
        yield


def rehearsed(kept: Memory | None = None) -> tuple[OnShared, BenchScreen, Bench]:
    """The Bench at a rehearsal of Self-close."""
    bench = rehearsal("Self-close").bench()
    screen = BenchScreen(bench, REHEARSED, still(), outcomes=kept or Memory())
    return OnShared(screen), screen, bench


def shown(app: OnShared) -> type[object]:
    """What lies on top."""
    return type(app.screen)


async def test_a_question_leaves_the_yard_in_sight_and_time_stands() -> None:
    app, screen, bench = rehearsed()
    async with app.run_test(size=SMALL) as pilot:
        screen.advance(200)
        before = bench.digest()
        await pilot.press("u")
        await pilot.pause()
        assert shown(app) is AskCell
        assert AskCell.clock_stands
        card = app.screen.query_one(".card").region
        assert card.y >= screen.query_one(Yard).region.bottom
        assert screen.region.contains_region(card)
        assert matches(app, "round-question-80x24")
        assert bench.digest() == before
        await pilot.press("escape")
        await pilot.pause()
        assert shown(app) is RoundMap
        assert bench.digest() == before


async def test_an_answer_is_given_by_number_and_then_the_gate_does_it() -> None:
    kept = Memory()
    app, screen, _ = rehearsed(kept)
    async with app.run_test(size=LARGE) as pilot:
        screen.advance(200)
        await pilot.press("u")
        await pilot.pause()
        card = screen.query_one("#side-card", Card)
        assert card.marks is not None
        assert card.marks[Cell(Condition.SHUT, Stimulus.CALL)] is Mark.UNKNOWN
        await pilot.press("1")
        screen.advance(300)
        await pilot.pause()
        assert screen.shot().condition is Condition.OPENING
        assert [outcome.right for outcome in kept.all] == [True]
        assert card.marks[Cell(Condition.SHUT, Stimulus.CALL)] is Mark.KNOWN
        assert "✓ Right." in text_of(app)
        assert matches(app, "round-120x40")
        assert shown(app) is BenchScreen, "the gate is looked at first"
        screen.advance(1_600)
        await pilot.pause()
        assert shown(app) is AskCell, "then comes the next question"


async def test_a_wrong_answer_by_letter_is_explained_and_the_round_goes_on() -> None:
    kept = Memory()
    app, screen, _ = rehearsed(kept)
    async with app.run_test(size=SMALL) as pilot:
        screen.advance(200)
        await pilot.press("u")
        await pilot.pause()
        await pilot.press("c")
        screen.advance(300)
        await pilot.pause()
        assert shown(app) is Reading
        assert "You said: It takes no notice." in text_of(app)
        assert "it opens fully" in text_of(app)
        assert (kept.all[0].answer, kept.all[0].right) == (Response.IGNORE, False)
        await pilot.press("enter")
        screen.advance(1_600)
        await pilot.pause()
        assert shown(app) is AskCell
        await pilot.press("9", "8", "z")
        assert shown(app) is AskCell, "keys that answer nothing do nothing"


async def test_a_call_of_the_learners_own_is_asked_about_first() -> None:
    kept = Memory()
    app, screen, _ = rehearsed(kept)
    async with app.run_test(size=SMALL) as pilot:
        screen.advance(200)
        await pilot.press("u")
        await pilot.pause()
        await pilot.press("1")
        screen.advance(500)
        await pilot.pause()
        await pilot.press("s")
        await pilot.pause()
        assert shown(app) is AskCell
        assert "STOP is pressed" in text_of(app)
        assert screen.shot().condition is Condition.OPENING
        await pilot.press("escape")
        screen.advance(300)
        await pilot.pause()
        assert screen.shot().condition is Condition.STOPPED_OPENING
        assert len(kept.all) == 1, "what was not answered does not count"


async def test_the_map_at_the_end_reads_without_colour() -> None:
    app, screen, _ = rehearsed()
    async with app.run_test(size=LARGE) as pilot:
        screen.advance(200)
        await pilot.press("u")
        await pilot.pause()
        await pilot.press("1")
        screen.advance(500)
        await pilot.pause()
        await pilot.press("u")
        await pilot.pause()
        assert shown(app) is RoundMap
        assert screen.rounds.round is None
        assert matches(app, "round-map-120x40")
        text = text_of(app)
        assert "1 of 105 cells known" in text
        assert "✓open" in text
        assert screen.marks is None
        await pilot.press("escape")
        await pilot.pause()
        assert screen.query_one(JobSheet).border_title == JobSheet.BORDER_TITLE


async def test_a_body_of_the_rounds_own_is_taken_away_again_and_a_known_way_is_walked() -> None:
    kept = Memory()
    app, screen, bench = rehearsed(kept)
    async with app.run_test(size=SMALL) as pilot:
        screen.advance(200)
        await pilot.press("u")
        for _ in range(300):
            await pilot.pause()
            top = app.screen
            if isinstance(top, AskCell):
                round_ = screen.rounds.round
                assert round_ is not None
                asked = top._asked
                right = alike(asked.cell, round_.ways.cells[asked.cell.condition][asked.cell.stimulus])
                await pilot.press(str(asked.choices.index(right) + 1))
            elif isinstance(top, Reading):
                await pilot.press("enter")
            else:
                screen.advance(500)
            if any(outcome.cell.stimulus is Stimulus.OBSTACLE for outcome in kept.all):
                break
        met = [outcome for outcome in kept.all if outcome.cell.stimulus is Stimulus.OBSTACLE]
        assert met
        screen.advance(100)
        assert all(body is None for body in bench.passers.bodies)
        placed = [a for r in bench.records for a in r.actions if isinstance(a, do.PlaceBody)]
        assert placed


async def test_a_round_belongs_to_a_rehearsal() -> None:
    bench = rehearsal("Self-close").bench()
    screen = BenchScreen(bench, SHEET, still())
    app = OnShared(screen)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        screen.advance(200)
        await pilot.press("u")
        await pilot.pause()
        assert shown(app) is BenchScreen
        assert screen.rounds.round is None
