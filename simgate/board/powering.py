"""What the coming and going of power do to a board, and how it takes its settings over.

Settings and learned data survive a power cut, nothing else: the board wakes with no call, no order and no
place, for the leaves may have been moved by hand meanwhile. Where a sensor on the leaf or an END switch tells
the place of every leaf, the gate wakes shut or open; else it has stopped somewhere. No pause runs either way.
"""

from __future__ import annotations

from collections.abc import Mapping

from simgate.board.drive import Drive
from simgate.board.guards import Uses
from simgate.board.inputs import Band
from simgate.board.mode_table import Table
from simgate.board.parts import MakeDrive, Parts
from simgate.board.settings import Settings
from simgate.board.signals import NoteKind
from simgate.board.starts import Use
from simgate.board.stimuli import Condition, Key, Relay, Task
from simgate.board.tuning import tuning


class Powered(Parts):
    """A board as power and settings make it."""

    def __init__(self, settings: Settings, modes: Mapping[str, Table], drive: MakeDrive = Drive) -> None:
        super().__init__(settings, modes, drive)
        self._take_settings(0)

    def _power(self, tick: int) -> bool:
        """Whether there is power; what its coming and going do."""
        on = self.signals.powered
        if on is not self._powered:
            self._powered = on
            self.note(tick, NoteKind.POWER, "on" if on else "off")
            if on:
                self._power_up(tick)
            else:
                self._power_down(tick)
        if not on:
            self._volts, self._keys = self.signals.volts, self.signals.keys
            self.line.seen, self.radio.seen = self.signals.line, self.signals.heard
        return on

    def _power_up(self, tick: int) -> None:
        """Nothing moves: contacts and keys that are made already are no calls."""
        signals = self.signals
        self._volts = signals.volts
        self._keys = signals.keys
        self._inputs.start(signals.volts)
        self.line.start(signals.line)
        self.radio.start(signals.heard)
        self._guards.look_at_line(self.line)
        self._guards.look_at(self._inputs, self._uses)
        self._drive.start(signals, self._inputs.made, tick)
        self._waking = True
        self._look_how_it_stands(tick)
        self.outputs.put(Relay.TEST, True)
        if signals.keys >> list(Key).index(Key.KEEP) & 1:
            self.book.offer_reset()

    def _look_how_it_stands(self, tick: int) -> None:
        """A gate that woke, and was asked nothing since, is shut or open once its place is known.

        A sensor may need a moment to be heard.
        """
        mode = self.work.task is Task.MODE and not self._starts.pending
        if not mode or self.condition is not Condition.STOPPED_CLOSING:
            self._waking = False
        elif self._drive.all_known():
            self._waking = False
            for condition, stands in ((Condition.SHUT, self._drive.shut), (Condition.OPEN, self._drive.wide)):
                if stands():
                    self._logic.put(condition, tick)
            self._dirty = True

    def _power_down(self, tick: int) -> None:
        """All is forgotten but settings and learned data; the leaves may be moved by hand meanwhile."""
        self.work.power_down(tick)
        self._drive.clear()
        self._starts.cancel()
        self._timers.clear()
        self._lights.clear()
        self._battery.clear()
        self._inputs.clear()
        self.line.stop(self.signals.line)
        self.radio.start(self.signals.heard)
        self._guards.look_at_line(self.line)
        self._guards.look_at(self._inputs, self._uses)
        self.book.leave()
        self._waking = False
        self._logic.put(Condition.STOPPED_CLOSING, tick)
        self.outputs.relays = 0

    def _take_settings(self, tick: int) -> None:
        """Take the settings over, when one has changed."""
        settings = self.settings
        if settings.version == self._version:
            return
        self._version = settings.version
        self._filter = round(settings.number("input-filter"))
        self._uses = Uses.of(settings)
        self._inputs.take(Band.of(settings), tick)
        self._lights.take(settings)
        self._battery.take(settings)
        self.service.every = round(settings.number("service-after"))
        self._starts.use = Use.of(settings)
        self._guards.trust_untested(self._starts.use.tested)
        self._guards.look_at(self._inputs, self._uses)
        self._drive.tune(tuning(settings), self.signals)
        self._drive.look(self._inputs.made, tick)
        self.work.settings_changed(tick)
        self._logic.settings_changed(tick, self.work.learned)
