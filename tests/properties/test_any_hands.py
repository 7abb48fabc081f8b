"""Three thousand runs of random hands, over every shipped site and job: what must hold in any condition.

Each run is made on a bench that steps through every scan, watched scan by scan, with its tape written; then
the tape is run again on one that skips idle time. So one run shows at once that nothing raises but a
refusal, that iron and board keep to what is safe and possible, that the tape tells the whole run, and that
skipping changes nothing.
"""

from __future__ import annotations

import math
import zlib
from collections import Counter
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, seed, settings

from simgate.bench import actions as a
from simgate.bench.hands import PUSH_LIMIT
from simgate.bench.replay import replay
from simgate.bench.scan import SCAN, Bench
from simgate.bench.setup import Setup
from simgate.bench.site import Site, load_site
from simgate.bench.tape import TapeWriter, read_tape
from simgate.board.line import Head
from simgate.board.line_table import address, table
from simgate.board.modes import shipped_modes
from simgate.board.stimuli import INPUTS, Input, Way
from simgate.files import shipped
from simgate.practice.job import load_job
from simgate.practice.marks import mark
from simgate.wiring.check import ENCODERS
from simgate.wiring.spec import DeviceKind
from tests.properties.any_hands import RUNS, Hand, call, possible, try_hand

RUNS_IN_ALL = 3_000
STARTS = (
    *(f"job {name}" for name in shipped("jobs")),
    *(f"site {name} new" for name in shipped("sites")),
    *(f"site {name} {mode}" for name in shipped("sites") for mode in shipped_modes()),
)
EACH = -(-RUNS_IN_ALL // len(STARTS))
WATCHED = tuple((terminal, INPUTS.index(terminal)) for terminal in (Input.STOP, Input.GUARD_C))
EDGE = INPUTS.index(Input.EDGE)
OFF_VOLTS = 5.0  # IEC 61131-2 type 1: an input at 5 V and below is off (from memory, as in board/inputs.py)
PULL_UP = 8200.0  # ohm to 5 V behind EDGE, as in board/inputs.py
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


class Watched(Bench):
    """A bench that never skips, looked at after each scan."""

    def __init__(self, setup: Setup, tape: TapeWriter) -> None:
        super().__init__(setup, tape)
        self._parted = dict.fromkeys((Input.STOP, Input.GUARD_C, Input.EDGE), 0)
        self._dark = 0  # ms for which a closing beam of the line has not been sound
        self.driven = 0
        self._filter = 0.0
        self._energy = [self._kinetic(n) for n in range(len(self.plant.leaves))]
        self._most = 0.0
        self.scans = 0

    def _skip(self, target: int) -> None:
        """Step instead."""

    def watch(self, ms: int) -> None:
        """Let time pass, looking at every scan."""
        leaves, plant, duty = range(len(self.plant.leaves)), self.plant, self.board.outputs.duty
        for _ in range(ms // SCAN):
            still, powered = plant.still(), self.solution.powered
            given = () if still else tuple(self._given(n) for n in leaves)
            self.run(SCAN)
            self.scans += 1
            self._count_parted()
            if any(duty):
                self._look_at_drives(powered)
                self.driven += 1
            if not still:
                self._look_at_energy(given)
                self._look_at_leaves()

    # Copper and board ---------------------------------------------------------------------------------

    def _count_parted(self) -> None:
        """For how long each terminal has been off."""
        inputs = self.solution.inputs
        for terminal, place in WATCHED:
            self._parted[terminal] = self._parted[terminal] + SCAN if inputs[place] <= OFF_VOLTS else 0
        self._parted[Input.EDGE] = (
            0 if self._edge_is_healthy(inputs[EDGE]) else self._parted[Input.EDGE] + SCAN
        )
        self._dark = 0 if self._line_is_sound() else self._dark + SCAN

    def _edge_is_healthy(self, volts: float) -> bool:
        """Whether what hangs on EDGE is an edge at rest, by the divider with its pull-up."""
        low, high = (self.board.settings.number(f"edge-{word}") for word in ("pressed-below", "broken-above"))
        return volts < 5.0 and low * 1000.0 <= PULL_UP * volts / (5.0 - volts) <= high * 1000.0

    def _line_is_sound(self) -> bool:
        """Whether both heads of each closing beam answer alone, as the roll-call has them, and see light."""
        answers = {(one.place, one.head): one for one in self.board.signals.line.answers}
        enrolled = set(self.board.line.enrolled)
        for place in {place for place, _ in (*answers, *enrolled)}:
            if Way.CLOSING not in address(place).guards.ways:
                continue
            heads = [answers.get((place, head)) for head in Head]
            if (
                any(one is None or one.garbled for one in heads)
                or not {(place, head) for head in Head} <= enrolled
            ):
                return False
            if not answers[place, Head.RECEIVER].clear:
                return False
        return True

    def _look_at_drives(self, was_powered: bool) -> None:
        """Nothing is driven past STOP, or shut past a closing guard, from a filter's time and one scan on.

        Of the line what is not sound is known a poll later.
        """
        settings, duty = self.board.settings, self.board.outputs.duty
        lately = settings.number("input-filter")
        grace = max(lately, self._filter) + SCAN
        self._filter = lately
        assert self._parted[Input.STOP] <= grace, "driven with STOP parted"
        if self._parted[Input.GUARD_C] > grace and settings.choice("guard-c-use") in ("closing", "both"):
            assert min(duty) >= 0.0, "shutting with GUARD-C broken"
        if self._parted[Input.EDGE] > grace and settings.choice("edge-use") == "closing":
            assert min(duty) >= 0.0, "shutting with the closing edge not healthy"
        if self._dark > grace + table().poll_ms:
            assert min(duty) >= 0.0, "shutting with a closing beam of the line not sound"
        assert was_powered or self.solution.powered, "driven without power"

    # Iron ---------------------------------------------------------------------------------------------

    def _kinetic(self, n: int) -> float:
        """J in a leaf and in the rotor that it turns, whose speed is what its emf says."""
        leaf, (spec, drive) = self.plant.leaves[n], self.setup.site.plant.leaves[n]
        energy = 0.5 * spec.moment * leaf.speed * leaf.speed
        if not leaf.released and drive.pump is None:  # behind a pump nothing that turns is felt
            turning = leaf.emf() / drive.motor.constant
            energy += 0.5 * drive.motor.rotor_inertia * turning * turning
        return energy

    def _given(self, n: int) -> tuple[float, float]:
        """What may be given to a leaf in the next scan: (W from its supply, N m or N from all else)."""
        leaf, (spec, drive) = self.plant.leaves[n], self.setup.site.plant.leaves[n]
        amps = (abs(leaf.volts) + abs(leaf.emf())) / (drive.motor.resistance + leaf.ohms)
        slope, _, steady = spec.leaning
        blown, _ = spec.blown(self.plant.wind, self.setup.site.plant.force_coefficient)
        force = abs(leaf.push) * spec.lever + abs(slope) + abs(steady) + abs(blown)
        return abs(leaf.volts) * min(amps, leaf.limit), force

    def _look_at_energy(self, given: Sequence[tuple[float, float]]) -> None:
        """In no scan does kinetic energy rise by more than supply, hands, wind and slope could have given.

        The supply gives volts x ampere, at most those that its limit or the winding lets through; a load
        gives its force times the way. Friction, gears and contacts only take. What a stop, bolt, body or the
        other leaf's edge has stored comes back: while anything touches, nothing is written off.
        """
        energies = [self._kinetic(n) for n in range(len(given))]
        allowed, touching = 0.0, self.plant.overlap_force() != 0.0
        for n, (watts, force) in enumerate(given):
            leaf = self.plant.leaves[n]
            before, after = leaf.started[1], leaf.speed
            way = max(abs(before), abs(after), abs(leaf.place - leaf.started[0]) * 1000 / SCAN) * SCAN / 1000
            allowed += self._energy[n] + watts * SCAN / 1000 + force * way
            touching = touching or any((leaf.stop_force, leaf.body_force, leaf.bolt_force))
        total = math.fsum(energies)
        assert total <= allowed * 1.001 + 0.001, f"{total} J of {allowed} J"
        self._most = max(self._most, total)
        if touching:
            spare = (allowed - total) / len(energies)
            energies = [energy + spare for energy in energies]
        self._energy = energies

    def _look_at_leaves(self) -> None:
        """Leaves stay between their stops, but for what the stops give.

        At its edge a stop gives F / k under a force and sqrt(2 E / k) under a blow; twice F / k while the
        force is fresh. F: hands, and the greatest force that a drive of this size puts on a leaf.
        """
        for leaf, (spec, _) in zip(self.plant.leaves, self.setup.site.plant.leaves, strict=True):
            stiff = spec.stop_stiffness
            gives = (2.0 * (PUSH_LIMIT + 8_000.0) / stiff + math.sqrt(2.0 * self._most / stiff)) / spec.lever
            assert -gives <= leaf.place <= spec.reach + gives
            for value in (leaf.place, leaf.speed, leaf.current, leaf.turns):
                assert math.isfinite(value)


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
