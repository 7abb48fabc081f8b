"""Wrong files, named by what is wrong with them: each is refused with the one report on its first line."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate.practice.lint import lint, lint_file

BAD = Path(__file__).parents[1] / "data" / "bad"
FILES = sorted(BAD.glob("*.toml"))
EXPECT = "# expect: "


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_wrong_file_is_refused_with_one_clear_report(path: Path) -> None:
    first = path.read_text().split("\n", 1)[0]
    assert first.startswith(EXPECT)
    assert [str(problem) for problem in lint_file(path)] == [first.removeprefix(EXPECT)]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_report_names_the_file_and_what_is_allowed(path: Path) -> None:
    (problem,) = lint_file(path)
    assert problem.file == path.name
    assert problem.found
    assert problem.allowed


def test_a_folder_of_wrong_files_gives_every_report_at_once() -> None:
    checked, problems = lint([BAD])
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
    ],
)
def test_nonsense_is_refused_without_a_traceback(text: str, tmp_path: Path) -> None:
    path = tmp_path / "nonsense.toml"
    path.write_text(text)
    assert len(lint_file(path)) >= 1


def test_a_folder_without_scenario_files_is_told(tmp_path: Path) -> None:
    assert [problem.found for problem in lint([tmp_path])[1]] == ["no .toml file"]
