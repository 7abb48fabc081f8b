"""Two gates side by side: the same calls to both, the differences in words."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio

from simgate.board.stimuli import Condition
from simgate.practice.pair import Pair, compared
from simgate.tui.panes.yard import Yard
from simgate.tui.screens.comparing import CompareScreen, Differences
from simgate.tui.screens.workshop import MODES, WorkshopScreen
from tests.tui.stage import LARGE, SHARED, SMALL, OnShared, matches, still, text_of
from tests.tui.test_app import app_in

pytestmark = pytest.mark.asyncio(loop_scope="module")


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for these tests."""
    async with SHARED.running():
        yield


def side_by_side() -> tuple[OnShared, CompareScreen, Pair]:
    """Self-close beside Shared drive."""
    pair = compared("Self-close", "Shared drive")
    screen = CompareScreen(pair, still())
    return OnShared(screen), screen, pair


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_both_gates_get_the_call_and_the_difference_is_called_out(size: tuple[int, int]) -> None:
    app, screen, pair = side_by_side()
    async with app.run_test(size=size) as pilot:
        screen.advance(200)
        await pilot.press("c")
        screen.advance(300)
        await pilot.pause()
        gates = (pair.bench, pair.other)
        assert [gate.board.condition for gate in gates] == [Condition.OPENING] * 2
        while Condition.OPENING in [gate.board.condition for gate in gates]:
            screen.advance(500)
        await pilot.press("c")
        screen.advance(1_000)
        await pilot.pause()
        assert [gate.board.condition for gate in gates] == [Condition.CLOSING, Condition.OPEN]
        text = text_of(app)
        assert "Self-close shuts at once; Shared drive" in " ".join(text.split())
        assert "Self-close: shutting" in text
        assert "Shared drive: open, pause 10 s" in text
        assert matches(app, f"compare-{size[0]}x{size[1]}")
        yards = [yard.region for yard in screen.query(Yard)]
        assert len(yards) == 2
        assert not yards[0].overlaps(yards[1])
        assert all(screen.region.contains_region(region) and region.height >= 9 for region in yards)
        assert screen.region.contains_region(screen.query_one(Differences).region)


async def test_on_to_the_next_thing_goes_on_while_only_the_second_gate_does_anything() -> None:
    pair = compared("Latch", "Self-close")
    screen = CompareScreen(pair, still())
    app = OnShared(screen)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        screen.advance(200)
        await pilot.press("c")
        while pair.other.board.condition is not Condition.CLOSING:
            before = pair.tick
            await pilot.press("n")
            assert pair.tick > before
        assert pair.bench.board.condition is Condition.OPEN
        await pilot.press("q")
        await pilot.pause()
        assert app.answer is not None


async def test_the_workshop_sets_two_modes_side_by_side(tmp_path: Path) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        await pilot.press("tab", "c")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, CompareScreen)
        first, second = app.screen._pair.titles
        assert first != second
        await pilot.press("q")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
        assert app.screen.query_one(f"#{MODES}").has_focus
        assert list(tmp_path.rglob("*.tape")) == []
