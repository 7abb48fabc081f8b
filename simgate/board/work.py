"""Work from the set-up book: the learn cycle, the jog, and what was learned.

It suspends the mode: while it lasts, calls mean nothing, keys mean stop, and the permits hold as they
always do. What a completed learn cycle found is kept here through power cuts; an aborted one leaves
what was there before untouched.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

from simgate.board.arrival import Event
from simgate.board.book import Book
from simgate.board.drive import Drive, driving
from simgate.board.guards import Guards
from simgate.board.happenings import told
from simgate.board.learn import BY_HAND, NO_CURRENT, NO_POWER, PARTED, Learn, Learned, Verdict
from simgate.board.mode_table import STOPPED
from simgate.board.service import Service
from simgate.board.settings import Settings
from simgate.board.signals import LEAVES, NoteKind
from simgate.board.starts import Starts
from simgate.board.stimuli import Condition, Key, Task, Way

NOT_SHUT = "The gate is not shut"
MOVING = "The gate is moving"
BUSY = "A learn cycle runs"
NO_LEAF = "There is no leaf {0}"
STANDS = "Leaf {0} stands: at an end or held"

STOPPED_BY_WAY = {Way.OPENING: Condition.STOPPED_OPENING, Way.CLOSING: Condition.STOPPED_CLOSING}


class Busy(NamedTuple):
    """Work that runs, as a value: `waits` for its start to be made. leaf, way: of a jog that waits."""

    task: Task
    waits: bool
    leaf: int = 0
    way: Way | None = None


class Gate(Protocol):
    """What this work needs of the board beside its parts."""

    @property
    def book(self) -> Book: ...
    @property
    def service(self) -> Service: ...
    @property
    def condition(self) -> Condition: ...
    def put(self, condition: Condition, tick: int) -> None: ...
    def note(self, tick: int, kind: NoteKind, detail: str = "") -> None: ...


class Work:
    """The book's host. task: what the board is busy with.

    words: what is being done, or how the last work ended, '' when a mode is at work.
    learned: whether the learned data fits this number of leaves and how they are sensed.
    stale: what was changed since the learn cycle ('force'), '' when nothing.
    """

    def __init__(self, gate: Gate, settings: Settings, drive: Drive, guards: Guards, starts: Starts) -> None:
        self._gate = gate
        self._settings = settings
        self._drive = drive
        self._guards = guards
        self._starts = starts
        self._learn: Learn | None = None
        self._jogged: int | None = None
        self._then: tuple[int, Way] | None = None  # the jog that waits for its start to be made
        self._learn_waits = False
        self.task = Task.MODE
        self.data: Learned | None = None
        self.learned = False
        self.words = ""
        self.stale = ""

    # Questions ------------------------------------------------------------------------------------

    def due(self) -> int | None:
        """When a learn cycle that waits goes on; None when signals alone move things."""
        return self._learn.due() if self._learn else None

    def state(self) -> tuple[object, ...]:
        """Everything that later scans depend on."""
        learn = self._learn.state() if self._learn else ()
        then = (self._then[0], self._then[1].value) if self._then else ()
        waiting = (then, self._learn_waits)
        return (self.task.value, learn, self._jogged, waiting, self.data, self.words, self.stale)

    def memory(self) -> Busy | None:
        """What the board is busy with as a value, without how far a learn cycle has come."""
        if self.task is Task.MODE:
            return None
        leaf, way = self._then or (self._jogged or 0, None)
        return Busy(self.task, self.preparing, leaf, way)

    def put(self, busy: Busy | None, learn: Learn | None) -> None:
        """Be as in another moment, with the learn cycle that runs there. For the prover."""
        self.task = busy.task if busy else Task.MODE
        jogs = busy is not None and busy.task is Task.JOG
        self._learn = learn
        self._learn_waits = self.task is Task.LEARN and learn is None
        self._jogged = busy.leaf if busy and jogs else None
        self._then = (busy.leaf, busy.way) if busy and jogs and busy.way else None

    # The book's wishes ----------------------------------------------------------------------------

    def start_learn(self, tick: int) -> str:
        """Start a learn cycle. Returns why not, or ''."""
        refused = self._refusal() or self._guards.whole()
        if not refused and self._drive.away():
            refused = NOT_SHUT
        if not refused:
            self._gate.put(Condition.STOPPED_CLOSING, tick)
            self._drive.stop(tick)
            self.task = Task.LEARN
            self.words = ""
            self._learn_waits = True
            self._gate.note(tick, NoteKind.LEARN_STARTED)
            self._begin(Way.OPENING, tick)
        return refused

    def jog(self, leaf: int, way: Way | None, tick: int) -> str:
        """Move one leaf slowly until told None. Returns why not, or ''."""
        if way is None:
            self._end_jog(tick, "")
            return ""
        refused = self._refusal() or self._guards.permit(way, test_follows=True)
        if leaf >= self._drive.tuned.leaves:
            refused = NO_LEAF.format(LEAVES[leaf])
        if not refused:
            self._gate.put(STOPPED_BY_WAY[way], tick)
            self._drive.stop(tick)
            self._then = (leaf, way)
            self._jogged = leaf
            self.task = Task.JOG
            self.words = f"Leaf {driving(leaf, way)}"
            self._gate.note(tick, NoteKind.JOG, driving(leaf, way))
            self._begin(way, tick)
        return refused

    def setting_kept(self, key: str, value: str, tick: int) -> None:
        """The book has put a new value into force."""
        self._gate.note(tick, NoteKind.SETTING_KEPT, f"{key} = {value}")

    def counts(self) -> tuple[int, int]:
        """Cycles in all, and since the last service."""
        service = self._gate.service
        return service.cycles, service.since

    def service_done(self, tick: int) -> None:
        """Service was done: its counter begins anew."""
        self._gate.service.done()
        self._gate.note(tick, NoteKind.SERVICE, str(self._gate.service.cycles))

    def reset_done(self, tick: int) -> None:
        """The book has put every setting back."""
        self._gate.note(tick, NoteKind.RESET)

    # A start of its own ---------------------------------------------------------------------------

    @property
    def preparing(self) -> bool:
        """Whether a jog or a learn cycle waits for its start to be made."""
        return self._learn_waits or self._then is not None

    def _begin(self, way: Way, tick: int) -> None:
        self._starts.begin(way, tick)
        if self._starts.advance(tick):
            self.set_off(tick)

    def set_off(self, tick: int) -> None:
        """The start is made: drive, unless a guard failed its test or did not come back."""
        if self._learn_waits:
            self._learn_waits = False
            reason = self._guards.whole() or next(filter(None, map(self._guards.untrusted, Way)), "")
            if reason:
                self._abort(PARTED.format(reason), tick)
            else:
                self._learn = Learn(self._drive, tick)
        elif self._then is not None:
            (leaf, way), self._then = self._then, None
            reason = self._guards.permit(way)
            if reason:
                self._end_jog(tick, reason)
            else:
                self._drive.jog(leaf, way, tick)

    def _refusal(self) -> str:
        if self.task is Task.LEARN:
            return BUSY
        return MOVING if self._gate.condition in STOPPED or self._drive.relieving else ""

    # Happenings -----------------------------------------------------------------------------------

    def key(self, key: Key, down: bool, tick: int) -> None:
        """A key goes down or up: the book's, unless a learn cycle runs."""
        if self.task is not Task.LEARN:
            (self._gate.book.press if down else self._gate.book.release)(key, tick)
        elif down and key is Key.BACK:
            self._abort(BY_HAND, tick)
        elif down and self._learn is not None:
            self._learn.mark(tick)

    def scan(self, tick: int, event: Event | None) -> bool:
        """One scan of the work; `event` is the drive's. True when the words have changed."""
        before = self.words
        if self._learn is not None:
            self._scan_learn(self._learn, tick, event)
        elif event is not None and self._jogged is not None:
            standing = event in (Event.ARRIVED, Event.BLOCKED, Event.HELD)
            other = NO_CURRENT if event is Event.DEAD else told(event, self._drive)[1]
            words = STANDS if standing else other
            self._end_jog(tick, words.format(LEAVES[self._jogged]))
        return self.words != before

    def forbidden(self, reason: str, tick: int) -> None:
        """A guard has just forbidden the movement that was being made."""
        if self.task is Task.LEARN:
            self._abort(PARTED.format(reason), tick)
        elif self._jogged is not None:
            self._end_jog(tick, reason)

    def power_down(self, tick: int) -> None:
        """The power went. What it ended a learn cycle with is to be read when it returns."""
        if self.task is Task.LEARN:
            self._abort(NO_POWER, tick)
        elif self._jogged is not None:
            self.words = ""
        self._jogged = self._then = None
        self.task = Task.MODE

    def _scan_learn(self, learn: Learn, tick: int, event: Event | None) -> None:
        reason = self._guards.whole()
        if reason:
            self._abort(PARTED.format(reason), tick)
            return
        verdict = learn.scan(tick, event)
        if verdict is Verdict.ABORTED:
            self._abort(learn.words, tick)
        elif verdict is Verdict.DONE:
            self._learn = None
            self.task = Task.MODE
            self.data = Learned(learn.travels, tuple(self._settings.values().items()))
            self.words = ""
            self.settings_changed(tick)
            self._gate.put(Condition.SHUT, tick)
            self._gate.note(tick, NoteKind.LEARN_DONE)
        elif learn.words != self.words:
            self.words = learn.words
            self._gate.note(tick, NoteKind.LEARN_STEP, learn.words)

    def _abort(self, words: str, tick: int) -> None:
        if self._learn is not None:
            self._learn.stop(tick, words)
        self._starts.cancel()
        self._learn_waits = False
        self._learn = None
        self.task = Task.MODE
        self.words = words
        self._drive.lose_place()
        self.settings_changed(tick)
        self._gate.put(Condition.STOPPED_CLOSING, tick)
        self._gate.note(tick, NoteKind.LEARN_ABORTED, words)

    def _end_jog(self, tick: int, words: str) -> None:
        if self._jogged is None:
            return
        self._drive.stop(tick)
        self._starts.cancel()
        self._jogged = self._then = None
        self.task = Task.MODE
        self.words = ""
        if self._drive.shut():
            self._gate.put(Condition.SHUT, tick)
        if words:
            self._gate.book.jog_ended(words)

    # What was learned -----------------------------------------------------------------------------

    def adopt(self, data: Learned, tick: int) -> None:
        """Take over what another board learned, with this gate standing shut."""
        self.data = data
        self.settings_changed(tick)
        if self.learned:
            for leaf in self._drive.leaves:
                leaf.position.refer(0)
            self._gate.put(Condition.SHUT, tick)

    def settings_changed(self, tick: int) -> None:
        """See whether the learned data still fits and is fresh."""
        data, tuned = self.data, self._drive.tuned
        self.learned = data is not None and data.fits(tuned.leaves, tuned.sensing.value)
        if self._learn is not None:
            return
        self._drive.take(data.leaves if data is not None and self.learned else None)
        was, self.stale = self.stale, self._settings.stale_since(dict(data.settings)) if data else ""
        if self.stale and not was:
            self._gate.note(tick, NoteKind.STALE, self.stale)
