"""Two thousand runs of random stimuli through the running bench, in every shipped mode: what no mode may do.

Whoever calls, stops, breaks a beam, puts something in the way or switches the mains at whatever moment: no
drive with STOP parted, no shutting past a broken GUARD-C, hold-to-run stops when it is let go, a mode that
promises not to shut by itself never does. `Watched` looks at drives, iron and energy scan by scan; here are
the promises of modes.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.scan import SCAN
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.mode_table import WAYS
from simgate.board.modes import shipped_modes
from simgate.board.signals import Acted, NoteKind
from simgate.board.stimuli import INPUTS, Condition, Input, Stimulus, Way
from simgate.files import UserError
from simgate.practice.moves import MEETS, Hands, actions
from tests.properties.watched import OFF_VOLTS, Watched

RUNS_IN_ALL = 2_000
MODES = tuple(shipped_modes())
EACH = -(-RUNS_IN_ALL // len(MODES))
ASKS = (Stimulus.CALL, Stimulus.PART)
KINDS = ("call", "part", "stop", "link", "beam", "body", "clear", "mains")
OFTEN = ("call", "call", "call", "part", "part", "beam", "beam", "stop")
WAITS = st.sampled_from([0, 10, 30, 60, 150, 400, 1_200, 3_000])
MOVES = st.lists(st.tuples(WAITS, st.sampled_from((*KINDS, *OFTEN))), min_size=2, max_size=8)
TURNED = {Stimulus.GUARD_C_BROKEN, Stimulus.OBSTACLE, Stimulus.EDGE_AMISS}
"""What may make a gate leave a direction by itself."""


@cache
def start_of(mode: str) -> Setup:
    """A learned gate in `mode`, with a pause that a run outlasts."""
    pause = (("pause", 3),) if shipped_modes()[mode].closes_itself else ()
    return Setup("test", load_site("farm-double"), (("mode", mode), *pause), learned=True)


class Promised(Watched):
    """A bench that steps, watched for what its mode promises."""

    def __init__(self, setup: Setup) -> None:
        super().__init__(setup, None)  # type: ignore[arg-type]  # no tape: these runs are not kept
        self.table = shipped_modes()[self.board.mode]
        self.held_for = {Input.CALL: 0, Input.PART: 0}  # ms that a call has been let go, at its terminal
        self.seen = 0
        self.cells: Counter[tuple[Condition, Stimulus]] = Counter()

    def watch(self, ms: int) -> None:
        """Let time pass, looking at every scan."""
        for _ in range(ms // SCAN):
            super().watch(SCAN)
            self._look_at_calls()
            self._look_at_cells()

    def _look_at_calls(self) -> None:
        """Hold-to-run: nothing is driven once all is let go, from the filter's time and one scan on."""
        volts = self.solution.inputs
        for one in self.held_for:
            off = volts[INPUTS.index(one)] <= OFF_VOLTS
            self.held_for[one] = self.held_for[one] + SCAN if off else 0
        grace = self.board.settings.number("input-filter") + SCAN
        if self.table.while_held and min(self.held_for.values()) > grace:
            assert not any(self.board.outputs.duty), "driven with every call let go"

    def _look_at_cells(self) -> None:
        """What set the gate off, and what made it shut."""
        for record in self.records[self.seen :]:
            for acted in record.acted:
                self.cells[acted.condition, acted.stimulus] += 1
                self._look_at(acted)
            for note in record.notes:
                assert note.kind is not NoteKind.LEARN_STARTED
        self.seen = len(self.records)

    def _look_at(self, acted: Acted) -> None:
        goes = WAYS.get(acted.after)
        if goes is None or acted.after is acted.condition:
            return
        if acted.condition not in WAYS and acted.condition not in (Condition.HELD, Condition.PART_HELD):
            if goes is Way.OPENING:
                assert acted.stimulus in ASKS, "opens without a call"
            elif acted.stimulus not in ASKS:
                assert acted.stimulus is Stimulus.PAUSE_OVER, "shuts without a call or a pause"
                assert self.table.closes_itself, "shuts by itself in a mode that promises not to"
        elif goes is Way.CLOSING:
            assert acted.stimulus in ASKS, "turned round to shut without a call"
        elif acted.condition is Condition.CLOSING:
            assert acted.stimulus in (*ASKS, *TURNED), "turned round without a reason"


def drive(mode: str, run: Sequence[tuple[int, str]]) -> Promised:
    """One run."""
    bench = Promised(start_of(mode))
    hands = Hands(bench.snapshot())
    by_kind = dict(
        zip(KINDS, hands.contacts, strict=False)
    )  # call, part, stop, link, beam: as they are found
    for wait, kind in run:
        bench.watch(wait)
        for action in _actions(bench, hands, by_kind, kind):
            try:
                bench.act(action)
            except UserError as error:
                assert error.problems
        bench.watch(60)
    for contact in hands.put(bench.snapshot()):
        if contact.put[0] in ASKS:
            bench.act(contact.to_take_back)  # whoever held a call lets go
    bench.watch(1_500)
    return bench


def _actions(bench: Promised, hands: Hands, by_kind: Mapping[str, object], kind: str) -> tuple[a.Action, ...]:
    shot = bench.snapshot()
    if kind == "mains":
        return (a.Mains(not shot.mains),)
    if kind == "body":
        return actions(MEETS, shot)
    if kind == "clear":
        return tuple(a.RemoveBody(leaf.name) for leaf in shot.leaves)
    contact = next(one for one in hands.contacts if one is by_kind[kind])
    return (contact.to_take_back if contact in hands.put(shot) else contact.to_put,)


@pytest.mark.parametrize("mode", MODES)
def test_whatever_comes_in_whatever_condition_a_mode_keeps_its_promises(mode: str) -> None:
    runs = driven = 0
    cells: Counter[tuple[Condition, Stimulus]] = Counter()

    @seed(zlib.crc32(mode.encode()))  # the same runs everywhere, others for each mode
    @settings(max_examples=EACH, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(MOVES)
    def many(run: list[tuple[int, str]]) -> None:
        nonlocal runs, driven
        bench = drive(mode, run)
        runs += 1
        driven += bench.driven
        cells.update(bench.cells)

    many()
    assert runs >= EACH
    assert driven > 40 * EACH, "leaves are driven"
    assert len(cells) > 40, "many a cell of the card has acted"
    assert any(stimulus is Stimulus.STOP_PARTED for _, stimulus in cells)
    assert cells[Condition.OPENING, Stimulus.GUARD_C_BROKEN] > 0


def test_the_runs_are_two_thousand() -> None:
    assert EACH * len(MODES) >= RUNS_IN_ALL
