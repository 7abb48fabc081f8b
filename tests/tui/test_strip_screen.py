"""The strip chart on the Bench: over a small one, beside the Yard on a large one, else under it."""

from __future__ import annotations

from collections.abc import AsyncIterator

import pytest
import pytest_asyncio

from simgate.tui.panes.strip import StripChart
from simgate.tui.panes.yard import Yard
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.strip import StripOver
from tests.tui.made import CardboardBench
from tests.tui.stage import LARGE, SHARED, SMALL, bench_app, matches, text_of

pytestmark = [pytest.mark.asyncio(loop_scope="module"), pytest.mark.usefixtures("unpainted")]


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for all of these tests."""
    async with SHARED.running():
        yield


def in_steps(screen: BenchScreen, ms: int) -> None:
    """Let time pass as frames do."""
    for _ in range(ms // 100):
        screen.advance(100)


async def test_over_a_small_bench_the_chart_fills_the_screen_and_follows_the_gate() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("c")
        in_steps(screen, 12_000)
        await pilot.press("r")
        assert isinstance(app.screen, StripOver)
        in_steps(screen, 3_000)
        await pilot.pause()
        assert matches(app, "strip-80x24")
        await pilot.press("r")
        assert not isinstance(app.screen, StripOver)


async def test_on_a_large_screen_the_chart_takes_the_place_of_the_card_until_asked_again() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=LARGE) as pilot:
        await pilot.press("c")
        in_steps(screen, 15_000)
        await pilot.press("r")
        await pilot.pause()
        assert not isinstance(app.screen, StripOver)
        assert matches(app, "strip-120x40")
        await pilot.press("r")
        await pilot.pause()
        assert "Mode card" in text_of(app)
        assert "Strip chart" not in text_of(app)


async def test_on_a_very_large_screen_chart_and_card_stand_there_both() -> None:
    app, screen = bench_app(CardboardBench())
    async with app.run_test(size=(200, 60)) as pilot:
        in_steps(screen, 500)
        await pilot.pause()
        text = text_of(app)
        assert "Mode card" in text
        assert "Strip chart" in text
        strip, yard = screen.query_one(StripChart), screen.query_one(Yard)
        assert strip.region.y == yard.region.bottom
        await pilot.resize_terminal(*SMALL)
        await pilot.pause()
        assert "Strip chart" not in text_of(app)
        await pilot.resize_terminal(200, 60)
        await pilot.pause()
        assert "Strip chart" in text_of(app)
