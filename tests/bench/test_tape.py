"""The tape: written as it happens, read with care, and enough to run it all again."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.replay import replay
from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter, read_tape
from simgate.files import UserError
from tests.bench.made import HANDS, RUNS, play, setup, touch, try_to

TRAINER: list[a.Action] = [
    a.Inject("parted-wire", "motor-a-brown"),
    a.Inject("tired-joint", "motor-a-brown", 0.0),
    a.Inject("tired-joint", "motor-a-brown", 900.0),
    a.Inject("blown-fuse", "aux"),
    a.Inject("gremlin", "aux"),
    a.Mend("blown-fuse", "aux"),
]
HEAD = '{"tape": 1, "version": "0", "job": "test", "setup": "x", "seed": 0}\n'


def test_a_run_and_its_replay_end_in_the_same_digest(tmp_path: Path) -> None:
    start = setup("Self-close", pause=5)
    bench = Bench(start, TapeWriter(tmp_path / "run.tape", start))
    touch(bench, "call-button")
    bench.run(20_000)
    bench.act(a.Block("beam-gate", True))
    bench.run(70_000)
    bench.act(a.HandOver())
    tape = read_tape(tmp_path / "run.tape")
    assert tape.digest == bench.digest()
    again = replay(tape, start)
    assert again.digest() == bench.digest()
    assert again.records == bench.records


@settings(max_examples=25, deadline=None)
@given(RUNS)
def test_any_run_of_hands_replays_from_its_tape(run: list[tuple[int, a.Action]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        start = setup("Latch")
        path = Path(folder) / "run.tape"
        bench = Bench(start, TapeWriter(path, start))
        play(bench, run)
        bench.act(a.HandOver())
        assert replay(read_tape(path), start).digest() == bench.digest()


@given(st.lists(HANDS, max_size=20))
def test_every_action_comes_back_from_the_tape_as_it_went_on(actions: list[a.Action]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "run.tape"
        writer = TapeWriter(path, setup())
        for n, action in enumerate(actions):
            writer.action(n * 10, action)
        writer.end(len(actions) * 10, "digest")
        tape = read_tape(path)
    assert tape.actions == tuple((n * 10, action) for n, action in enumerate(actions))
    assert tape.end == len(actions) * 10


def test_a_killed_process_leaves_every_action_that_was_done(tmp_path: Path) -> None:
    path = tmp_path / "run.tape"
    code = (
        "import sys, time\nfrom pathlib import Path\n"
        "from simgate.bench import actions as a\nfrom simgate.bench.scan import Bench\n"
        "from simgate.bench.tape import TapeWriter\nfrom tests.bench.made import setup\n"
        "start = setup('Latch', learned=False)\nbench = Bench(start, TapeWriter(Path(sys.argv[1]), start))\n"
        "for n in range(5):\n    bench.act(a.Step(n % 2 == 0))\n    bench.run(100)\n"
        "print('done', flush=True)\ntime.sleep(60)\n"
    )
    root = Path(__file__).parents[2]
    process = subprocess.Popen([sys.executable, "-c", code, str(path)], stdout=subprocess.PIPE, cwd=root)
    assert process.stdout is not None
    assert process.stdout.readline().strip() == b"done"
    os.kill(process.pid, signal.SIGKILL)
    process.wait()
    process.stdout.close()
    tape = read_tape(path)
    assert [action for _, action in tape.actions] == [a.Step(n % 2 == 0) for n in range(5)]
    assert tape.end is None


def test_a_line_cut_short_is_left_out_and_the_rest_stands(tmp_path: Path) -> None:
    path = tmp_path / "run.tape"
    path.write_text(HEAD + '{"t": 500, "do": "mains", "on": false}\n{"t": 600, "do": "ma')
    assert read_tape(path).actions == ((500, a.Mains(False)),)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "a head"),
        ("{}\n", "head"),
        ("hello\n", "one JSON object"),
        (HEAD.replace('"tape": 1', '"tape": 9'), "format 1"),
        (HEAD + "[1]\n", ":2"),
        (HEAD + '{"t": 15, "do": "handover"}\n', "steps of 10"),
        (HEAD + '{"t": "x", "do": "handover"}\n', "steps of 10"),
        (HEAD + '{"t": true, "do": "handover"}\n', "steps of 10"),
        (HEAD + '{"t": 90, "do": "putaway"}\n{"t": 80, "do": "putaway"}\n', ":3"),
        (HEAD + '{"t": 90, "do": "fly"}\n', "fly"),
        (HEAD + '{"t": 90, "do": "mains", "on": 3}\n', "true or false"),
        (HEAD + '{"t": 90, "do": "end", "digest": "x"}\n{"t": 100, "do": "putaway"}\n', "after the end"),
        (HEAD + "[" * 50_000 + "\n", "one JSON object"),
    ],
)  # fmt: skip
def test_what_is_no_tape_is_refused_by_line(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "wrong.tape"
    path.write_text(text)
    with pytest.raises(UserError, match=r"wrong\.tape") as caught:
        read_tape(path)
    assert words in str(caught.value)


def test_a_tape_of_another_setup_is_not_replayed(tmp_path: Path) -> None:
    start = setup("Latch")
    Bench(start, TapeWriter(tmp_path / "run.tape", start)).act(a.HandOver())
    with pytest.raises(UserError, match="another version of the job"):
        replay(read_tape(tmp_path / "run.tape"), setup("Self-close"))


def test_a_tape_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "run.tape").write_text("kept")
    with pytest.raises(UserError, match="there already"):
        TapeWriter(tmp_path / "run.tape", setup())
    assert (tmp_path / "run.tape").read_text() == "kept"


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(UserError, match="allowed: a place where a tape can be written"):
        TapeWriter(tmp_path / "file" / "run.tape", setup())


def test_the_digest_does_not_depend_on_process_or_hash_seed() -> None:
    code = (
        "from simgate.bench.scan import Bench\nfrom tests.bench.made import setup, touch\n"
        "bench = Bench(setup('Self-close', pause=5))\ntouch(bench, 'call-button')\nbench.run(90_000)\n"
        "print(bench.digest())"
    )
    digests = set()
    for seed in ("0", "1", "4242"):
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        result = subprocess.run(
            [sys.executable, "-c", code],
            cwd=Path(__file__).parents[2],
            env=environment,
            capture_output=True,
            check=True,
        )
        digests.add(result.stdout)
    assert len(digests) == 1


def test_writing_an_action_takes_no_noticeable_time(tmp_path: Path) -> None:
    """Not a speed claim: a guard against a tape that syncs the disk at each line and stalls the screen."""
    writer = TapeWriter(tmp_path / "run.tape", setup())
    started = time.perf_counter()
    for n in range(200):
        writer.action(n * 10, a.PutAway())
    assert time.perf_counter() - started < 2.0


@settings(max_examples=25, deadline=None)
@given(RUNS, st.lists(st.sampled_from(TRAINER), max_size=6))
def test_any_run_with_the_fault_drawer_replays_too(
    run: list[tuple[int, a.Action]], drawer: list[a.Action]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        start = setup("Latch")
        path = Path(folder) / "run.tape"
        bench = Bench(start, TapeWriter(path, start))
        for action in drawer:
            try_to(bench, action)
        play(bench, run)
        bench.act(a.HandOver())
        assert replay(read_tape(path), start).digest() == bench.digest()


@pytest.mark.parametrize(
    "action", [a.Inject("tired-joint", "motor-a-brown", 0.0), a.Inject("parted-wire", "nowhere")]
)
def test_a_fault_that_cannot_be_put_in_leaves_no_trace(tmp_path: Path, action: a.Action) -> None:
    start = setup("Latch")
    bench = Bench(start, TapeWriter(tmp_path / "run.tape", start))
    assert not try_to(bench, action)
    assert bench.marked
    assert read_tape(tmp_path / "run.tape").actions == ()


def test_an_action_before_the_run_begins_is_refused_by_line(tmp_path: Path) -> None:
    start = setup("Latch")
    TapeWriter(tmp_path / "run.tape", start).action(0, a.Mains(False))
    with pytest.raises(UserError, match=r"tape:2: t: .* allowed: 500 ms"):
        replay(read_tape(tmp_path / "run.tape"), start)


def test_an_action_that_hands_could_not_do_is_refused_by_line(tmp_path: Path) -> None:
    start = setup("Latch")
    writer = TapeWriter(tmp_path / "run.tape", start)
    writer.action(600, a.Mains(False))
    writer.action(700, a.Push("A", 50))
    with pytest.raises(UserError, match="tape:3: push"):
        replay(read_tape(tmp_path / "run.tape"), start)
