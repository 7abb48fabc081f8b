"""Wrong files, named by what is wrong with them: each is refused with the one report that stands in it.

A file that can hold a remark says on its first line what is expected; what cannot (a tape, an empty file,
bytes that are no text) has its report in `expected.txt`. What can be wrong with any file is tried on every
one that is shipped, the rooms' own tables too.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from simgate.bench.tape import read_tape
from simgate.files import UserError
from simgate.practice.lint import lint, lint_file
from tests.catalogue.loading import SOURCES, complaint, load

BAD = Path(__file__).parents[1] / "data" / "bad"
FILES = sorted(BAD.glob("*.toml"))
TAPES = sorted(BAD.glob("*.tape"))
EXPECT = "# expect: "
COUNT = re.compile(r"one of \d+ names")  # how many there are is no part of the sense
ELSEWHERE = dict(line.split(": ", 1) for line in (BAD / "expected.txt").read_text().splitlines())


def expected(path: Path) -> str:
    """The report that a wrong file must bring."""
    if path.name in ELSEWHERE:
        return f"{path.name}{ELSEWHERE[path.name]}"
    first = path.read_bytes().split(b"\n", 1)[0].decode()
    assert first.startswith(EXPECT)
    return first.removeprefix(EXPECT)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_wrong_file_is_refused_with_one_clear_report(path: Path) -> None:
    told = [COUNT.sub("one of many names", str(problem)) for problem in lint_file(path)]
    assert told == [COUNT.sub("one of many names", expected(path))]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_report_names_the_file_and_what_is_allowed(path: Path) -> None:
    (problem,) = lint_file(path)
    assert problem.file == path.name
    assert complaint(problem) == ""


ANYWHERE: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "not UTF-8": (lambda data: data + b"# caf\xe9\n", "byte 0xe9"),
    "zero byte": (lambda data: data + b"# \0\n", r"\x00"),
    "byte order mark": (lambda data: b"\xef\xbb\xbf" + data, "a byte order mark"),
    "key that nobody knows": (lambda data: b"quite-unknown = 1\n" + data, "an unknown key"),
    "table that nobody knows": (lambda data: data + b"\n[quite-unknown]\nx = 1\n", "an unknown key"),
    "key twice": (lambda data: b"x = 1\nx = 2\n" + data, "Cannot overwrite a value"),
    "nested too deep": (lambda data: b"x = " + b"[" * 4_000 + b"\n" + data, "nested too deep"),
    "long line": (lambda data: data + b"# " + b"on " * 4_000, "a line of 12,002 characters"),
    "very long number": (lambda data: b"x = " + b"8" * 5_000 + b"\n" + data, "a number that cannot be read"),
    "far too many keys": (
        lambda data: b"".join(b"x%d = 1\n" % n for n in range(9_000)) + data,
        "unknown key",
    ),
    "far too long": (lambda data: data + b"# x\n" * 60_000, "more than 200,000 bytes"),
    "text without an end": (lambda data: data + b'x = """\n', "(at end of document)"),
    "empty": (lambda data: b"", ""),
    "infinite": (lambda data: _first_value(data, b"inf"), "inf"),
    "not a number": (lambda data: _first_value(data, b"nan"), "nan"),
    "date": (lambda data: _first_value(data, b"1979-05-27"), "1979-05-27"),
    "time": (lambda data: _first_value(data, b"07:32:00"), "07:32:00"),
    "table for a value": (lambda data: _first_value(data, b"{ a = 1 }"), "a table of a"),
    "misspelt key": (lambda data: re.sub(rb"(?m)^(\w)([\w-]+ = )", rb"\1\1\2", data, count=1), "an unknown"),
}
"""What can be wrong with any file -> how to spoil it, and what the report must say was found."""


def _first_value(data: bytes, value: bytes) -> bytes:
    return re.sub(rb"(?m)^([\w-]+ = ).*$", lambda match: match[1] + value, data, count=1)


