"""The seven shipped modes are proven, whatever the guards are used for; what is not safe gets its story."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from simgate import files
from simgate.board import modes
from simgate.board.mode_table import Table
from simgate.board.prove import prove
from simgate.board.settings_table import Value
from simgate.board.stimuli import Condition, Response, Stimulus

MODES = modes.shipped_modes()
C, S, R = Condition, Stimulus, Response

FULL: Mapping[str, Value] = {
    "guard-test": "GUARD-C",
    "pre-warning": 3.0,
    "lock-use": "stroke and pulse",
    "edge-use": "closing",
}


def changed(title: str, condition: Condition, stimulus: Stimulus, response: Response) -> Table:
    """A shipped mode with one other cell."""
    table = MODES[title]
    cells = {one: dict(row) for one, row in table.cells.items()}
    cells[condition][stimulus] = response
    return replace(table, cells=cells)


USES = (("not fitted", "in use", "both"), ("both", "not in use", "both"), ("closing", "in use", "closing"),
        ("opening", "not in use", "closing"))  # fmt: skip
TITLES = sorted(MODES)


@pytest.mark.parametrize(
    ("title", "uses"),
    [(title, USES[(place + turn) % 4]) for place, title in enumerate(TITLES) for turn in (0, 1)],
)
def test_every_shipped_mode_is_proven(title: str, uses: tuple[str, str, str]) -> None:
    """With part opening and without, and each use of EDGE and GUARD-C with some modes of each kind."""
    edge, part, guard_c = uses
    proof = prove(MODES[title], {"part-opening": part, "edge-use": edge, "guard-c-use": guard_c})
    assert proof.broken == ()
    assert proof.states > 500
    assert proof.edges > 10 * proof.states
    assert len(proof.verdicts) >= 25


@pytest.mark.parametrize("title", TITLES)
def test_a_start_with_test_warning_and_lock_is_proven_too(title: str) -> None:
    """Self-test, warning, stroke and pulse of the lock, two leaves, re-tries, an edge; part by turns."""
    part = "in use" if title in ("Close-behind", "Latch") else "not in use"
    assert prove(MODES[title], {**FULL, "part-opening": part}).broken == ()


@pytest.mark.parametrize(
    ("title", "scene", "given"),
    [
        ("Hold-to-run", "line", {}),
        ("Latch", "line", {"guard-c-use": "both"}),
        ("Hold-to-run", "remotes", {}),
        ("Self-close", "remotes", {"part-opening": "not in use"}),
        ("Self-close", "mixed", {"part-opening": "not in use", "edge-use": "both"}),
        ("Latch", "terminals", {"battery-low": "open and stay", "part-opening": "not in use"}),
        ("Self-close", "terminals", {"battery-low": "shut and stay", "part-opening": "not in use"}),
    ],
)
def test_with_line_beams_with_remotes_and_on_a_low_battery_too(
    title: str, scene: str, given: Mapping[str, Value]
) -> None:
    assert prove(MODES[title], given, scene=scene).broken == ()


def test_every_condition_of_a_mode_with_part_opening_is_come_to() -> None:
    assert prove(MODES["Latch"]).reached == tuple(Condition)


def test_a_proof_is_the_same_when_it_is_made_again() -> None:
    assert prove(MODES["Four-step"]) == prove(MODES["Four-step"])


# Stories ------------------------------------------------------------------------------------------


def story(table: Table, key: str, given: Mapping[str, Value] | None = None) -> tuple[str, ...]:
    """The story of one property; () when it is proven."""
    (found,) = (one.story for one in prove(table, given, until=key).verdicts if one.key == key)
    return found


def test_a_trap_gets_its_story() -> None:
    """In a mode whose calls only renew a pause that runs, a gate that wakes open has none and stays so."""
    table = changed("Shared drive", C.OPEN, S.CALL, R.RESTART_PAUSE)
    cells = {one: dict(row) for one, row in table.cells.items()}
    cells[C.OPEN][S.PART] = R.RESTART_PAUSE
    assert story(replace(table, cells=cells), "trap") == (
        "Without power, the power comes and the leaves are found to stand open in the same scan: open: "
        "from here nothing shuts the gate any more, whoever calls.",
    )


def test_a_mode_that_shuts_though_it_promises_not_to_gets_its_story() -> None:
    assert story(changed("Latch", C.OPENING, S.ARRIVED, R.REVERSE), "asked-to-shut") == (
        "While shut, a call comes: opening.",
        "While opening, the end of the way is reached: shutting: "
        "it shuts, and neither a call nor a pause that the mode promises is why.",
    )


def test_a_hold_to_run_that_goes_on_when_let_go_gets_its_story() -> None:
    table = changed("Hold-to-run", C.CLOSING, S.PART_RELEASED, R.IGNORE)
    assert story(table, "let-go")[-1] == (
        "While shutting, the part call is let go: shutting: it goes on though the call was let go."
    )


def test_a_story_is_as_short_as_it_can_be() -> None:
    """STOP opened while dead, woken open, STOP made again as the beam clears, the pause over."""
    table = changed("Self-close", C.OPEN, S.PASSED, R.START_PAUSE)
    assert len(story(table, "fresh-call")) == 4


def test_a_file_with_an_unsafe_cell_is_read_and_gets_its_story(tmp_path: Path) -> None:
    text = files.find("modes", "latch").read_text("utf-8")
    file = tmp_path / "mine.toml"
    file.write_text(text.replace('passed = "ignore"\n\n[opening]', 'passed = "open fully"\n\n[opening]', 1))
    assert story(modes.read(file), "asked-to-open") == (
        "While shut, GUARD-C is broken: shut.",
        "While shut, GUARD-C clears: opening: it opens by itself.",
    )
