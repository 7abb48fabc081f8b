"""Everything that decides what a board under proof does next, as one value: taken from it and put back.

The prover comes to each state from many sides, so it must be able to go back to one at once. Every field of
the board's parts is either here, or follows from what is here, or is for the eye only; a test walks all of
them, so that a field that somebody adds is not forgotten.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from simgate.board.board import Board
from simgate.board.inputs import EDGE_VOLTS
from simgate.board.learn import Learned
from simgate.board.modes import Table
from simgate.board.prove_drive import Doing, StandIn
from simgate.board.settings import Settings
from simgate.board.starts import Memory
from simgate.board.stimuli import INPUTS, Condition, Input
from simgate.board.timers import Timer
from simgate.board.travel import LeafTravel

SCENE = INPUTS[: INPUTS.index(Input.EDGE) + 1]
"""The inputs that the proof is about; bit n of a mask is the n-th. END switches are the leaves' affair."""

BIT: Mapping[Input, int] = {one: 1 << index for index, one in enumerate(SCENE)}
HEALTHY = BIT[Input.STOP] | BIT[Input.GUARD_O] | BIT[Input.GUARD_C] | BIT[Input.EDGE]

NOW = 1_000_000  # ms; every scan of a proof is at this tick, and what runs is due now or later
LATER = NOW + 100_000
LONG_AGO = 0  # a change of a terminal that began then has lasted its filter time by now

MADE_VOLTS = 24.0


class State(NamedTuple):
    """One state, with the prover's own memory last.

    terminals: mask over SCENE, as they stand; made: as the board takes them, 0 without power. start: the
    start that is being made. failed: guards that failed a test. met: how often shutting met something.
    fresh: why nothing may move without a fresh call, '' when it may. broken: a fault came, and no call
    since. turned: the movement that is made was begun in order to leave the other direction.
    """

    powered: bool
    terminals: int
    made: int
    condition: Condition
    doing: Doing
    pause: bool
    start: Memory
    failed: tuple[Input, ...]
    learned: bool
    fault: bool
    met: int
    fresh: str
    broken: bool
    turned: bool

    def has(self, one: Input) -> bool:
        """Whether the board takes an input as made, or has no power to look."""
        return bool(self.made & BIT[one]) or not self.powered


class Subject(Board):
    """The board that is proven: the real one over the stand-in for its leaves.

    Its display, lamp, light and lock relay are left out: they show what is so, and nothing asks them.
    """

    _drive: StandIn

    def __init__(self, settings: Settings, modes: Mapping[str, Table]) -> None:
        super().__init__(settings, modes, StandIn)
        travels = (LeafTravel(1000),) * round(settings.number("leaves"))
        self._known = Learned(travels, tuple(settings.values().items()))
        self._most_met = round(settings.number("re-tries")) + 1
        self._by_mask = [terminals_of(mask) for mask in range(1 << len(SCENE))]
        self._off = (False,) * len(INPUTS)

    @property
    def leaves(self) -> StandIn:
        """The stand-in, for the events that the environment chooses."""
        return self._drive

    def put_state(self, state: State, terminals: int, pause: int, start: int, least: int) -> None:
        """Be in `state`, just before a scan that finds other `terminals`, and timers due at these ticks."""
        volts, levels = self._by_mask[state.terminals]
        if state.powered:
            made = self._by_mask[state.made][1]
            self.signals.volts, levels = self._by_mask[terminals]
        else:
            made = levels = self._off
            self.signals.volts = self._by_mask[terminals][0]
        self._volts = volts
        self.signals.powered = self._powered = state.powered
        self._inputs.put(made, levels, LONG_AGO)
        self._guards.failed = state.failed
        self._timers.clear()
        if state.pause:
            self._timers.set(Timer.PAUSE, pause)
        if state.start:
            self._timers.set(Timer.START, start)
        self._starts.put(state.start, least)
        self._drive.doing = state.doing
        self._drive.event = None
        self._drive.unput = False
        logic = self._logic
        logic.chart.condition = state.condition
        logic.learned = state.learned
        logic.fault = state.fault
        logic.met = state.met
        self.work.data = self._known if state.learned else None
        self.happened.clear()
        self._wake = 0

    def lose_learned(self, lost: bool) -> None:
        """What was learned fits no longer, or again: the board sees it where it takes its settings over."""
        self.work.data = None if lost else self._known
        self._version = -1

    def take_state(self, terminals: int, fresh: str, broken: bool, turned: bool) -> State:
        """The state after the scan."""
        made = 0
        for bit, one in enumerate(self._inputs.made[: len(SCENE)]):
            made |= one << bit
        logic = self._logic
        return State(
            self._powered,
            terminals,
            made,
            logic.chart.condition,
            self._drive.doing,
            logic.pause_due is not None,
            self._starts.memory(),
            self._guards.failed,
            logic.learned,
            logic.fault,
            min(logic.met, self._most_met),
            fresh,
            broken,
            turned,
        )

    def _put_outputs(self, tick: int) -> None:
        self._drive.put(tick, self.outputs)
        self._dirty = False


def terminals_of(mask: int) -> tuple[tuple[float, ...], tuple[bool, ...]]:
    """Volts at the terminals for a mask, and the levels that they are read as. An edge amiss is pressed."""
    levels = tuple(bool(mask >> index & 1) for index in range(len(INPUTS)))
    volts = [MADE_VOLTS * level for level in levels]
    edge = INPUTS.index(Input.EDGE)
    volts[edge] = EDGE_VOLTS / 2.0 if levels[edge] else 0.0
    return tuple(volts), levels
