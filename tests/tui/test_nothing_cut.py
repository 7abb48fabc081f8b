"""No word is cut off by the right edge, or broken in the middle: every screen at 80 x 24 and at 120 x 40."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import OptionList, Static

from simgate.bench.record import MeterView
from simgate.files import shipped
from simgate.practice.job import load_job
from simgate.tui.app import SimgateApp
from simgate.tui.opening import sheet_of
from simgate.tui.panes.job_sheet import briefing_lines
from simgate.tui.preferences import Preferences
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.preferences import PreferencesScreen
from simgate.tui.screens.reading import Reading
from simgate.tui.screens.workshop import WorkshopScreen
from tests.tui.cut import cut_words
from tests.tui.made import CardboardBench, busy
from tests.tui.stage import LARGE, SHARED, SMALL, OnShared, bench_app, still
from tests.tui.test_contrast import over_the_bench
from tests.tui.test_debrief_screen import STORY

pytestmark = pytest.mark.asyncio(loop_scope="module")
METER = MeterView("ohms", "board.STOP", "board.COM", "-12.9 Ω", "This circuit is live.")
SHOT = replace(busy(), meter=METER, inside=True)


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for all of them."""
    async with SHARED.running():
        yield


class Narrow(Screen[None]):
    """Words that have no room."""

    CSS = "Narrow > * { width: 11; } #one-line { height: 1; } OptionList { border: solid; }"

    def compose(self) -> ComposeResult:
        yield Static("goes on over the edge", id="one-line")
        yield Static("the unmistakable word")
        listed = OptionList("safe", "unmistakable")
        listed.border_title = "more than fits there"
        yield listed


async def test_what_is_cut_is_found() -> None:
    screen = Narrow()
    async with OnShared(screen).run_test(size=SMALL):
        found = cut_words(screen)
    assert "Static#one-line: edge" in found
    assert "Static#one-line: goes" not in found
    assert "Static: unmistakable" in found
    assert "Static: word" not in found
    assert "OptionList: there" in found
    assert "OptionList: safe" not in found


def scenes() -> list[Screen[Any]]:
    """What comes over and after the Bench, with something on it."""
    return [
        PreferencesScreen(Preferences(), Path("/home/me/.config/simgate/preferences.toml"), ""),
        DebriefScreen(STORY),
        *over_the_bench(SHOT),
    ]


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_on_no_screen_a_word_is_cut(size: tuple[int, int], tmp_path: Path) -> None:
    app = SimgateApp(tapes=tmp_path, pacer=still)  # it brings the sheet of its first screen
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
        found = cut_words(app.screen)
    for screen in scenes():
        async with OnShared(screen).run_test(size=size) as pilot:
            await pilot.pause()
            found += [f"{type(screen).__name__} {cut}" for cut in cut_words(screen)]
    assert found == []


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_at_no_job_a_word_of_its_sheet_is_cut(size: tuple[int, int]) -> None:
    found: list[str] = []
    for name in shipped("jobs"):
        sheet = sheet_of(load_job(name))
        app, bench = bench_app(CardboardBench(busy()), sheet)
        async with app.run_test(size=size) as pilot:
            bench.advance(10)
            await pilot.pause()
            found += [f"{name} {cut}" for cut in cut_words(bench)]
            read = Reading(sheet.title, briefing_lines(sheet, len(sheet.hints)))
            await pilot.app.push_screen(read)
            await pilot.pause()
            found += [f"{name}, read: {cut}" for cut in cut_words(read)]
    assert found == []
