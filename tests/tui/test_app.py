"""The whole program with the real bench: Workshop, Bench, Debrief, and the tape that it leaves."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from simgate.bench.actions import HandOver, Operate
from simgate.bench.tape import read_tape
from simgate.tui.app import SimgateApp
from simgate.tui.runner import TOUCH_MS
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.help import Help
from simgate.tui.screens.reading import Reading
from simgate.tui.screens.workshop import WorkshopScreen
from tests.tui.stage import LARGE, SMALL, matches, still, text_of


def app_in(folder: Path, job: str | None = None) -> SimgateApp:
    """The program with a clock that stands still and its tapes in `folder`."""
    return SimgateApp(job, tapes=folder, pacer=still)


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
async def test_the_workshop_offers_jobs_modes_and_a_caution(tmp_path: Path, size: tuple[int, int]) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert "qualifies nobody" in text_of(app)
        assert matches(app, f"workshop-{size[0]}x{size[1]}")


async def test_a_job_is_started_worked_handed_over_and_told(tmp_path: Path) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen_stack[-2], BenchScreen)
        await pilot.press("enter")
        bench = app.screen
        assert isinstance(bench, BenchScreen)
        await pilot.press("c")
        bench.advance(1000)
        await pilot.press("o", "y")
        await pilot.pause()
        assert isinstance(app.screen, DebriefScreen)
        assert "Not passed" in text_of(app)
        await pilot.press("q")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
    (path,) = tmp_path.iterdir()
    tape = read_tape(path)
    assert [type(action) for _, action in tape.actions] == [Operate, Operate, HandOver]
    assert tape.digest


async def test_a_mode_is_rehearsed_with_its_card_lit(tmp_path: Path) -> None:
    app = app_in(tmp_path, "rehearse:Self-close")
    async with app.run_test(size=LARGE) as pilot:
        await pilot.press("enter", "c")
        bench = app.screen
        assert isinstance(bench, BenchScreen)
        bench.advance(2000)
        await pilot.pause()
        assert "▶opening" in text_of(app)
        assert "[open]" in text_of(app)


async def test_leaving_the_bench_keeps_the_tape_open_to_be_read(tmp_path: Path) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c", "q", "y")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
    (path,) = tmp_path.iterdir()
    assert read_tape(path).end is None


async def test_ended_from_outside_it_gives_the_terminal_back_and_leaves_a_whole_tape(tmp_path: Path) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c")
        os.kill(os.getpid(), signal.SIGTERM)
        await pilot.pause(0.1)
    assert app.return_code == 128 + signal.SIGTERM
    (path,) = tmp_path.iterdir()
    tape = read_tape(path)
    assert tape.actions[1:] == ((tape.actions[0][0] + TOUCH_MS, Operate("call-button", False)),)
    assert tape.left == tape.actions[1][0]


async def test_every_run_gets_a_tape_of_its_own(tmp_path: Path) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        for _ in range(2):
            await pilot.press("enter", "enter", "q", "y")
    assert len(list(tmp_path.iterdir())) == 2


async def test_a_job_that_cannot_be_loaded_is_told_in_words(tmp_path: Path) -> None:
    app = app_in(tmp_path, "no-such-job")
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
        assert "no such job" in text_of(app)


async def test_the_palette_offers_the_commands_of_the_screen(tmp_path: Path) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter")
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert "Hand over  (o)" in titles
        await pilot.press("ctrl+p")
        await pilot.press(*"step")
        await pilot.pause(0.3)
        assert "Step in or out" in text_of(app)


async def test_help_opens_on_every_screen(tmp_path: Path) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("question_mark")
        assert isinstance(app.screen, Help)
        await pilot.press("escape")
        assert isinstance(app.screen, WorkshopScreen)


async def test_a_file_with_many_mistakes_is_told_in_a_text_to_be_read(tmp_path: Path) -> None:
    """In a corner of the screen it would cover everything and be gone before it is read."""
    job = tmp_path / "bad.toml"
    job.write_text("".join(f"key_{n} = {n}\n" for n in range(12)))
    app = app_in(tmp_path / "tapes", str(job))
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Reading)
        assert "✗ bad.toml:1: key_0" in text_of(app)
        assert not app._notifications
        await pilot.press("enter")
        assert isinstance(app.screen, WorkshopScreen)
        app.tell("It is short.")
        await pilot.pause()
        assert len(app._notifications) == 1
