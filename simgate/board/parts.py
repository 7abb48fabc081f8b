"""What a board is made of, what it can be asked, and what it says of itself.

The order in which the parts work is board.py's alone; nothing here decides anything.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from simgate.board import display
from simgate.board.battery import Battery
from simgate.board.book import Book
from simgate.board.book_devices import DeviceBook
from simgate.board.book_words import NO_KEYS, STOP_ONLY, KeyWords
from simgate.board.chart import Chart
from simgate.board.drive import Drive
from simgate.board.guards import Guards, failed_words
from simgate.board.inputs import Inputs
from simgate.board.learn import Learned
from simgate.board.line import Line
from simgate.board.logic import Logic
from simgate.board.mode_table import Table
from simgate.board.radio import Radio
from simgate.board.relays import Lights
from simgate.board.service import Service
from simgate.board.settings import Settings
from simgate.board.signals import Acted, Note, NoteKind, Outputs, Signals
from simgate.board.starts import Starts
from simgate.board.stimuli import (
    Condition,
    Stimulus,
    Task,
)
from simgate.board.timers import Timer, Timers
from simgate.board.tuning import Tuning, tuning
from simgate.board.work import Work

MakeDrive = Callable[[list[Acted | Note], Tuning], Drive]


class Parts:
    """The parts of one control board and the questions to them. `Board` is the whole."""

    def __init__(self, settings: Settings, modes: Mapping[str, Table], drive: MakeDrive = Drive) -> None:
        self.settings = settings
        self.modes = modes
        self.signals = Signals()
        self.outputs = Outputs()
        self.happened: list[Acted | Note] = []
        self.tick = 0
        self._powered = self._waking = False
        self._inputs = Inputs()
        self._guards = Guards()
        self._timers = Timers()
        self._drive = drive(self.happened, tuning(settings))
        self._starts = Starts(
            self._inputs, self._guards, self._drive, self._timers, self.outputs, self.happened
        )
        self._battery = Battery()
        self.service = Service()
        self._lights = Lights(self.outputs, self._timers)
        self._logic = Logic(
            settings, modes, self._guards, self._drive, self._timers, self._starts, self._battery,
            self.service, self.happened,
        )  # fmt: skip
        self.work = Work(self, settings, self._drive, self._guards, self._starts)
        self.line = Line()
        self.radio = Radio()
        self.book = Book(settings, self.work, DeviceBook(self.line, self.radio, self.note))
        self._line_said: tuple[Stimulus, ...] = ()
        self._keys = 0
        self._volts: tuple[float, ...] = ()
        self._pulses = [0, 0]
        self._places: list[int | None] = [None, None]
        self._shown = ("", "")
        self._dirty = True
        self._wake = 0
        self._version = -1

    def put(self, condition: Condition, tick: int) -> None:
        """Set the condition outright, when work from the book begins or ends; no pause runs on."""
        self._logic.learned = self.work.learned
        self._logic.put(condition, tick)
        self._dirty = True
        self._wake = 0

    def note(self, tick: int, kind: NoteKind, detail: str = "") -> None:
        """Tell the bench of something that is not a cell."""
        self.happened.append(Note(tick, kind, detail))

    # What is so -----------------------------------------------------------------------------------

    @property
    def condition(self) -> Condition:
        """What the gate is doing, as the logic sees it."""
        return self._logic.chart.condition

    @property
    def chart(self) -> Chart:
        """The chart of the mode that is set, for its count of calls and the cell that acted last."""
        return self._logic.chart

    @property
    def task(self) -> Task:
        """What the board is busy with."""
        return self.work.task

    @property
    def mode(self) -> str:
        """Title of the logic mode that is set."""
        return self._logic.mode

    @property
    def learned(self) -> bool:
        """Whether a learn cycle was completed for this number of leaves."""
        return self.work.learned

    @property
    def stale(self) -> bool:
        """Whether something that the learn cycle depended on was changed since."""
        return bool(self.work.stale)

    @property
    def made(self) -> tuple[bool, ...]:
        """The filtered inputs, in INPUTS order."""
        return self._inputs.made

    def start_learn(self, tick: int) -> str:
        """Start a learn cycle as the book does. Returns why not, in plain words, or ''."""
        self._wake = 0
        return self.work.start_learn(tick)

    def place(self, leaf: int) -> int:
        """Where the board takes a leaf to be: pulses from shut."""
        return self._drive.leaves[leaf].position.count

    def learned_data(self) -> Learned | None:
        """What the learn cycle found, for `adopt`."""
        return self.work.data

    def adopt(self, learned: Learned) -> None:
        """Be a board that has already learned this gate, with every leaf now standing shut."""
        self.work.adopt(learned, self.tick)
        self._wake = 0

    def pause_left(self, tick: int) -> int:
        """ms until the gate shuts by itself, 0 when no pause runs."""
        due = self._logic.pause_due
        return 0 if due is None else max(due - tick, 0)

    @property
    def display(self) -> tuple[str, str]:
        """The two lines of the display as of the last scan's tick; blank without power."""
        return self._lines(-(-self.pause_left(self.tick) // 1000))

    @property
    def key_words(self) -> KeyWords:
        """What each of the five keys does now, in a word; '' for one that does nothing."""
        if not self._powered:
            return NO_KEYS
        return STOP_ONLY if self.task is Task.LEARN else self.book.key_words()

    def _lines(self, pause_s: int) -> tuple[str, str]:
        if not self._powered:
            return ("", "")
        if self.book.open:
            return self.book.lines()
        return display.lines(
            self.condition,
            mode=self.mode,
            task=self.task,
            cause=self._starts.words
            or self._code_refused()
            or self._logic.refusal
            or self.work.words
            or self._logic.cause
            or display.forbidden(self._guards.amiss, self._guards.uses.edge, self._guards.uses.guard_c)
            or failed_words(next(iter(self._guards.failed), None))
            or self._battery.words
            or self.line.words,
            learned=self.learned,
            stale=self.work.stale,
            pause_left=pause_s if self._logic.pause_due is not None else 0,
            known=self._drive.all_known(),
            advice=self.service.words,
        )

    def _code_refused(self) -> str:
        """Why a remote's code has just been refused, while that is shown; work from the book goes before."""
        shown = self.work.task is Task.MODE and self._timers.due(Timer.REMOTE) is not None
        return self.radio.words if shown else ""

    def state(self) -> tuple[object, ...]:
        """Everything that decides what the board does next, as plain values, for a digest."""
        return (
            self._powered, self._waking, self.condition.value, self._logic.state(), self._keys,
            self._inputs.state(), self._timers.state(), self._drive.state(), self.work.state(),
            self.book.state(),
            tuple(self.settings.values().items()), tuple(self.outputs.duty), tuple(self.outputs.limits),
            self.outputs.relays, self._starts.state(), self._lights.state(),
            tuple(one.value for one in self._guards.failed), self._battery.state(),
            self.service.state(),
            self.line.state(), self.radio.state(),
        )  # fmt: skip
