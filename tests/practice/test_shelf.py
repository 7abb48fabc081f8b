"""The list of what can be started, read from the top of each file alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate import files
from simgate.files import UserError
from simgate.practice.shelf import all_jobs, all_modes

TOP = 'title = "Gate of a yard"\nlearner = "apprentice"\nminutes = 5\n'


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A scenarios folder with no file in it."""
    for family in ("jobs", "modes"):
        (tmp_path / family).mkdir()
    monkeypatch.setattr(files, "scenarios", lambda: tmp_path)
    return tmp_path


def test_what_stands_below_the_first_table_is_not_read(folder: Path) -> None:
    (folder / "jobs" / "one.toml").write_text(f"{TOP}[[goal]]\nno TOML at all\n")
    assert [(job.name, job.title, job.minutes) for job in all_jobs()] == [("one", "Gate of a yard", 5)]


def test_a_text_with_a_line_that_looks_like_a_table_is_a_text(folder: Path) -> None:
    told = '"""\n[the bell]\nis out of order\n"""\n'
    (folder / "jobs" / "one.toml").write_text(f'briefing = {told}{TOP}[[goal]]\ncheck = "x"\n')
    assert [job.title for job in all_jobs()] == ["Gate of a yard"]


def test_jobs_of_apprentices_come_first_and_the_shorter_before_the_longer(folder: Path) -> None:
    for name, learner, minutes in (("a", "installer", 1), ("b", "apprentice", 9), ("c", "apprentice", 3)):
        text = TOP.replace("apprentice", learner).replace("= 5", f"= {minutes}")
        (folder / "jobs" / f"{name}.toml").write_text(text)
    assert [job.name for job in all_jobs()] == ["c", "b", "a"]


@pytest.mark.parametrize("wrong", ['title = "Gate"\n', TOP.replace("apprentice", "anyone"), "title = \n"])
def test_a_file_with_a_wrong_top_is_told_of_by_name(folder: Path, wrong: str) -> None:
    for family, listed in (("jobs", all_jobs), ("modes", all_modes)):
        (folder / family / "one.toml").write_text(wrong)
        with pytest.raises(UserError, match=r"one\.toml"):
            listed()
