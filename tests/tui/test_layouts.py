"""Every screen in every size: composed when there is room, no pane cut off at 80 x 24, decent below.

Words that are cut are looked for in test_nothing_cut.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path

import pytest
import pytest_asyncio

from simgate.tui.panes.cabinet import Cabinet
from simgate.tui.panes.footer import SmallWindow
from simgate.tui.panes.yard import Yard
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.workshop import WorkshopScreen
from tests.tui.made import CardboardBench, busy
from tests.tui.stage import SHARED, bench_app, matches, text_of
from tests.tui.test_app import app_in
from tests.tui.test_picture import CROWD

pytestmark = pytest.mark.asyncio(loop_scope="module")
BROAD = (200, 60)
TINY = [(60, 20), (79, 24), (80, 23), (40, 12), (200, 10), (20, 60), (1, 1)]


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for the tests of the Bench."""
    async with SHARED.running():
        yield


def name(size: tuple[int, int]) -> str:
    """'80x24'."""
    return f"{size[0]}x{size[1]}"


async def test_the_bench_is_composed_on_a_broad_screen() -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=BROAD) as pilot:
        screen.advance(10)
        await pilot.pause()
        assert matches(app, f"bench-{name(BROAD)}")


async def test_the_workshop_keeps_its_words_together_on_a_broad_screen(tmp_path: Path) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=BROAD) as pilot:
        await pilot.pause()
        assert matches(app, f"workshop-{name(BROAD)}")


@pytest.mark.parametrize("size", [(80, 24), (120, 40), BROAD], ids=name)
async def test_every_pane_lies_whole_on_the_screen(size: tuple[int, int]) -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=size) as pilot:
        screen.advance(10)
        await pilot.pause()
        panes = [pane for pane in screen.query("#desk > *") if pane.display]
        assert len(panes) >= 5
        for pane in panes:
            assert screen.region.contains_region(pane.region), pane
            assert pane.region.height >= 8, pane
        assert not screen.query_one(SmallWindow).display
        for one in panes:
            assert not any(one.region.overlaps(other.region) for other in panes if other is not one)


async def test_a_hazard_is_told_whole_at_80_by_24() -> None:
    crowd = tuple(replace(who, in_way_of=("A", "B"), force=50.0) for who in CROWD)
    app, screen = bench_app(CardboardBench(replace(busy(), passing=crowd)))
    async with app.run_test(size=(80, 24)) as pilot:
        screen.advance(10)
        await pilot.pause()
        text = text_of(app)
        assert "Yard · ! HAZARD ━" in text  # the sentence is longer than the rule
        assert "HAZARD: vehicle, person and dog pressed by" in text
        assert "leaf A and B." in text


@pytest.mark.parametrize("size", TINY, ids=name)
async def test_below_that_the_bench_says_so_and_keeps_the_cabinet(size: tuple[int, int]) -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=size) as pilot:
        screen.advance(10)
        await pilot.pause()
        assert screen.query_one(SmallWindow).display
        assert screen.query_one(Cabinet).display
        assert screen.query_one(Yard).display is (size[0] >= 80 or size[1] >= 24)
        if size[0] >= 40:
            text = text_of(app)
            assert "Opening" in text
            assert "Back" in text
            assert "80 × 24 shows all" in text
        await pilot.press("question_mark", "escape", "m", "escape", "c")
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert not screen.query_one(SmallWindow).display
        assert "Ticker" in text_of(app)


@pytest.mark.parametrize("size", TINY, ids=name)
async def test_the_workshop_can_be_used_in_any_size(tmp_path: Path, size: tuple[int, int]) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        if size[0] >= 40 and size[1] >= 12:
            assert "First learn cycle" in text_of(app)
            assert "qualifies nobody" in text_of(app)
        await pilot.press("enter", "enter")
        await pilot.pause()
        assert isinstance(app.screen, BenchScreen)
        await pilot.press("q", "y")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)


async def test_a_storm_of_sizes_ends_as_the_last_size_does() -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=(80, 24)) as pilot:
        screen.advance(10)
        await pilot.pause()
        before = text_of(app)
        for size in [*TINY, (200, 60), (120, 40), (80, 24)]:
            await pilot.resize_terminal(*size)
        await pilot.pause()
        assert text_of(app) == before
