"""Three thousand runs of random hands, over every shipped site and job: what must hold in any condition.

Each run is made on a bench that steps through every scan, watched scan by scan, with its tape written; then
the tape is run again on one that skips idle time. So one run shows at once that nothing raises but a
refusal, that iron and board keep to what is safe and possible, that the tape tells the whole run, and that
skipping changes nothing.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, seed, settings

from simgate.bench import actions as a
from simgate.bench.replay import replay
from simgate.bench.setup import Setup
from simgate.bench.site import Site, load_site
from simgate.bench.tape import TapeWriter, read_tape
from simgate.board.modes import shipped_modes
from simgate.files import shipped
from simgate.practice.job import load_job
from simgate.practice.marks import mark
from simgate.wiring.check import ENCODERS
from simgate.wiring.spec import DeviceKind
from tests.properties.any_hands import RUNS, Hand, call, possible, try_hand
from tests.properties.watched import Watched

RUNS_IN_ALL = 3_000
STARTS = (
    *(f"job {name}" for name in shipped("jobs")),
    *(f"site {name} new" for name in shipped("sites")),
    *(f"site {name} {mode}" for name in shipped("sites") for mode in shipped_modes()),
)
EACH = -(-RUNS_IN_ALL // len(STARTS))
WIDER = 1.5  # times: a leaf B so much wider than A takes much longer
EDGE_KINDS = (DeviceKind.EDGE, DeviceKind.EDGE_THROUGH)


@cache
def start_of(start: str) -> Setup:
    """How a run starts: a job as it is, a new site, or one that has learned, in a mode."""
    family, name, *mode = start.split(" ", 2)
    if family == "job":
        return load_job(name).setup()
    site = load_site(name)
    leaves = ("leaves", len(site.plant.leaves))
    if mode == ["new"]:
        return Setup("test", site, (leaves,))
    pause = (("pause", 3),) if shipped_modes()[mode[0]].closes_itself else ()
    return Setup("test", site, (leaves, ("mode", mode[0]), *pause, *fitted(site)), learned=True)


def fitted(site: Site) -> list[tuple[str, str | float]]:
    """What a fitter has to set at a site, by what stands there, before it can learn and is guarded."""
    kinds, widths = (
        {device.kind for device in site.wiring.devices},
        [leaf.lever for leaf, _ in site.plant.leaves],
    )
    found: list[tuple[str, str | float]] = []
    if kinds.isdisjoint(ENCODERS):
        found.append(("sensing", "by time"))
    elif DeviceKind.PLACE_ENCODER in kinds:
        found.append(("sensing", "absolute sensor"))
    if not kinds.isdisjoint(EDGE_KINDS):
        found.append(("edge-use", "closing"))
    if site.plant.lock is not None:
        found.append(("lock-use", "pulse"))
    if any(other > WIDER * first for first, other in pairwise(widths)):
        found.append(("leaf-delay-closing", 8.0))  # s: the wide leaf is slow, and must be shut first
    return found


@cache
def starts_at() -> dict[str, list[str]]:
    """Every start, by the name of its site."""
    found: dict[str, list[str]] = {}
    for start in STARTS:
        found.setdefault(start_of(start).site.name, []).append(start)
    return found


done: Counter[type] = Counter()


def drive(start: str, run: Sequence[Hand], path: Path) -> tuple[int, int]:
    """One run, watched, and run again from its tape. Returns its scans, and those with a leaf driven."""
    setup = start_of(start)
    path.unlink(missing_ok=True)
    bench = Watched(setup, TapeWriter(path, setup))
    bench.run(run[0][2] % 400 if run else 0)
    if run and run[0][2] % 4:  # most people press a button first
        call(bench, run[0][2])
        bench.watch(run[-1][2] % 2_000)
    for hand in run:
        bench.watch(hand[0])
        done[hand[1]] += try_hand(bench, hand)
        if bench.finished:
            break
    if not bench.finished:  # once handed over time stands, and there is nothing to watch
        bench.watch(500)
        bench.act(a.HandOver())
    assert bench.snapshot().finished
    tape = read_tape(path)
    again = replay(tape, setup)
    assert tape.digest == bench.digest() == again.digest()
    assert again.records == bench.records
    if start.startswith("job "):
        assert 0 <= mark(load_job_once(start), again).total <= 100
    return bench.scans, bench.driven


load_job_once = cache(lambda start: load_job(start.removeprefix("job ")))


@pytest.mark.parametrize("site", starts_at())
def test_whatever_hands_do_the_gate_stays_safe_and_possible_and_its_tape_tells_all(
    site: str, tmp_path: Path
) -> None:
    done.clear()
    for start in starts_at()[site]:
        runs_from(start, tmp_path)
    never = [kind.__name__ for kind in possible(start_of(start).site) if not done[kind]]
    assert not never, f"at {site} hands never managed {never}"


def runs_from(start: str, folder: Path) -> None:
    """Every run from one start."""
    runs: list[tuple[int, int]] = []

    @seed(zlib.crc32(start.encode()))  # the same runs everywhere, others for each start
    @settings(max_examples=EACH, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(RUNS)
    def many(run: list[Hand]) -> None:
        runs.append(drive(start, run, folder / "run.tape"))

    many()
    assert len(runs) >= EACH
    assert sum(scans for scans, _ in runs) > 50 * EACH, "the runs are long enough for something to happen"
    setup = start_of(start)
    if setup.learned and not setup.faults:  # else a call moves nothing
        assert sum(driven for _, driven in runs) > 5 * EACH, f"from '{start}' leaves are driven"


def test_the_runs_are_three_thousand() -> None:
    assert EACH * len(STARTS) >= RUNS_IN_ALL
