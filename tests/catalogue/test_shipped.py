"""One body over every shipped job, site and mode: a new file in scenarios/ brings its own tests."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from simgate.bench import actions as do
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.modes import shipped_modes
from simgate.board.stimuli import Condition, Stimulus
from simgate.files import scenarios, shipped
from simgate.practice.debrief import debrief
from simgate.practice.ending import Ending
from simgate.practice.job import REHEARSAL, load_job
from simgate.practice.lint import family_of, lint
from simgate.practice.marks import mark
from simgate.practice.shelf import all_jobs, all_modes
from tests.golden.runs import replayed

JOBS, SITES, MODES = shipped("jobs"), shipped("sites"), tuple(shipped_modes())


def finite(bench: Bench) -> bool:
    """Whether every leaf is where a number says."""
    return all(math.isfinite(value) for leaf in bench.plant.leaves for value in (leaf.angle, leaf.speed))


def test_every_shipped_file_passes_the_lint() -> None:
    checked, problems = lint([scenarios()])
    assert problems == ()
    assert checked == len(JOBS) + len(SITES) + len(MODES)


def test_the_list_of_jobs_says_what_the_jobs_say() -> None:
    for listing in all_jobs():
        job = load_job(listing.name)
        assert (job.title, job.learner, job.minutes) == (listing.title, listing.learner, listing.minutes)
    assert sorted(listing.name for listing in all_jobs()) == JOBS


def test_the_list_of_modes_says_what_the_modes_say() -> None:
    listed = [(mode.name, mode.title, mode.summary) for mode in all_modes()]
    assert listed == [(mode.name, mode.title, mode.summary) for mode in shipped_modes().values()]


# Jobs ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", JOBS)
def test_a_job_says_what_to_do_and_what_to_mind(name: str) -> None:
    job = load_job(name)
    assert len(job.briefing.split()) > 20
    assert "local code and a licensed person" in " ".join(job.caution.split())
    assert job.goals
    assert job.hints


@pytest.mark.parametrize("name", JOBS)
def test_a_job_starts_the_same_way_every_time(name: str) -> None:
    one, other = load_job(name).bench(), load_job(name).bench()
    assert one.digest() == other.digest()
    for bench in (one, other):
        bench.run(5_000)
    assert one.digest() == other.digest()
    assert finite(one)


@pytest.mark.parametrize("name", JOBS)
def test_doing_nothing_fails_a_job(name: str) -> None:
    job = load_job(name)
    bench = job.bench()
    bench.run(10_000)
    bench.act(do.HandOver())
    marks = mark(job, bench)
    assert not marks.passed
    assert 0 <= marks.total < 70
    assert any(not goal.met for goal in marks.goals)


@pytest.mark.parametrize("name", JOBS)
def test_a_job_never_shows_its_hidden_faults(name: str) -> None:
    job = load_job(name)
    bench = job.bench()
    bench.run(1_000)
    shown = repr(bench.snapshot())
    assert not [fault for fault in job.faults if fault.kind.value in shown]
    assert len(bench.faults()) == len(job.faults)


@pytest.mark.parametrize("name", JOBS)
def test_a_job_is_solved_by_its_tape_and_its_debrief_tells_the_run_in_order(name: str) -> None:
    job = load_job(name)
    bench = replayed(name)
    assert mark(job, bench).passed
    story = debrief(job, Ending.of(bench))
    assert story.verdict == "Passed with 100 of 100."
    ticks = [moment.tick for moment in story.done]
    assert ticks == sorted(ticks)
    assert story.done[-1].text == "handed over"


@pytest.mark.parametrize("name", [name for name in JOBS if load_job(name).faults])
def test_a_job_with_its_faults_left_in_is_not_solved(name: str) -> None:
    job = load_job(name)
    bench = job.bench()
    bench.act(do.HandOver())
    assert [goal for goal in mark(job, bench).goals if "still wrong" in goal.why]


# Sites --------------------------------------------------------------------------------------------

NEEDS: dict[str, dict[str, float | int | str]] = {
    "dairy-double": {"leaf-delay-closing": 6},  # its overlap is wide
    "lane-single": {"sensing": "by time"},  # no encoder
    "mill-single": {"lock-use": "stroke and pulse", "lock-time": 4},  # a latch that jams
    "school-single": {"sensing": "absolute sensor"},
}
"""What has to be set at a site whose iron or copper no default fits."""


def learned(name: str) -> Bench:
    """A healthy gate at that site, in Latch, that has learned."""
    site = load_site(name)
    settings = {"leaves": len(site.plant.leaves), "mode": "Latch", **NEEDS.get(name, {})}
    return Bench(Setup("made", site, tuple(settings.items()), learned=True))


@pytest.mark.parametrize("name", SITES)
def test_a_healthy_site_can_learn_and_its_guards_are_made(name: str) -> None:
    bench = learned(name)
    bench.run(1_000)
    view = bench.snapshot()
    assert (view.learned, view.stale) == (True, False)
    made = [one.terminal for one in view.inputs if one.made]
    assert made[:3] == ["STOP", "GUARD-O", "GUARD-C"]
    assert not {"CALL", "PART"}.intersection(made)
    assert ("EDGE" in made) is any("EDGE" in (wire.a + wire.b) for wire in view.wires)


@pytest.mark.parametrize("name", SITES)
def test_a_call_opens_and_shuts_a_learned_site(name: str) -> None:
    bench = learned(name)
    bench.run(1_000)
    for condition in (Condition.OPEN, Condition.SHUT):
        bench.act(do.Operate("call-button", True))
        bench.run(200)
        bench.act(do.Operate("call-button", False))
        bench.run(60_000)
        assert bench.snapshot().condition is condition
    assert finite(bench)
    acted = [cell.stimulus for record in bench.records for cell in record.acted]
    assert set(acted) == {Stimulus.CALL, Stimulus.CALL_RELEASED, Stimulus.ARRIVED}  # nothing was met
    for leaf in bench.snapshot().leaves:
        assert abs(leaf.place * leaf.lever) < 0.01


@pytest.mark.parametrize("name", ["lane-single", "farm-double", "works-slide"])
def test_a_leaf_runs_as_fast_as_is_usual_in_the_trade(name: str) -> None:
    """Common practice (M14): 0.1 to 0.3 m/s at the edge, opening and shutting."""
    bench = learned(name)
    bench.run(1_000)
    for _ in range(2):
        bench.act(do.Operate("call-button", True))
        bench.run(200)
        bench.act(do.Operate("call-button", False))
        fastest = [0.0 for _ in bench.plant.leaves]
        for _ in range(80):
            bench.run(100)
            edges = [abs(one.speed) * one.lever for one in bench.snapshot().leaves]
            fastest = [max(pair) for pair in zip(fastest, edges, strict=True)]
        assert all(0.1 <= one <= 0.3 for one in fastest)
        bench.run(60_000)


# Modes --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("title", MODES)
def test_a_mode_can_be_rehearsed_on_a_learned_gate_with_its_calls_at_hand(title: str) -> None:
    job = load_job(REHEARSAL + title)
    bench = job.bench()
    bench.run(1_000)
    view = bench.snapshot()
    assert (view.mode, view.learned, view.stale) == (title, True, False)
    assert {"call-button", "part-button"} <= {device.name for device in view.devices}
    bench.act(do.Operate("call-button", True))
    bench.run(1_000)
    assert bench.snapshot().condition is Condition.OPENING
    assert not mark(job, bench).marked


@pytest.mark.parametrize("family", ["jobs", "sites", "modes"])
def test_a_shipped_file_is_known_by_what_it_holds_as_well_as_by_its_folder(
    family: str, tmp_path: Path
) -> None:
    for name in shipped(family):
        copy = tmp_path / f"{name}.toml"
        copy.write_text((scenarios() / family / f"{name}.toml").read_text())
        assert family_of(copy) == family
