"""The board that is proven: the real one over the stand-in for its leaves, taken to any state and back.

The prover comes to each state from many sides, so it must be able to go back to one at once. Every field of
the board's parts is either put back here, or follows from what is, or is for the eye only; a test walks all
of them, so that a field that somebody adds is not forgotten.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from simgate.board.battery import PLANS
from simgate.board.board import Board
from simgate.board.learn import STEPS, Learn, Learned
from simgate.board.line import SILENT
from simgate.board.logic import CALLS, Logic
from simgate.board.mode_table import Table
from simgate.board.prove_drive import StandIn
from simgate.board.prove_hands import ASKS, Hand
from simgate.board.prove_scene import (
    BEAMS,
    ENROLLED,
    REMOTES,
    TAUGHT,
    Found,
    Source,
    found,
    mask_of,
)
from simgate.board.prove_state import FULL, Charge, Kernel
from simgate.board.settings import Settings
from simgate.board.stimuli import INPUTS, Condition, Input, Response, Stimulus
from simgate.board.timers import Timer
from simgate.board.travel import LeafTravel

NOW = 1_000_020  # ms; every scan of a proof is at this tick, and what runs is due now or later
LATER = NOW + 100_000
LONG_AGO = 0  # a change of a terminal that began then has lasted its filter time by now

WELL, SUNK = 24.0, 20.0  # V of the battery, above and below any limit that can be set
PAUSES = (Response.START_PAUSE, Response.RESTART_PAUSE)


class Subject(Board):
    """Its display, lamp, light and lock relay are left out: they show what is so, and nothing asks them.

    hand: what a hand asks for in this scan. refused: the book did not grant it. heard_calls: the scan
    came to where calls would act. scene: what changes around it; only that is put back.
    """

    _drive: StandIn

    def __init__(self, settings: Settings, modes: Mapping[str, Table], scene: Sequence[Source]) -> None:
        super().__init__(settings, modes, StandIn)
        self.hand: Hand | None = None
        self.heard_calls = self.refused = False
        mask = mask_of(*scene)
        self._on_line, self._on_air = bool(mask & BEAMS), bool(mask & REMOTES)
        if self._on_line:
            self.line.enrolled = ENROLLED
        self.radio.taught = TAUGHT if self._on_air else ()
        travels = (LeafTravel(1000),) * round(settings.number("leaves"))
        self._known = Learned(travels, tuple(settings.values().items()))
        self._most_met = round(settings.number("re-tries")) + 1
        self._plan = PLANS[settings.choice("battery-low")]
        self._counts_met = _counting(self._logic)
        self._learns: dict[tuple[int, bool], tuple[Learn, tuple[int, ...]]] = {}
        self._off = (False,) * len(INPUTS)

    @property
    def leaves(self) -> StandIn:
        """The stand-in, for the events that the environment chooses."""
        return self._drive

    @property
    def battery_matters(self) -> bool:
        """Whether a low battery changes what the gate may do."""
        return self._plan.goes is not None or bool(self._plan.bars)

    # Putting a state back -------------------------------------------------------------------------

    def put_state(
        self,
        kernel: Kernel,
        before: int,
        now: int,
        pause: int = LATER,
        start: int = LATER,
        least: int = NOW,
        rested: int = LATER,
    ) -> None:
        """Be in a state, just before a scan; `before` and `now` are masks of what stands at the screws.

        pause, start, least, rested: when those timers are due.
        """
        was, stands = found(before), found(now)
        signals, logic, drive = self.signals, self._logic, self._drive
        signals.volts = stands.volts
        self._volts = was.volts
        signals.powered = self._powered = kernel.powered
        self._waking = False  # found at once when power comes: found later leads to the same states
        if kernel.powered:
            self._inputs.put(was.levels, stands.levels, LONG_AGO)
        else:
            self._inputs.put(self._off, self._off, LONG_AGO)
        self._guards.look(self._inputs.made, self._uses)  # the permits of the last scan: the book asks them
        if self._on_line:
            self._put_line(was, stands, before, kernel.powered)
        if self._on_air:
            self._put_air(was, stands)
        self._guards.failed = kernel.failed
        self._timers.clear()
        if kernel.pause:
            self._timers.set(Timer.PAUSE, pause)
        if kernel.start:
            self._timers.set(Timer.START, start)
        self._starts.put(kernel.start, least)
        drive.doing = kernel.doing
        drive.event = None
        drive.unput = False
        logic.chart.condition = kernel.condition
        logic.learned = self.work.learned = kernel.learned
        logic.fault = kernel.fault
        logic.met = kernel.met
        logic.called = kernel.called
        self.work.data = self._known if kernel.learned else None
        self.work.put(kernel.busy, self._learn(kernel.learning, start) if kernel.learning else None)
        self._put_charge(kernel.charge, rested)
        self.happened.clear()
        self.heard_calls = self.refused = False
        self._wake = 0

    def _put_line(self, was: Found, stands: Found, before: int, powered: bool) -> None:
        """The last poll has found what stands there, long enough ago for it to count in this scan."""
        line, guards = self.line, self._guards
        self.signals.line = line.seen = stands.line
        line._taken = stands.line if powered else SILENT
        line._poll = None
        line.due = NOW if powered else None
        line._found = {**stands.words} if powered else {}
        line._states = {**was.words} if powered else {}
        line._since = dict.fromkeys(stands.words, LONG_AGO)
        line.version = 2 * before + (0 if powered else 1 << 20)  # so that each is looked at, and none twice
        guards.look_at_line(line)

    def _put_air(self, was: Found, stands: Found) -> None:
        """What has just been sent was not heard before, so its count is ahead of the last that was."""
        radio = self.radio
        radio.seen, self.signals.heard = was.air, stands.air
        radio._held = {**was.held}
        radio._counts = {one.serial: 0 for one in TAUGHT}
        radio._far = {}
        radio.words, radio.untold = "", False

    def _put_charge(self, charge: Charge, rested: int) -> None:
        signals, battery = self.signals, self._battery
        signals.supply, signals.on_mains = SUNK if charge.sunk else WELL, not charge.sunk
        battery.low = charge.low
        battery.owed = self._plan.goes if charge.owed else None
        battery.waits = charge.waits
        if charge.rests:
            self._timers.set(Timer.BATTERY, rested)

    def _learn(self, at: tuple[int, bool], due: int) -> Learn:
        """The learn cycle at a pass that was come to before."""
        kept, counts = self._learns[at]
        learn = _twin(kept)
        if at[1]:
            learn._begins = due
        for leaf, count in zip(self._drive.leaves, counts, strict=True):
            leaf.position.count = count
        self._drive.crept = STEPS[self._drive.tuned.leaves][max(at[0], 0)].leaf or 0
        return learn

    # What the environment does --------------------------------------------------------------------

    def lose_learned(self, lost: bool) -> None:
        """What was learned fits no longer, or again: the board sees it where it takes its settings over."""
        self.work.data = None if lost else self._known
        self._version = -1

    def sink(self, sunk: bool) -> None:
        """The battery goes below its limit, or is charged."""
        self.signals.supply, self.signals.on_mains = SUNK if sunk else WELL, not sunk

    def _fire_changes(self, changes: list[tuple[Input, bool]], tick: int) -> None:
        """Note that the scan has come to where changes act: with work from the book it never does."""
        self.heard_calls = True
        super()._fire_changes(changes, tick)

    def _read_keys(self, tick: int) -> None:
        """The book's wish comes where its keys are read."""
        if self.hand is not None:
            if self.hand is Hand.MARK:
                self._drive.leaves[self._drive.crept].position.count = self._drive.way_end()
            self.refused = bool(ASKS[self.hand](self.work, tick))
        super()._read_keys(tick)

    # Taking a state -------------------------------------------------------------------------------

    def take_state(self, terminals: int) -> Kernel:
        """What the board goes by after the scan. terminals: what stands at the screws, calls left out."""
        logic, work = self._logic, self.work
        busy = work.memory()
        return Kernel(
            self._powered,
            terminals,
            logic.chart.condition,
            self._drive.doing,
            logic.pause_due is not None,
            self._starts.memory(),
            self._guards.failed if len(self._guards.failed) < 2 else self._starts.use.tested,
            logic.learned,
            logic.fault,
            min(logic.met, self._most_met) if logic.chart.condition in self._counts_met else 0,
            logic.called and self.battery_matters,
            busy,
            self._learning() if busy else None,
            self._charge() if self.battery_matters else FULL,
        )

    def _charge(self) -> Charge:
        signals, battery = self.signals, self._battery
        rests = self._timers.due(Timer.BATTERY) is not None
        return Charge(not signals.on_mains, battery.low, battery.owed is not None, battery.waits, rests)

    def learn_from(self, other: Subject) -> None:
        """Know the passes of the learn cycle that another board has come to."""
        self._learns = {
            at: (_moved(kept, self._drive), counts) for at, (kept, counts) in other._learns.items()
        }

    def _learning(self) -> tuple[int, bool] | None:
        """Where the learn cycle stands; its figures are kept, for whoever comes back to it."""
        learn = self.work._learn
        if learn is None:
            return None
        at = (learn._index, learn._begins is not None)
        if at not in self._learns:
            counts = tuple(leaf.position.count for leaf in self._drive.leaves)
            self._learns[at] = (_twin(learn), counts)
        return at

    def _put_outputs(self, tick: int) -> None:
        self._drive.put(tick, self.outputs)
        self._dirty = False


