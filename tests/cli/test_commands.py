"""The command line as a person and a script use it: words, JSON, exit codes, no tracebacks."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from simgate import files
from simgate.bench.replay import replay
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.tape import Tape
from simgate.cli.main import FAMILIES, build_parser, main
from simgate.practice.goals import CHECKS

ROOT = Path(__file__).parents[2]
TAPES = sorted((ROOT / "tests" / "golden" / "tapes").glob("*.tape"))
JOBS = {"first-learn", "wrong-way", "parted-stop", "self-close-and-back"}


def out(capsys: pytest.CaptureFixture[str], *argv: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of one command."""
    code = main(argv)
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_jobs_lists_every_shipped_job_in_words_and_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    code, text, _ = out(capsys, "jobs")
    assert code == 0
    assert all(name in text for name in JOBS)
    code, text, _ = out(capsys, "jobs", "--json")
    assert code == 0
    assert {row["name"] for row in json.loads(text)} >= JOBS


def test_the_file_of_a_job_is_printed_to_begin_one_of_ones_own_with(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, text, _ = out(capsys, "jobs", "parted-stop")
    assert (code, text) == (0, (ROOT / "scenarios/jobs/parted-stop.toml").read_text(encoding="utf-8"))
    (tmp_path / "my-job.toml").write_text(text, encoding="utf-8")
    assert out(capsys, "lint", str(tmp_path / "my-job.toml"))[0] == 0
    code, _, told = out(capsys, "jobs", "parted-stap")
    assert code == 2
    assert "parted-stop" in told


def test_the_checks_are_listed_with_what_they_need_and_as_shipped_jobs_ask_them(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, text, _ = out(capsys, "jobs", "--checks")
    assert code == 0
    assert "cell-shown  given: condition, stimulus, (mode), (since)\n" in text
    assert "gate-shut\n    Leave the gate shut.\n" in text
    assert "[[complaint]] with a look (how, state, at: as in lock-stuck)" in text
    for job in ("lock-stuck", "ends-slow-down"):
        assert "[[complaint]]" in out(capsys, "jobs", job)[1]
    rows = {row["check"]: row for row in json.loads(out(capsys, "jobs", "--checks", "--json")[1])}
    assert set(rows) == set(CHECKS)
    assert rows["cell-shown"]["given"]["mode"] == "optional"
    for beside in ("--checks", "--json"):
        code, _, told = out(capsys, "jobs", "parted-stop", beside)
        assert code == 2
        assert beside in told


def test_modes_lists_the_modes_in_words_and_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    code, text, _ = out(capsys, "modes")
    assert code == 0
    assert "Self-close" in text
    code, text, _ = out(capsys, "modes", "--json")
    assert code == 0
    closing = {row["title"]: row["closes_itself"] for row in json.loads(text)}
    assert len(closing) == 7
    assert [title for title, closes in closing.items() if closes] == [
        "Close-behind", "Self-close", "Shared drive",
    ]  # fmt: skip


@pytest.mark.parametrize("tape", TAPES, ids=lambda path: str(path.stem))
def test_replay_marks_a_tape_in_words_and_in_json(
    tape: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    ended: list[Bench] = []

    def once(tape: Tape, setup: Setup) -> Bench:
        if not ended:
            ended.append(replay(tape, setup))
        return ended[0]

    monkeypatch.setattr("simgate.bench.replay.replay", once)  # told twice, run once
    code, text, _ = out(capsys, "replay", str(tape))
    assert code == 0, text
    assert "passed" in text
    code, text, _ = out(capsys, "replay", str(tape), "--json")
    assert code == 0
    document = json.loads(text)
    assert {"job", "version", "goals", "conduct", "marks", "ticks", "digest"} <= set(document)
    assert document["marks"]["total"] == 100
    assert document["same_digest"] is True


def test_a_tape_of_doing_nothing_is_not_passed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from simgate.bench.actions import HandOver
    from simgate.bench.tape import TapeWriter
    from simgate.practice.job import load_job

    job = load_job("first-learn")
    bench = job.bench(TapeWriter(tmp_path / "idle.tape", job.setup()))
    bench.run(5_000)
    bench.act(HandOver())
    code, text, _ = out(capsys, "replay", str(tmp_path / "idle.tape"))
    assert code == 1
    assert "not passed" in text


def test_a_changed_tape_is_told_apart_from_the_run_itself(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = tmp_path / "changed.tape"
    text = TAPES[0].read_text()
    digest = json.loads(text.splitlines()[-1])["digest"]
    tape.write_text(text.replace(digest, "0" * 16))
    code, shown, _ = out(capsys, "replay", str(tape))
    assert code == 1
    assert "0000000000000000" in shown


def test_lint_is_fine_with_every_shipped_file(capsys: pytest.CaptureFixture[str]) -> None:
    code, text, _ = out(capsys, "lint", str(ROOT / "scenarios"))
    assert code == 0
    assert "0 mistakes" in text


def test_lint_names_every_mistake_and_ends_in_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copytree(ROOT / "scenarios", tmp_path / "scenarios")
    job = tmp_path / "scenarios" / "jobs" / "first-learn.toml"
    job.write_text(job.read_text().replace("title", "titel", 1).replace("minutes = ", "minutes = -"))
    code, text, _ = out(capsys, "lint", str(job))
    assert code == 1
    assert "titel" in text
    assert "minutes" in text


@pytest.mark.parametrize(
    "argv",
    [
        ["replay", "no-such.tape"],
        ["play", "no-such-job"],
        ["play", "frist-learn"],
        ["lint", "no-such.toml"],
        ["replay", "pyproject.toml"],
    ],
)  # fmt: skip
def test_a_bad_file_ends_in_one_clear_error_and_two(
    argv: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    code, text, error = out(capsys, *argv)
    assert code in (1, 2)
    told = (text + error).strip()
    assert "allowed:" in told
    assert "Traceback" not in told


def test_without_a_terminal_the_workshop_says_what_to_use_instead(capsys: pytest.CaptureFixture[str]) -> None:
    code, _, error = out(capsys)
    assert code == 2
    assert "no terminal" in error


def test_misuse_ends_in_two() -> None:
    for argv in (["frobnicate"], ["replay"], ["jobs", "--yaml"]):
        with pytest.raises(SystemExit) as caught:
            main(argv)
        assert caught.value.code == 2


def test_each_command_helps_with_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    for family in FAMILIES:
        name = family.__name__.rsplit(".", 1)[-1]
        with pytest.raises(SystemExit) as caught:
            build_parser().parse_args([name, "--help"])
        assert caught.value.code == 0
        assert f"example: simgate {name}" in capsys.readouterr().out


def test_the_version_is_printed_alone() -> None:
    result = subprocess.run(
        [sys.executable, "-m", "simgate", "--version"], capture_output=True, text=True, check=True
    )
    assert result.stdout.split()[0] == "simgate"
    assert len(result.stdout.split()) == 2


def test_the_lines_of_python_in_the_readme_run_as_they_stand() -> None:
    text = (ROOT / "README.md").read_text()
    code = text.split("```python\n", 1)[1].split("```", 1)[0]
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stderr
    assert result.stdout.splitlines()


def test_a_tape_of_another_version_is_told_and_of_another_seed_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = TAPES[0].read_text()
    head, rest = text.split("\n", 1)
    other = tmp_path / "other.tape"
    other.write_text(json.dumps({**json.loads(head), "version": "99.0"}) + "\n" + rest)
    code, shown, _ = out(capsys, "replay", str(other))
    assert code == 0
    assert "version 99.0, run again on" in shown
    code, shown, _ = out(capsys, "replay", str(other), "--json")
    assert json.loads(shown)["same_version"] is False
    other.write_text(json.dumps({**json.loads(head), "seed": 7}) + "\n" + rest)
    code, _, error = out(capsys, "replay", str(other))
    assert code == 2
    assert "another version of the job" in error


def test_a_run_with_a_seed_replays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from simgate.bench.actions import HandOver
    from simgate.bench.tape import TapeWriter
    from simgate.practice.job import load_job

    setup = load_job("first-learn").setup(seed=7)
    Bench(setup, TapeWriter(tmp_path / "seed.tape", setup)).act(HandOver())
    code, text, _ = out(capsys, "replay", str(tmp_path / "seed.tape"), "--json")
    assert code == 1  # nothing was done
    assert json.loads(text)["seed"] == 7
    assert json.loads(text)["same_digest"] is True


def test_a_run_broken_off_has_no_digest_to_compare_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tape = tmp_path / "broken.tape"
    tape.write_text("\n".join(TAPES[0].read_text().splitlines()[:-1]) + "\n")
    _, text, _ = out(capsys, "replay", str(tape), "--json")
    assert json.loads(text)["same_digest"] is None


def test_a_full_disk_behind_a_pipe_is_told_in_words() -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("this system has no /dev/full")
    with full.open("w") as file:
        command = [sys.executable, "-m", "simgate", "jobs"]
        result = subprocess.run(command, stdout=file, stderr=subprocess.PIPE, text=True, check=False)
    assert result.returncode == 2
    assert "allowed: a place to print to" in result.stderr
    assert "Traceback" not in result.stderr


def test_a_mode_is_shown_as_card_json_mermaid_and_svg(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, text, _ = out(capsys, "modes", "show", "self-close")
    assert code == 0
    assert "What every mode answers" in text
    code, text, _ = out(capsys, "modes", "show", "Self-close", "--json")
    assert json.loads(text)["cells"]["open"]["call"] == "cut the pause short"
    code, text, _ = out(capsys, "modes", "show", "latch", "--mermaid")
    assert "stateDiagram-v2" in text
    picture = tmp_path / "latch.svg"
    assert out(capsys, "modes", "show", "latch", "--svg", str(picture))[0] == 0
    assert picture.read_text().startswith("<svg")
    code, _, told = out(capsys, "modes", "show", "latch", "--svg", str(tmp_path / "no" / "latch.svg"))
    assert code == 2
    assert "a file that can be written" in told


def test_modes_are_compared_and_chosen_and_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, text, _ = out(capsys, "modes", "diff", "self-close", "shared-drive")
    assert code == 0
    assert "while open, a call: Self-close shuts at once; Shared drive begins the pause or renews it" in text
    assert len(json.loads(out(capsys, "modes", "diff", "latch", "latch", "--json")[1])) == 0
    options = ("--shuts-itself=yes", "--many=yes", "--watched=no", "--walkers=no", "--follow=no")
    code, text, _ = out(capsys, "modes", "which", *options)
    assert code == 0
    assert text.startswith("1. Shared drive")
    assert "unverified" in text
    assert json.loads(out(capsys, "modes", "which", *options, "--json")[1])[0]["mode"] == "Shared drive"
    mine = tmp_path / "mine.toml"
    mine.write_text(files.find("modes", "latch").read_text().replace('call = "close"\n', "", 1))
    code, _, told = out(capsys, "modes", "lint", str(mine))
    assert code == 2
    assert "open.call: found nothing" in told
    code, _, told = out(capsys, "modes", "show", "lacht")
    assert code == 2
    assert "did you mean 'Latch'?" in told


def test_going_on_is_refused_in_words_when_there_is_nothing_to_go_on_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    code, _, error = out(capsys, "play", "--go-on")
    assert (code, "no run left open" in error) == (2, True)
    code, _, error = out(capsys, "play", "--go-on", "first-learn")
    assert (code, "no run of 'first-learn' left open" in error) == (2, True)
    code, _, error = out(capsys, "play", "--go-on", str(tmp_path / "none.tape"))
    assert (code, "No such file" in error) == (2, True)
    code, _, error = out(capsys, "play")
    assert (code, "--go-on" in error) == (2, True)


def test_going_on_with_a_job_edited_since_is_refused_before_the_terminal_opens(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from simgate.bench.tape import TapeWriter
    from simgate.practice.job import load_job

    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    job = tmp_path / "mine.toml"
    job.write_text((ROOT / "scenarios/jobs/first-learn.toml").read_text())
    TapeWriter(tmp_path / "simgate" / "tapes" / "mine-001.tape", load_job(job).setup()).leave(900)
    code, _, error = out(capsys, "play", "--go-on")
    assert (code, "no terminal to draw in" in error) == (2, True)  # all else is well
    job.write_text(job.read_text() + "\n# edited\n")
    code, _, error = out(capsys, "play", "--go-on", str(job))
    assert (code, "another version of the job" in error) == (2, True)


def test_replay_tells_how_the_fault_was_found_and_names_none(capsys: pytest.CaptureFixture[str]) -> None:
    parted = str(TAPES[0].with_name("parted-stop.tape"))
    _, text, _ = out(capsys, "replay", parted)
    assert "single faults fitted the complaint." in text
    assert "suspects left · 205 s" in text
    assert "par      Looking took 325 s of trade time; par is " in text
    assert "parted-wire" not in text
    _, text, _ = out(capsys, "replay", parted, "--json")
    found = json.loads(text)["finding"]
    assert (found["left"], found["mended"], found["proven"]) == (1, True, True)
    afters = [found["suspects"], *(look["after"] for look in found["looks"])]
    assert afters == sorted(set(afters), reverse=True)
    _, text, _ = out(capsys, "replay", str(TAPES[0].with_name("first-learn.tape")), "--json")
    assert json.loads(text)["finding"] is None
