"""Jobs as loaded: by name, by path, with a site of their own; and rehearsals, which are made."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from simgate.bench.actions import HandOver, TakeHint
from simgate.bench.replay import replay
from simgate.bench.tape import TapeWriter, read_tape
from simgate.files import UserError, scenarios
from simgate.practice.conduct import WATCHERS
from simgate.practice.job import load_job
from simgate.practice.marks import mark
from simgate.practice.rehearse import rehearsal
from simgate.wiring.faults import FaultKind

SHIPPED = scenarios() / "jobs" / "wrong-way.toml"


def own_job(folder: Path, *changes: tuple[str, str]) -> Path:
    """A trainer's own copy of a shipped job, changed."""
    text = SHIPPED.read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / "own-job.toml"
    path.write_text(text)
    return path


def test_a_shipped_job_goes_by_its_name_however_it_was_asked_for() -> None:
    assert load_job("wrong-way").name == load_job(SHIPPED).name == "wrong-way"


def test_a_job_file_of_ones_own_goes_by_its_path_so_that_its_tape_finds_it_again(tmp_path: Path) -> None:
    job = load_job(own_job(tmp_path))
    assert job.name == str(tmp_path / "own-job.toml")
    bench = job.bench(TapeWriter(tmp_path / "run.tape", job.setup()))
    bench.run(1_000)
    bench.act(HandOver())
    tape = read_tape(tmp_path / "run.tape")
    assert replay(tape, load_job(tape.head.job).setup()).digest() == tape.digest


def test_a_tape_of_a_job_that_was_changed_since_is_refused(tmp_path: Path) -> None:
    path = own_job(tmp_path)
    job = load_job(path)
    bench = job.bench(TapeWriter(tmp_path / "run.tape", job.setup()))
    bench.act(HandOver())
    own_job(tmp_path, ("minutes = 20", "minutes = 21"))
    with pytest.raises(UserError, match="another version of the job"):
        replay(read_tape(tmp_path / "run.tape"), load_job(path).setup())


def test_a_site_may_stand_beside_the_job_that_uses_it(tmp_path: Path) -> None:
    site = (scenarios() / "sites" / "yard-single.toml").read_text()
    (tmp_path / "own-site.toml").write_text(site.replace("Yard gate, one leaf", "My own gate"))
    path = own_job(tmp_path, ('site = "yard-single"', 'site = "own-site"'))
    assert load_job(path).site.title == "My own gate"


def test_a_broken_site_is_reported_under_its_own_name(tmp_path: Path) -> None:
    site = (scenarios() / "sites" / "yard-single.toml").read_text()
    (tmp_path / "own-site.toml").write_text(site.replace('"stop-button.2"', '"stop-button.9"'))
    path = own_job(tmp_path, ('site = "yard-single"', 'site = "own-site"'))
    with pytest.raises(UserError) as caught:
        load_job(path)
    assert [(problem.file, problem.found) for problem in caught.value.problems] == [
        ("own-site.toml", "'stop-button.9'")
    ]


def test_a_jobs_setup_carries_all_that_decides_how_it_starts(tmp_path: Path) -> None:
    path = own_job(
        tmp_path, ("[board.settings]", "[board]\nmains = false\nleaves_deg = [30]\n\n[board.settings]")
    )
    setup = load_job(path).setup(seed=7)
    assert setup.settings == (("leaves", 1), ("mode", "Latch"))
    assert (setup.mains, setup.learned, setup.seed) == (False, False, 7)
    assert setup.places == (math.radians(30),)
    assert [(fault.kind, fault.place) for fault in setup.faults] == [(FaultKind.SWAPPED_PAIR, "motor-a")]
    bench = load_job(path).bench()
    assert math.degrees(bench.snapshot().leaves[0].angle) == pytest.approx(30)


def test_conduct_may_be_a_choice_of_rules(tmp_path: Path) -> None:
    assert load_job(SHIPPED).conduct == tuple(WATCHERS)
    path = own_job(tmp_path, ("minutes = 20", 'minutes = 20\nconduct = ["wires-live"]'))
    assert load_job(path).conduct == ("wires-live",)


def test_every_mistake_of_meaning_is_told_at_once(tmp_path: Path) -> None:
    path = own_job(
        tmp_path,
        ('"motor-a"', '"motor-c"'),
        ('check = "gate-shut"', 'check = "gate-shot"'),
        ("leaves = 1", "leaves = 3"),
    )
    with pytest.raises(UserError) as caught:
        load_job(path)
    assert [problem.where for problem in caught.value.problems] == [
        "board.settings.leaves",
        "goal[6].check",
        "fault[1].place",
    ]
    assert all(problem.line for problem in caught.value.problems)


def test_an_unknown_job_is_answered_with_the_nearest_name() -> None:
    with pytest.raises(UserError, match="did you mean 'wrong-way'"):
        load_job("wrong-wax")


def test_hints_taken_at_the_bench_cost_what_the_job_says() -> None:
    job = load_job("wrong-way")
    bench = job.bench()
    bench.act(TakeHint())
    bench.run(100)
    bench.act(TakeHint())
    bench.act(HandOver())
    (hints,) = [term for term in mark(job, bench).terms if term.name == "hints"]
    assert hints.marks == -sum(hint.cost for hint in job.hints)


def test_a_rehearsal_is_learned_unmarked_and_found_again_by_its_name() -> None:
    job = rehearsal("Latch")
    assert load_job(job.name) == job
    assert (job.learned, job.marked, job.goals, job.conduct) == (True, False, (), ())
    assert job.setup().fingerprint() == load_job("rehearse:Latch").setup().fingerprint()


def test_a_mode_that_does_not_exist_cannot_be_rehearsed() -> None:
    with pytest.raises(UserError, match="did you mean 'Self-close'"):
        load_job("rehearse:Self-cloze")
