"""`simgate modes prove`: the report, JSON, settings, a file of one's own, and what the exit code says."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from simgate import files
from simgate.cli.main import main


def test_a_proven_mode_says_how_much_was_explored_and_what_holds(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["modes", "prove", "latch"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Latch: 1,")
    assert "states" in told
    assert "chart events" in told
    assert "proven      With GUARD-C or a line beam of closing broken" in told
    assert "NOT PROVEN" not in told
    assert "licensed person" in told


def test_json_of_a_file_with_a_trap_tells_the_story_and_the_exit_code_is_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = files.find("modes", "latch").read_text("utf-8")
    opened = text.index("[open]")
    mine = tmp_path / "mine.toml"
    mine.write_text(text[:opened] + text[opened:].replace('call = "close"', 'call = "ignore"', 1))
    assert main(["modes", "prove", str(mine), "--with", "part-opening=not in use", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["settings"] == {"part-opening": "not in use"}
    assert told["states"] > 500
    (trap,) = (one for one in told["properties"] if not one["proven"])
    assert trap["property"] == "trap"
    assert trap["story"][-1].endswith("open: from here nothing shuts the gate any more, whoever calls.")


@pytest.mark.parametrize("given", ["edge-use", "edge-use=bot", "no-such=1"])
def test_a_setting_that_cannot_be_is_one_clear_error(given: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["modes", "prove", "latch", "--with", given]) not in (0, 1)
    assert "allowed" in capsys.readouterr().err
