"""A mode that a person wrote: rehearsed on a gate that carries it beside the shipped ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate import files
from simgate.bench import actions as do
from simgate.bench.replay import replay
from simgate.bench.tape import TapeWriter, read_tape
from simgate.board.stimuli import Condition, Response, Stimulus
from simgate.files import UserError
from simgate.practice.ending import Ending
from simgate.practice.job import load_job
from simgate.practice.rehearse import rehearsal


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Latch, but a call to a gate that stopped while opening opens it on."""
    text = files.find("modes", "latch").read_text()
    text = text.replace('title = "Latch"', 'title = "Stubborn"')
    text = text.replace('[stopped-opening]\ncall = "close"', '[stopped-opening]\ncall = "open fully"')
    path = tmp_path / "stubborn.toml"
    path.write_text(text)
    return path


def test_a_mode_of_ones_own_is_what_the_board_runs_and_its_tape_replays(mine: Path, tmp_path: Path) -> None:
    job = rehearsal(str(mine))
    tape = tmp_path / "run.tape"
    bench = job.bench(TapeWriter(tape, job.setup()))
    shot = bench.snapshot()
    assert (shot.mode, shot.table.title if shot.table else "") == ("Stubborn", "Stubborn")
    call = next(device.name for device in shot.devices if "call" in device.name)
    stop = next(device.name for device in shot.devices if "stop" in device.name)
    for device, ms in ((call, 4000), (stop, 500), (call, 2000)):
        bench.act(do.Operate(device, True))
        bench.run(200)
        bench.act(do.Operate(device, False))
        bench.run(ms)
    acted = [one for one in Ending.of(bench).acted() if one.stimulus is Stimulus.CALL]
    assert (acted[-1].condition, acted[-1].response) == (Condition.STOPPED_OPENING, Response.OPEN)
    bench.act(do.HandOver())
    again = replay(read_tape(tape), load_job(job.name).setup())
    assert again.digest() == bench.digest()


def test_an_edited_mode_is_another_setup(mine: Path) -> None:
    before = rehearsal(str(mine)).setup().fingerprint()
    mine.write_text(mine.read_text().replace('[closing]\ncall = "reverse"', '[closing]\ncall = "stop"'))
    assert rehearsal(str(mine)).setup().fingerprint() != before


def test_the_title_of_a_shipped_mode_is_taken(mine: Path) -> None:
    mine.write_text(mine.read_text().replace("Stubborn", "Latch"))
    with pytest.raises(UserError, match="a title of its own"):
        rehearsal(str(mine))


def test_a_wrong_file_is_told_as_such_and_an_unknown_name_with_the_nearest(mine: Path) -> None:
    mine.write_text(mine.read_text().replace('call = "reverse"', 'call = "revers"', 1))
    with pytest.raises(UserError, match="did you mean 'reverse'"):
        rehearsal(str(mine))
    with pytest.raises(UserError, match="did you mean 'Self-close'"):
        rehearsal("Self-clos")
    assert rehearsal("self-close").name == "rehearse:Self-close"