@pytest.mark.parametrize("wrong", ANYWHERE)
def test_whatever_is_wrong_with_a_shipped_file_is_told_in_words(wrong: str, tmp_path: Path) -> None:
    spoil, found = ANYWHERE[wrong]
    for source in SOURCES:
        path = tmp_path / source.name
        path.write_bytes(spoil(source.read_bytes()))
        with pytest.raises(UserError) as caught:
            load(path, source)
        problems = caught.value.problems
        assert any(found in problem.found for problem in problems), (source.name, str(caught.value)[:300])
        assert len(problems) <= 51
        assert [complaint(problem) for problem in problems if complaint(problem)] == []
        assert {problem.file for problem in problems} == {source.name}


@pytest.mark.parametrize("path", TAPES, ids=lambda path: path.stem)
def test_a_wrong_tape_is_refused_with_one_clear_report(path: Path) -> None:
    with pytest.raises(UserError) as caught:
        read_tape(path)
    (problem,) = caught.value.problems
    assert str(problem).removeprefix(f"{path.parent}/") == expected(path)
    assert complaint(problem) == ""


def test_a_folder_of_wrong_files_gives_every_report_at_once(tmp_path: Path) -> None:
    for path in FILES:
        shutil.copy(path, tmp_path)
    checked, problems = lint([tmp_path])
    assert checked == len(FILES) == len(problems)


def test_every_mistake_of_one_file_is_told_at_once(tmp_path: Path) -> None:
    text = (BAD / "job-unknown-check.toml").read_text()
    text = text.replace('"parted-wire"', '"parted-wires"').replace("pause = 20", "pause = 2000")
    path = tmp_path / "job.toml"
    path.write_text(text)
    assert [problem.where for problem in lint_file(path)] == [
        "board.settings.pause",
        "goal[1].check",
        "fault[1].kind",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\x00",
        "[" * 20_000,
        "a = " + "9" * 5_000,
        'goal = "no list"\n',
        "leaf = [1, 2]\n",
        "goal = [[]]\n",
        "leaf = 1\n" + "x = 1\n" * 20_000,
        "".join(f"a{n} = 1\n" for n in range(20_000)) + "leaf = 1\n",
        "leaf = 1\n" + "[[wire]]\n" * 20_000,
        ".".join("a" * 4_000) + " = 1\nleaf = 1\n",
        "[" + ".".join(['"leaf"'] * 600) + "]\n",
        'title = """\n' + ("[" + " " * 9_000 + "\n") * 20 + '"""\nleaf = 1\n',
        "leaf = 1\n" * 40_000,
        "leaf = " + "{a=" * 2_000 + "1" + "}" * 2_000,
    ],
    ids=lambda text: text[:12].strip(),
)
def test_nonsense_is_refused_without_a_traceback(text: str, tmp_path: Path) -> None:
    path = tmp_path / "nonsense.toml"
    path.write_text(text)
    problems = lint_file(path)
    assert 1 <= len(problems) <= 51
    assert [complaint(problem) for problem in problems if complaint(problem)] == []


def test_lines_may_end_as_on_any_machine(tmp_path: Path) -> None:
    text = (BAD / "job-minutes-below-one.toml").read_bytes()
    path = tmp_path / "job-minutes-below-one.toml"
    path.write_bytes(text.replace(b"\n", b"\r\n"))
    assert [str(problem) for problem in lint_file(path)] == [expected(BAD / path.name)]
    path.write_bytes(text.replace(b"minutes = 0", b"minutes = 10").replace(b"\n", b"\r\n"))
    assert lint_file(path) == ()


def test_a_job_on_itself_and_a_folder_in_place_of_a_file_are_refused(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    text = (BAD / "job-minutes-below-one.toml").read_text().replace("minutes = 0", "minutes = 10")
    folder = tmp_path / "folder.toml"
    folder.mkdir()
    for site in ("job", "job.toml", str(job), "folder.toml", str(tmp_path), ".", "", "\\u0000", "s" * 9_000):
        job.write_text(text.replace('site = "yard-single"', f'site = "{site}"'))
        problems = lint_file(job)
        assert problems
        assert [complaint(problem) for problem in problems if complaint(problem)] == []
    assert [str(problem) for problem in lint_file(folder)] == [
        "folder.toml: found Is a directory; allowed: a readable TOML file"
    ]


def test_a_folder_without_scenario_files_is_told(tmp_path: Path) -> None:
    assert [problem.found for problem in lint([tmp_path])[1]] == ["no .toml file"]
