"""[[head]] of a job file: heads of the line that do not stand as the site means them."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate.files import UserError, scenarios
from simgate.practice.job import load_job

SHIPPED = scenarios() / "jobs" / "line-pair.toml"


def changed(folder: Path, old: str, new: str) -> Path:
    """A trainer's own copy, with a change."""
    text = SHIPPED.read_text()
    assert old in text
    path = folder / "own.toml"
    path.write_text(text.replace(old, new, 1))
    return path


def test_heads_stand_as_the_job_says() -> None:
    heads = load_job("line-pair").bench().harness.heads
    assert [name for name, head in heads.items() if not head.fitted] == ["inner-sender", "inner-receiver"]
    assert heads["inner-receiver"].mount == (11.0, -3.0)


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ('name = "inner-sender"', 'name = "iner-sender"', "did you mean 'inner-sender'"),
        ("across_deg = 1\n", 'across_deg = 1\nswitches = "-9--"\n', "'-9--'"),
        ("across_deg = 11", "across_deg = 45", "across_deg"),
        ("across_deg = 11", "acros_deg = 11", "acros_deg"),
    ],
)
def test_a_head_that_cannot_stand_so_is_told_with_its_line(
    old: str, new: str, found: str, tmp_path: Path
) -> None:
    with pytest.raises(UserError) as refused:
        load_job(changed(tmp_path, old, new))
    assert found in str(refused.value)
    assert any(problem.line for problem in refused.value.problems)
