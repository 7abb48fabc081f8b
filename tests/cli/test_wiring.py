"""`simgate wiring`: as text, as a sheet, and what it says to a wrong site or a wrong file."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from simgate.cli.main import main


def test_a_site_as_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["wiring", "farm-double"]) == 0
    out = capsys.readouterr().out
    assert "one-line diagram" in out
    assert "terminal diagram" in out
    assert "stop barn: stop button at the barn" in out


def test_a_site_as_a_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "farm.svg"
    assert main(["wiring", "farm-double", "--svg", str(path)]) == 0
    assert capsys.readouterr().out == f"written: {path}\n"
    assert ElementTree.parse(path).getroot().tag.endswith("svg")


@pytest.mark.parametrize("name", ["nowhere", "tests/data/bad/site-wire-to-nowhere.toml"])
def test_a_wrong_site_is_one_error(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["wiring", name]) == 2
    told = capsys.readouterr()
    assert not told.out
    assert "allowed: " in told.err
    assert len(told.err.splitlines()) == 1


def test_a_file_that_cannot_be_written_is_one_error(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["wiring", "farm-double", "--svg", str(tmp_path / "no" / "farm.svg")]) == 2
    assert "allowed: a file that can be written" in capsys.readouterr().err
