"""The board: one scan of its program, in the order in which it happens.

`Board.scan` is the only place where inputs, book, guards, chart, drive and outputs meet, so that no
two of them can disagree about the order. It must be called with rising ticks; calls in which no signal
changed and nothing is due cost next to nothing, and may be left out altogether. What it is made of and can
be asked stands in parts.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from simgate.board.guards import EDGES, GUARDING
from simgate.board.happenings import told
from simgate.board.leaf import SCAN_MS
from simgate.board.mode_table import WAYS
from simgate.board.powering import Powered
from simgate.board.radio import Use as Wanted
from simgate.board.relays import Facts
from simgate.board.signals import NoteKind
from simgate.board.stimuli import (
    INPUTS,
    Condition,
    Input,
    Key,
    Relay,
    Stimulus,
    Task,
    Way,
)
from simgate.board.timers import Timer

PASSED = (Input.GUARD_C, True)  # whatever broke GUARD-C is through
NEVER = 1 << 62
REFUSED_MS = 5_000  # how long the display says why a remote's code was refused

CALLED: Mapping[Wanted, Input] = {Wanted.CALL: Input.CALL, Wanted.PART: Input.PART}
"""What a remote's key calls for -> the terminal that calls for the same."""


class Board(Powered):
    """One control board with its settings and the modes it carries, by title.

    signals: what it sees, written by the bench. outputs: what it drives. happened: cells that acted and
    notes, in order, for the bench to drain. Settings and learned data survive a power cut, nothing else.
    """

    # The scan -------------------------------------------------------------------------------------

    def scan(self, tick: int) -> None:
        """One scan at `tick` ms: signals in, outputs out."""
        self.tick = tick
        if tick >= self._wake or self._surroundings_changed():
            self._take_settings(tick)
            if self._power(tick):
                changes = self._read_inputs(tick)
                self._read_keys(tick)
                self._look_at_guards(changes)
                self._read_line(tick)
                self._fire_chart(changes, tick)
                self._mind_battery(tick)
            self._dirty = True
        if self._powered and not (self._drive.quiet and self._leaves_at_rest()):
            self._drive_leaves(tick)
        if self._waking:
            self._look_how_it_stands(tick)
        if self._dirty or self._drive.unput:
            self._check_permits(tick)
            self._put_outputs(tick)

    def _surroundings_changed(self) -> bool:
        """Whether anything but the leaves is not as it was at the last scan."""
        signals = self.signals
        return (
            signals.volts is not self._volts
            or signals.keys != self._keys
            or signals.powered is not self._powered
            or signals.line is not self.line.seen
            or signals.heard is not self.radio.seen
            or self.settings.version != self._version
            or (
                self._powered
                and (self._battery.low or not signals.on_mains)
                and self._drive.quiet
                and self._battery.differs(signals.supply, signals.on_mains)
            )
        )

    def _leaves_at_rest(self) -> bool:
        """Of leaves that nothing drives: whether nobody moves them, and nothing waits for them."""
        signals = self.signals
        if self.work.task is not Task.MODE:
            return False
        return signals.pulses == self._pulses and signals.places == self._places

    def _read_inputs(self, tick: int) -> list[tuple[Input, bool]]:
        volts = self.signals.volts
        if volts is self._volts and self._inputs.due is None:
            return []
        self._volts = volts
        return self._inputs.read(volts, tick, self._filter)

    def _read_keys(self, tick: int) -> None:
        """Hand key edges and held keys to whoever has the keys: the book, or a learn cycle."""
        keys = self.signals.keys
        changed = keys ^ self._keys
        due = self.book.due(tick)
        if changed or (due is not None and due <= tick):
            self._keys = keys
            self.book.tick(tick)
            for bit, key in enumerate(Key):
                if changed >> bit & 1:
                    self.work.key(key, bool(keys >> bit & 1), tick)
        self._take_settings(tick)

    def _look_at_guards(self, changes: list[tuple[Input, bool]]) -> None:
        """Work out the permits again; a refusal that named a terminal may no longer hold."""
        self._guards.look_at(self._inputs, self._uses)
        if changes:
            self._drive.look(self._inputs.made, self.tick)
        if any(one in GUARDING for one, _ in changes):
            self._logic.refusal = ""

    def _read_line(self, tick: int) -> None:
        """Poll the line; what it forbids joins the permits."""
        self._line_said = self.line.scan(self.signals.line, tick, self._filter)
        self._guards.look_at_line(self.line)
        if self._line_said:
            self._logic.refusal = ""

    def _remotes_said(self, tick: int) -> Iterator[Stimulus]:
        """What remotes call for; letting go of one is nothing while a contact calls for the same."""
        self.radio.listening = self.book.teaching
        pressed = self.radio.scan(self.signals.heard)
        if self.radio.untold:
            self.radio.untold = False
            self.note(tick, NoteKind.CODE_REFUSED, self.radio.words)
            self._timers.set(Timer.REMOTE, tick + REFUSED_MS)
        for use, down in pressed:
            if use is Wanted.LIGHT:
                if down:
                    self._lights.call(tick)
                continue
            made = self._inputs.made[INPUTS.index(CALLED[use])]
            if down or not (made or self.radio.holds(use)):
                yield EDGES[CALLED[use], down]

    def _fire_chart(self, changes: list[tuple[Input, bool]], tick: int) -> None:
        """Let what changed act on the logic, unless work from the book has suspended it.

        Guards come before calls: a call in the scan in which an edge is pressed meets a gate that gives way.
        """
        called = tuple(self._remotes_said(tick))
        mode = self.work.task is Task.MODE
        if mode:
            self._fire_changes([change for change in changes if change[0] in GUARDING], tick)
            for stimulus in self._line_said:
                self._logic.fire(stimulus, tick)
            self._fire_changes([change for change in changes if change[0] not in GUARDING], tick)
            for stimulus in called:
                self._logic.fire(stimulus, tick)
        due = self._timers.take(tick)  # only now: what has just been dropped is not due any more
        if mode and Timer.PAUSE in due:
            self._logic.pause_over(tick)
        if Timer.LAMP in due:
            self._lights.flash(tick)
        if self._starts.pending:
            self._prepare(tick)

    def _fire_changes(self, changes: list[tuple[Input, bool]], tick: int) -> None:
        for change in changes:
            if self._starts.hides(change[0]):
                continue
            if change in EDGES:
                self._logic.fire(EDGES[change], tick)
            if change == PASSED:
                self._logic.fire(Stimulus.PASSED, tick)

    def _mind_battery(self, tick: int) -> None:
        """Judge the battery while nothing is driven, and go where a low one is to find the gate."""
        if self._drive.quiet:
            self._battery.look(self.signals.supply, self.signals.on_mains)
        if self._battery.owed is not None and self.work.task is Task.MODE:
            self._logic.go_for_battery(tick)

    def _prepare(self, tick: int) -> None:
        """Take the start that is being made further; what the test has left open counts from now on."""
        starts = self._starts
        asked = [one for one in INPUTS if starts.hides(one)]
        before = self.condition
        goes = starts.advance(tick)
        if self.work.preparing:
            stop = self._guards.amiss.get(Input.STOP)
            if stop:
                self.work.forbidden(stop, tick)
            if goes:
                self.work.set_off(tick)
            return
        for one in asked:
            if not starts.hides(one) and not self.made[INPUTS.index(one)]:
                self._logic.fire(EDGES[one, False], tick)
        if goes and self.condition is before:
            self._logic.set_off(tick)

    def _drive_leaves(self, tick: int) -> None:
        event = self._drive.scan(tick, self.signals, self.outputs)
        self._pulses[:], self._places[:] = self.signals.pulses, self.signals.places
        if self.work.task is not Task.MODE:
            self._dirty |= self.work.scan(tick, event)
        elif event is not None and not self._starts.stroking:
            stimulus, words = told(event, self._drive)
            before = self.condition
            # who is met presses the edge too: seen only after the gate has turned round, it would stop it
            # there, and hold against the leaf whoever it was to let go
            if stimulus is Stimulus.OBSTACLE and self._inputs.hurry_edge():
                self._guards.look_at(self._inputs, self._uses)
                self._logic.fire(Stimulus.EDGE_AMISS, tick)
            if self.condition is before:
                self._logic.fire(stimulus, tick, words)
            self._dirty = True

    def _check_permits(self, tick: int) -> None:
        """The last gate: whatever ordered a movement, no leaf is driven where it is not permitted."""
        # a mode may have turned round or give way; the book's work never does, and who shuts never turned
        turning = self.work.task is Task.MODE and self.condition is not Condition.CLOSING
        for way in self._drive.ways():
            # whoever is pressed is let go, also where a guard has just failed its test
            reason = self._guards.permit(way, turning, test_follows=self._drive.relieving)
            if reason:
                self._drive.stop(tick)
                self.work.forbidden(reason, tick)

    def _put_outputs(self, tick: int) -> None:
        self._drive.put(tick, self.outputs)
        self._show(tick)
        self._dirty = False
        if self.task is Task.MODE and self.condition in WAYS:
            self.work.words = ""  # how the last work from the book ended is old news by now
        shown = self._lines(round(self.settings.number("pause")))
        if shown != self._shown:
            self._shown = shown
            self.note(tick, NoteKind.DISPLAY, " | ".join(shown))
        self._wake = self._next_wake(tick)

    # Outputs --------------------------------------------------------------------------------------

    def _show(self, tick: int) -> None:
        """Lamp and light; in a learn cycle the lock is held drawn while a leaf opens."""
        self._lights.show(
            Facts(
                moving=not self._drive.quiet or self.work.task is Task.LEARN or self._starts.warning,
                pausing=self._logic.pause_due is not None,
                shut=self.condition is Condition.SHUT,
                fault=self._logic.fault or bool(self._guards.failed),
                made=self._inputs.made,
            ),
            tick,
        )
        locked = self._starts.use.lock != "not fitted"
        learning = locked and self.work.task is Task.LEARN and Way.OPENING in self._drive.ways()
        self.outputs.put(Relay.LOCK, learning or self._timers.due(Timer.LOCK) is not None)

    def lamp_flashes(self) -> bool:
        """Whether the relay of the lamp goes on and off."""
        return self._timers.due(Timer.LAMP) is not None

    # What comes next ------------------------------------------------------------------------------

    def _next_wake(self, tick: int) -> int:
        dues = (self._timers.next(), self._inputs.due, self.line.due, self.book.due(tick), self.work.due())
        return min((due for due in dues if due is not None), default=NEVER)

    def next_due(self, tick: int) -> int | None:
        """The earliest later scan that could do anything while signals stay as they are; None: none."""
        if not self._drive.quiet:
            return tick + SCAN_MS
        if self._wake >= NEVER:
            return None
        return max(-(-self._wake // SCAN_MS) * SCAN_MS, tick + SCAN_MS)

    def quiet(self) -> bool:
        """No leaf is driven or about to be: with signals at rest, time may jump to `next_due`."""
        return self._drive.quiet
