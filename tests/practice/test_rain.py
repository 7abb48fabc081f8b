"""A job on a rainy day: what leaks in the wet leaks from the start, at the bench and for the planner."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from simgate.bench import actions as a
from simgate.bench.replay import replay
from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter, read_tape
from simgate.board.stimuli import Input
from simgate.files import UserError, scenarios
from simgate.practice.diagnosis.inquiry import inquiry_of
from simgate.practice.diagnosis.observation import How
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import StateKind
from simgate.practice.job import Job, load_job
from simgate.wiring.faults import Fault, FaultKind

DRY = (scenarios() / "jobs" / "parted-stop.toml").read_text()
FAULT = Fault(FaultKind.WET_CABLE, "stop-barn-out", 5.0)


def wet_job(folder: Path, percent: str) -> Job:
    """The shipped job of a stop chain, with a cable that takes in water in place of its fault."""
    before, _, rest = DRY.partition("[[fault]]")
    _, _, after = rest.partition("\n\n")
    fault = f'[[fault]]\nkind = "{FAULT.kind.value}"\nplace = "{FAULT.place}"\namount = {FAULT.amount}\n\n'
    (folder / "wet.toml").write_text(f"rain_percent = {percent}\n{before}{fault}{after}")
    return load_job(folder / "wet.toml")


def stop_made(job: Job) -> bool:
    """Whether the board sees STOP made when somebody comes to the gate."""
    return made(job.bench())


def made(bench: Bench) -> bool:
    """Whether the board sees STOP made."""
    return next(view.made for view in bench.snapshot().inputs if view.terminal == Input.STOP.value)


def test_in_the_rain_it_leaks_from_the_start_and_in_the_dry_it_does_not(tmp_path: Path) -> None:
    assert not stop_made(wet_job(tmp_path, "100"))
    assert stop_made(wet_job(tmp_path, "0"))


def test_the_rain_of_the_day_can_be_waited_out(tmp_path: Path) -> None:
    bench = wet_job(tmp_path, "100").bench()
    assert bench.snapshot().rain == 1.0
    bench.act(a.Rain(0.0))
    bench.run(50)
    assert made(bench)


def test_a_tape_of_a_rainy_day_replays(tmp_path: Path) -> None:
    job = wet_job(tmp_path, "100")
    bench = job.bench(TapeWriter(tmp_path / "run.tape", job.setup()))
    bench.run(1_000)
    bench.act(a.HandOver())
    tape = read_tape(tmp_path / "run.tape")
    assert replay(tape, load_job(tape.head.job).setup()).digest() == tape.digest
    assert job.setup().fingerprint() != replace(job, rain=0.0).setup().fingerprint()


@pytest.mark.parametrize("percent", ["-1", "101", "nan", '"much"'])
def test_rain_is_a_share_of_a_hundred(tmp_path: Path, percent: str) -> None:
    with pytest.raises(UserError, match="rain_percent"):
        wet_job(tmp_path, percent)


def test_to_the_planner_a_gate_in_full_rain_at_rest_shows_what_water_poured_over_it_would(
    tmp_path: Path,
) -> None:
    setup = wet_job(tmp_path, "0").setup()
    dry, wet = Stand(setup), Stand(replace(setup, rain=1.0))
    volts = [n for n, look in enumerate(dry.looks) if look.how is How.VOLTS]
    poured = {
        dry.looks[n].a: reading
        for n, reading in zip(volts, dry.some(volts, FAULT), strict=True)
        if dry.looks[n].state.kind is StateKind.WET
    }
    rest = {
        wet.looks[n].a: reading
        for n, reading in zip(volts, wet.some(volts, FAULT), strict=True)
        if wet.looks[n].state.kind is StateKind.REST and wet.looks[n].b == "board.0V"
    }
    assert poured
    assert {screw: rest[screw] for screw in poured} == poured


def test_in_the_rain_the_suspects_are_those_that_show_the_same_in_the_rain(tmp_path: Path) -> None:
    wet, dry = (inquiry_of(wet_job(tmp_path, percent).setup()) for percent in ("100", "0"))
    assert wet is not None
    assert dry is not None
    in_rain, in_the_dry = (set(one.first().table.faults) for one in (wet, dry))
    assert {fault.kind for fault in in_rain} == {FaultKind.WET_CABLE, FaultKind.BRIDGED_PAIR}  # ties to 0 V
    assert {(fault.kind, fault.place) for fault in in_rain & in_the_dry} >= {(FAULT.kind, FAULT.place)}
    assert not any(fault.kind is FaultKind.BRIDGED_PAIR for fault in in_rain & in_the_dry)  # not only if wet
