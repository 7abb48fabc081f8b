"""`simgate faults`: in words, in JSON, by classes, and for a site that is not there."""

from __future__ import annotations

import json

import pytest

from simgate.cli.main import main


def test_faults_of_a_site_in_words_and_by_classes(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "yard-single"]) == 0
    text = capsys.readouterr().out
    assert "parted-wire" in text
    assert "single faults" in text
    assert main(["faults", "yard-single", "--json", "--classes"]) == 0
    classes = json.loads(capsys.readouterr().out)
    told_of = len(classes["unseen"]) + sum(map(len, classes["classes"]))
    assert f"\n{told_of} single faults, " in text


def test_faults_of_the_reference_site_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "farm-double", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert len(document["faults"]) >= 250
    assert {row["kind"] for row in document["faults"]} == set(document["kinds"])
    joint = document["kinds"]["tired-joint"]
    assert all(joint[what] for what in ("words", "does", "sits", "shows", "mended"))
    assert (joint["least"], joint["most"], joint["unit"]) == (0.5, 5000.0, "ohm")
    assert document["looks"] >= 400
    shown = [row for row in document["faults"] if row["class"]]
    assert all(row["looks_that_show_it"] for row in shown)
    assert len(shown) > 200
    apart = {row["class"] for row in shown}
    assert main(["faults", "farm-double", "--classes"]) == 0
    text = capsys.readouterr().out
    assert "Shown by none of" in text
    assert "A core is taken off at its first end" in text  # why some stay together
    *_, last = [line for line in text.splitlines() if "can be told from every other" in line]
    alone = [n for n in apart if sum(row["class"] == n for row in shown) == 1]
    assert last == f"{len(alone)} of {len(document['faults'])} faults can be told from every other."


def test_a_site_that_is_not_there_is_one_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "nowhere"]) == 2
    assert "no such site" in capsys.readouterr().err


def test_a_small_set_in_pairs(capsys: pytest.CaptureFixture[str]) -> None:
    pairs = ["--pairs", "parted-wire@stop-feed", "blown-fuse@aux", "dead-lamp@lamp"]
    assert main(["faults", "farm-double", *pairs]) == 0
    told = capsys.readouterr().out
    assert "of 6 (3 faults and 3 pairs of them) can be told from every other" in told
    assert "in the tolerance of the instruments):\n  none\n" in told  # none hidden, and nothing said of why
    assert "is taken off" not in told
    assert main(["faults", "farm-double", "--json", *pairs]) == 0
    document = json.loads(capsys.readouterr().out)
    assert sum(map(len, document["classes"])) + len(document["unseen"]) == 6
    assert main(["faults", "farm-double", "--pairs", "parted-wire@nowhere"]) == 2
    assert "nowhere" in capsys.readouterr().err


def test_what_looking_costs(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["faults", "farm-double", "--costs"]) == 0
    text = capsys.readouterr().out
    assert "volts-ac" in text
    assert "invented" in text
    assert "isolated and proved dead" in text  # what a row is, in trade words
    assert max(map(len, text.splitlines())) <= 80
    assert main(["faults", "farm-double", "--costs", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["fetch, once"]["meter"] > 0.0


@pytest.mark.parametrize("how", [(), ("--classes",)])
def test_every_line_fits_80_columns_and_no_fault_is_torn(
    how: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["faults", "lane-single", *how]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    torn = [line for line in lines if line.startswith("  ") and line.count("(") != line.count(")")]
    assert not how or not torn  # without, sentences are told
