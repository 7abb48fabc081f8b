"""The golden tapes: whole jobs as actions, replayed to the digest that they were recorded with."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate.files import shipped
from simgate.practice.conduct import WATCHERS
from simgate.practice.job import load_job
from simgate.practice.marks import mark
from tests.golden.make import record
from tests.golden.runs import TAPES, replayed, tape_of
from tests.golden.scripts import SCRIPTS

JOBS = shipped("jobs")


def test_every_shipped_job_has_a_script_and_a_tape() -> None:
    assert sorted(SCRIPTS) == JOBS
    assert sorted(path.stem for path in TAPES.glob("*.tape")) == JOBS


@pytest.mark.parametrize("name", JOBS)
def test_a_tape_replays_to_the_digest_it_was_recorded_with(name: str) -> None:
    tape = tape_of(name)
    assert tape.digest is not None
    assert replayed(name).digest() == tape.digest
    assert replayed(name).tick == tape.end


@pytest.mark.parametrize("name", JOBS)
def test_a_tape_gets_full_marks(name: str) -> None:
    marks = mark(load_job(name), replayed(name))
    assert [goal.why for goal in marks.goals if not goal.met] == []
    assert marks.conduct == ()
    assert (marks.total, marks.passed) == (100, True)
    assert len(load_job(name).conduct) == len(WATCHERS)


@pytest.mark.parametrize("name", JOBS)
def test_a_script_still_makes_its_tape_line_for_line(name: str, tmp_path: Path) -> None:
    record(name, tmp_path / "again.tape")
    assert (tmp_path / "again.tape").read_text() == (TAPES / f"{name}.tape").read_text()
