"""A run left before its end and gone on with ends as if nobody had ever gone away."""

from __future__ import annotations

import errno
import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.left_open import runs_left_open
from simgate.bench.replay import go_on, replay
from simgate.bench.scan import Bench
from simgate.bench.tape import TapeError, TapeWriter, read_tape
from simgate.files import UserError
from tests.bench.made import RUNS, setup, touch, try_to

TORN = b'{"t": 999990, "do": "ma'


@settings(max_examples=25, deadline=None)
@given(RUNS, st.integers(0, 12), st.integers(0, 300), st.booleans(), st.booleans())
def test_a_run_gone_on_with_ends_in_the_digest_of_one_never_left(
    run: list[tuple[int, a.Action]], leave_at: int, wait: int, killed: bool, torn: bool
) -> None:
    """killed: the process died, so that no note says when hands left. torn: it died within a line."""
    start = setup("Latch")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "run.tape"
        whole, bench = Bench(start), Bench(start, TapeWriter(path, start))
        for number, (ms, action) in enumerate([*run, (1000, a.HandOver())]):
            if number == leave_at:
                bench = _left_and_gone_on(bench, path, wait * 10, killed, torn)
            ms = max(whole.tick + ms, bench.tick) - whole.tick
            whole.run(ms)
            bench.run(whole.tick - bench.tick)
            assert try_to(whole, action) == try_to(bench, action)
        assert bench.digest() == whole.digest()
        assert bench.records == whole.records
        tape = read_tape(path)
        assert tape.digest == whole.digest()
        assert replay(tape, start).digest() == whole.digest()


def _left_and_gone_on(bench: Bench, path: Path, wait: int, killed: bool, torn: bool) -> Bench:
    bench.run(wait)
    assert bench.tape is not None
    if killed:
        bench.tape.close()
    else:
        bench.tape.leave(bench.tick)
    if torn:
        with path.open("ab") as file:
            file.write(TORN)
    again = go_on(path, read_tape(path), bench.setup)
    assert TORN not in path.read_bytes()
    assert again.tick == (read_tape(path).last or 500) if killed else again.tick == bench.tick
    return again


def test_a_run_may_be_left_and_gone_on_with_many_times(tmp_path: Path) -> None:
    start, path = setup("Latch"), tmp_path / "run.tape"
    bench = Bench(start, TapeWriter(path, start))
    for _ in range(4):
        touch(bench, "call-button")
        bench.run(700)
        assert bench.tape is not None
        bench.tape.leave(bench.tick)
        bench = go_on(path, read_tape(path), start)
    assert bench.tick == 500 + 4 * 1000
    assert len(read_tape(path).actions) == 8


def test_a_wrong_line_behind_a_note_of_leaving_is_named_by_its_own_number(tmp_path: Path) -> None:
    start = setup("Latch")
    writer = TapeWriter(tmp_path / "run.tape", start)
    writer.leave(600)
    with (tmp_path / "run.tape").open("a") as file:
        file.write(
            '{"t": 700, "do": "mains", "on": false}\n{"t": 800, "do": "push", "leaf": "A", "newton": 50}\n'
        )
    with pytest.raises(UserError, match="tape:4: push"):
        replay(read_tape(tmp_path / "run.tape"), start)


def test_one_run_goes_on_in_one_window(tmp_path: Path) -> None:
    start, path = setup("Latch"), tmp_path / "run.tape"
    bench = Bench(start, TapeWriter(path, start))
    touch(bench, "call-button")
    assert runs_left_open(tmp_path) == []
    with pytest.raises(UserError, match="another window"):
        go_on(path, read_tape(path), start)
    assert bench.tape is not None
    bench.tape.leave(bench.tick)
    assert [run.path for run in runs_left_open(tmp_path)] == [path]


def test_a_run_that_is_over_is_not_gone_on_with(tmp_path: Path) -> None:
    start, path = setup("Latch"), tmp_path / "run.tape"
    Bench(start, TapeWriter(path, start)).act(a.HandOver())
    before = path.read_bytes()
    with pytest.raises(UserError, match="a run that is over"):
        go_on(path, read_tape(path), start)
    assert path.read_bytes() == before
    assert runs_left_open(tmp_path) == []