def _twin(learn: Learn) -> Learn:
    """A learn cycle that goes its own way from here."""
    twin = Learn.__new__(Learn)
    twin.__dict__.update(learn.__dict__)
    twin._travels = [*learn._travels]
    twin._from = [*learn._from]
    twin._opened = [*learn._opened]
    return twin


def _moved(learn: Learn, drive: StandIn) -> Learn:
    """The same over another drive."""
    twin = _twin(learn)
    twin._drive = drive
    return twin


def _counting(logic: Logic) -> tuple[Condition, ...]:
    """Conditions in which it matters how often shutting met something.

    Only a pause that begins asks, and each call makes it nought, as a low battery does: so those from which
    a pause can begin before anybody calls. What is permitted is left out, which can only make them more.
    """
    cells = logic.chart.program.cells
    found = {
        condition: None
        for condition, row in cells.items()
        if any(cell.response in PAUSES for cell in row.values()) or row[Stimulus.PAUSE_OVER].way
    }
    while True:
        more = [
            condition
            for condition, row in cells.items()
            for stimulus, cell in row.items()
            if stimulus not in CALLS and condition not in found
            and (cell.after in found or cell.refused in found)
        ]  # fmt: skip
        if not more:
            return tuple(found)
        found.update(dict.fromkeys(more))
