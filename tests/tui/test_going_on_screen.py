"""Leaving a run and coming back to it, as a person does it; and a disk that fills up meanwhile."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from simgate.bench.replay import replay
from simgate.bench.tape import TapeWriter, read_tape
from simgate.practice.job import load_job
from simgate.tui.app import SimgateApp
from simgate.tui.messages import Parting
from simgate.tui.panes.ticker import Ticker
from simgate.tui.runner import Runner
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.going_on import GoingOn
from simgate.tui.screens.reading import Question, Reading
from simgate.tui.screens.running import TapeStuck
from simgate.tui.screens.workshop import WorkshopScreen
from tests.tui.stage import SMALL, matches, still, text_of
from tests.tui.test_app import app_in

JOB = Path("scenarios/jobs/first-learn.toml")


def at_bench(app: SimgateApp) -> BenchScreen:
    """The Bench, which must be on top."""
    assert isinstance(app.screen, BenchScreen)
    return app.screen


async def test_a_run_left_is_offered_and_gone_on_with_to_the_digest_of_one_never_left(tmp_path: Path) -> None:
    digests = []
    for left in (False, True):
        app = app_in(tmp_path / str(left), "self-close-and-back")
        async with app.run_test(size=SMALL) as pilot:
            await pilot.press("enter", "c")
            at_bench(app).advance(3000)
            if left:
                before = [line.text for line in at_bench(app).query_one(Ticker).lines]
                await pilot.press("q", "y")
                await pilot.pause()
                assert isinstance(app.screen, WorkshopScreen)
                assert "1 run is left open: g goes on" in text_of(app)
                await pilot.press("g")
                assert isinstance(app.screen, GoingOn)
                assert "0:03.7 into the job" in text_of(app)
                await pilot.press("enter")
                await pilot.pause()
                assert isinstance(app.screen, Reading)
                assert "left at 0:03.7" in text_of(app)
                await pilot.press("enter")
                await pilot.pause()
                assert before == [line.text for line in at_bench(app).query_one(Ticker).lines] != []
            at_bench(app).advance(30_000)
            await pilot.press("o", "y")
            await pilot.pause()
            assert isinstance(app.screen, DebriefScreen)
        (path,) = (tmp_path / str(left)).iterdir()
        tape = read_tape(path)
        assert tape.digest == replay(tape, load_job("self-close-and-back").setup()).digest()
        digests.append(tape.digest)
    assert digests[0] == digests[1]


async def test_the_list_of_runs_reads_well_and_says_that_there_is_no_undo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "UTC")
    other = tmp_path / "my-job.toml"
    other.write_text(JOB.read_text())
    for number, name in enumerate(("first-learn", "rehearse:Latch", str(other))):
        setup = load_job(name).setup()
        writer = TapeWriter(tmp_path / f"{number}.tape", setup)
        writer.leave(500 + number * 61_300)
        os.utime(writer.path, (1_000_000 + number, 1_000_000 + number))
    other.write_text(JOB.read_text() + "\n# edited\n")
    monkeypatch.setattr("simgate.tui.opening.own_version", lambda: "0.1.0")
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("g")
        assert matches(app, "runs-80x24")
        assert "undone" in text_of(app)
        await pilot.press("enter")  # the first is the one edited since
        await pilot.pause()
        assert isinstance(app.screen, GoingOn)
        assert "edited since" in text_of(app)
        await pilot.press("a")
        await pilot.pause()
        assert isinstance(app.screen_stack[-2], BenchScreen)
    assert len(list(tmp_path.glob("*.tape"))) == 4


async def test_a_run_is_put_away_and_nothing_of_it_is_lost(tmp_path: Path) -> None:
    for number in range(2):
        TapeWriter(tmp_path / f"{number}.tape", load_job("first-learn").setup()).leave(900)
        os.utime(tmp_path / f"{number}.tape", (1_000_000 - number, 1_000_000 - number))
    kept = (tmp_path / "0.tape").read_bytes()
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("g", "p")
        assert isinstance(app.screen, GoingOn)
        assert (tmp_path / "put away" / "0.tape").read_bytes() == kept
        await pilot.press("p")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
        assert "left open" not in text_of(app)
    assert not list(tmp_path.glob("*.tape"))
    assert len(list((tmp_path / "put away").iterdir())) == 2


async def test_a_run_whose_job_is_gone_is_offered_with_its_reason(tmp_path: Path) -> None:
    job = tmp_path / "gone.toml"
    job.write_text(JOB.read_text())
    TapeWriter(tmp_path / "run.tape", load_job(job).setup()).leave(900)
    job.unlink()
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("g")
        assert "cannot be loaded" in text_of(app)
        await pilot.press("enter", "a")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)


async def test_without_a_run_left_open_the_workshop_says_so(tmp_path: Path) -> None:
    app = app_in(tmp_path)
    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("g")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
        assert "No run is left open" in text_of(app)


async def test_the_same_job_can_be_started_again_from_the_bench(tmp_path: Path) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c")
        before = at_bench(app)
        before.advance(1000)
        await pilot.press("a")
        assert isinstance(app.screen, Question)
        assert "Nothing can be undone" in text_of(app)
        await pilot.press("y")
        await pilot.pause()
        await pilot.press("enter")
        assert at_bench(app) is not before
        assert at_bench(app).shot().tick < 1000
    assert len(list(tmp_path.iterdir())) == 2


async def test_a_light_press_under_way_ends_before_hands_leave(tmp_path: Path) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c", "q", "y")
        await pilot.pause()
    (path,) = tmp_path.iterdir()
    tape = read_tape(path)
    assert [getattr(action, "down", None) for _, action in tape.actions] == [True, False]
    assert tape.left == tape.actions[-1][0]


async def test_a_process_killed_in_a_light_press_leaves_no_finger_on_the_key(tmp_path: Path) -> None:
    job = load_job("first-learn")
    writer = TapeWriter(tmp_path / "run.tape", job.setup())
    bench = job.bench(writer)
    runner = Runner(bench)
    from simgate.bench.actions import Operate, PressKey
    from simgate.board.stimuli import Key

    runner.act(Operate("stop-button", True))  # left pressed in, long before
    runner.run(2000)
    runner.touch(PressKey(Key.KEEP, True))
    writer.close()
    app = SimgateApp(tapes=tmp_path, pacer=still, run_on=tmp_path / "run.tape")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        screen = at_bench(app)
        assert screen.shot().keys_down == {"keep"}
        screen.advance(300)
        assert screen.shot().keys_down == frozenset()
        assert [device.name for device in screen.shot().devices if device.down] == ["stop-button"]


def no_room(file: int, data: bytes) -> int:
    """A full disk."""
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


async def test_a_disk_full_in_the_middle_of_a_run_is_told_once_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c")
        screen = at_bench(app)
        with monkeypatch.context() as full:
            full.setattr("simgate.bench.tape.os.write", no_room)
            screen.advance(1000)  # the light press cannot end on the tape
            screen.advance(1000)
            await pilot.pause()
            assert isinstance(app.screen, TapeStuck)
            assert "No space left on device" in text_of(app)
            assert sum(isinstance(one, TapeStuck) for one in app.screen_stack) == 1
            stood = screen.shot().tick
            await pilot.press("y")
            screen.advance(10)
            await pilot.pause()
            assert isinstance(app.screen, TapeStuck)
            assert screen.shot().tick == stood
        await pilot.press("y")
        screen.advance(1000)
        await pilot.press("o", "y")
        await pilot.pause()
        assert isinstance(app.screen, DebriefScreen)
    (path,) = tmp_path.iterdir()
    tape = read_tape(path)
    assert tape.digest == replay(tape, load_job("first-learn").setup()).digest()
    assert [getattr(action, "down", None) for _, action in tape.actions] == [True, False, None]


async def test_a_disk_that_stays_full_lets_the_person_leave_with_the_tape_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_in(tmp_path, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c")
        monkeypatch.setattr("simgate.bench.tape.os.write", no_room)
        at_bench(app).advance(1000)
        await pilot.pause()
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
    (path,) = tmp_path.iterdir()
    assert len(read_tape(path).actions) == 1


async def test_a_hand_over_that_finds_no_room_still_goes_to_the_debrief(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = app_in(tmp_path, "first-learn")
    write = os.write

    def none_for_the_end(file: int, data: bytes) -> int:
        return no_room(file, data) if b'"end"' in data or b'"left"' in data else write(file, data)

    async with app.run_test(size=SMALL, notifications=True) as pilot:
        await pilot.press("enter")
        monkeypatch.setattr("simgate.bench.tape.os.write", none_for_the_end)
        await pilot.press("o", "y")
        await pilot.pause()
        assert isinstance(app.screen, DebriefScreen)
        assert any("could not be written" in told.message for told in app._notifications)
        monkeypatch.undo()
        await pilot.press("q")
        await pilot.pause()
        await pilot.press("g", "enter")
        await pilot.pause()
        assert isinstance(app.screen, DebriefScreen)
    (path,) = tmp_path.iterdir()
    assert read_tape(path).digest


@pytest.mark.parametrize("kind", ["a file", "no room"])
async def test_where_no_tape_can_be_kept_the_person_is_asked_and_may_work_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    folder = tmp_path / "tapes"
    if kind == "a file":
        folder.write_text("in its place")
    else:
        monkeypatch.setattr("simgate.bench.tape.os.write", no_room)
    app = app_in(folder, "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Question)
        assert "No tape of this run can be written" in text_of(app)
        await pilot.press("n")
        assert isinstance(app.screen, WorkshopScreen)
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        await pilot.press("enter", "c")
        assert "no tape" in text_of(app)
        at_bench(app).advance(1000)
        at_bench(app).dismiss(Parting.LEFT)
        await pilot.pause()
        assert isinstance(app.screen, WorkshopScreen)
    assert folder.is_file() if kind == "a file" else list(folder.iterdir()) == []


async def test_a_missing_folder_is_made(tmp_path: Path) -> None:
    app = app_in(tmp_path / "not" / "there" / "yet", "first-learn")
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("enter", "c")
    assert list((tmp_path / "not" / "there" / "yet").iterdir())