def test_a_tape_of_a_job_edited_since_stays_as_it_is(tmp_path: Path) -> None:
    start, path = setup("Latch"), tmp_path / "run.tape"
    bench = Bench(start, TapeWriter(path, start))
    touch(bench, "call-button")
    assert bench.tape is not None
    bench.tape.leave(bench.tick)
    before = path.read_bytes()
    with pytest.raises(UserError, match="another version of the job"):
        go_on(path, read_tape(path), setup("Four-step"))
    assert path.read_bytes() == before
    go_on(path, read_tape(path), start)  # and its lock was given back


def test_the_list_knows_job_and_time_and_leaves_out_what_is_no_run(tmp_path: Path) -> None:
    start = setup("Latch")
    for name in ("empty", "older", "newer"):
        bench = Bench(start, TapeWriter(tmp_path / f"{name}.tape", start))
        if name != "empty":
            touch(bench, "call-button")
            bench.run(400)
        assert bench.tape is not None
        bench.tape.close() if name == "empty" else bench.tape.leave(bench.tick)
    os.utime(tmp_path / "older.tape", (1000, 1000))
    os.utime(tmp_path / "newer.tape", (2000, 2000))
    (tmp_path / "torn.tape").write_bytes(TORN)
    (tmp_path / "wrong.tape").write_text('{"tape": 1}\n{"t": 3}\n')
    (tmp_path / "list.tape").write_text("[1]\n[2]\n")
    (tmp_path / "folder.tape").mkdir()
    (tmp_path / "bytes.tape").write_bytes(b"\xff\xfe\n" * 9)
    found = runs_left_open(tmp_path)
    assert [(run.path.stem, run.job, run.tick, run.when) for run in found] == [
        ("newer", "test", 1200, 2000.0),
        ("older", "test", 1200, 1000.0),
    ]
    assert found[0].setup == start.fingerprint()
    assert runs_left_open(tmp_path / "nowhere") == []
    assert runs_left_open(tmp_path / "torn.tape") == []


def test_a_long_tape_is_listed_by_its_last_line(tmp_path: Path) -> None:
    start = setup("Latch")
    writer = TapeWriter(tmp_path / "long.tape", start)
    for n in range(1000):
        writer.action(500 + n * 10, a.PutAway())
    writer.close()
    assert (tmp_path / "long.tape").stat().st_size > 20_000
    assert [run.tick for run in runs_left_open(tmp_path)] == [500 + 9990]


def test_a_disk_that_fills_up_leaves_a_tape_that_reads_and_a_run_that_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk takes half a line, then no more; with room again, the run goes on as it would have."""
    start, path = setup("Latch"), tmp_path / "run.tape"
    bench = Bench(start, TapeWriter(path, start))
    touch(bench, "call-button")
    write, room = os.write, [9]

    def full(file: int, data: bytes) -> int:
        if not room[0]:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        taken, room[0] = min(room[0], len(data)), max(room[0] - len(data), 0)
        return write(file, data[:taken])

    monkeypatch.setattr(os, "write", full)
    before = bench.digest()
    for _ in range(3):
        with pytest.raises(TapeError, match="No space left on device"):
            bench.act(a.Block("beam-gate", True))
        assert bench.digest() == before
        assert len(read_tape(path).actions) == 2
        assert path.read_bytes().endswith(b"\n")
    monkeypatch.undo()
    bench.act(a.Block("beam-gate", True))
    bench.run(30_000)
    bench.act(a.HandOver())
    assert replay(read_tape(path), start).digest() == bench.digest()


def test_a_hand_over_whose_end_found_no_room_is_ended_when_gone_on_with(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    start, path = setup("Latch"), tmp_path / "run.tape"
    bench = Bench(start, TapeWriter(path, start))
    touch(bench, "call-button")
    write = os.write

    def no_room_for_the_end(file: int, data: bytes) -> int:
        if b'"end"' in data:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return write(file, data)

    monkeypatch.setattr(os, "write", no_room_for_the_end)
    with pytest.raises(TapeError):
        bench.act(a.HandOver())
    assert bench.finished
    assert bench.tape is not None
    bench.tape.close()
    monkeypatch.undo()
    again = go_on(path, read_tape(path), start)
    assert again.finished
    assert read_tape(path).digest == bench.digest()


def test_a_tape_without_room_for_its_head_leaves_no_file_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(file: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(TapeError, match="No space left on device"):
        TapeWriter(tmp_path / "run.tape", setup("Latch"))
    assert list(tmp_path.iterdir()) == []
