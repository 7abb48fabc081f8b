"""What every judge reads: the bench at hand-over, what happened on the way, and nothing to act with.

Goals and conduct ask the same questions of a run (what hands did, what the board noted, which mode was
set when). Answered twice, they would sooner or later be answered differently.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from simgate.bench.actions import (
    Action,
    AddLink,
    EndResistor,
    FitHead,
    FitLens,
    Mains,
    MoveWire,
    PartWire,
    RemakeWire,
    RemoveLink,
    Renew,
    ReplaceFuse,
    SetSwitches,
    SpareBeam,
    SwapWires,
    TakeBattery,
    TestPlug,
    Turn,
)
from simgate.bench.record import ScanRecord, Snapshot
from simgate.bench.setup import Setup
from simgate.board.modes import facts
from simgate.board.settings import Settings
from simgate.board.signals import Acted, Note, NoteKind
from simgate.practice import copper
from simgate.wiring.faults import Fault, FaultKind

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

MODE = "mode"  # key of the setting
COPPER_WORK = (MoveWire, SwapWires, PartWire, RemakeWire, ReplaceFuse, EndResistor)
LINK_WORK = (AddLink, RemoveLink, TestPlug, SpareBeam)
DEVICE_WORK = (Renew, SetSwitches, Turn, FitLens, FitHead)
TAUGHT = (NoteKind.ROLL_CALL, NoteKind.KEY_TAUGHT, NoteKind.KEY_ERASED)
CHANGES = (NoteKind.SETTING_KEPT, NoteKind.RESET, NoteKind.LEARN_DONE, *TAUGHT)


@dataclass(frozen=True)
class Ending:
    """A run as judged. snapshot: the bench at its end. faults: still in the copper. ticks are ms."""

    snapshot: Snapshot
    records: tuple[ScanRecord, ...]
    faults: tuple[Fault, ...]
    setup: Setup

    @classmethod
    def of(cls, bench: Bench) -> Ending:
        """The ending of a bench's run as it stands now, handed over or not."""
        return cls(bench.snapshot(), tuple(bench.records), bench.faults(), bench.setup)

    def actions(self, *kinds: type) -> Iterator[tuple[int, Action]]:
        """(tick, action) of everything that hands did; only of `kinds` when some are named."""
        for record in self.records:
            for action in record.actions:
                if not kinds or isinstance(action, kinds):
                    yield record.tick, action

    def notes(self, *kinds: NoteKind) -> Iterator[Note]:
        """What the board noted, only of `kinds` when some are named."""
        for record in self.records:
            for note in record.notes:
                if not kinds or note.kind in kinds:
                    yield note

    def acted(self) -> Iterator[Acted]:
        """Every cell of a table that acted."""
        for record in self.records:
            yield from record.acted

    @cached_property
    def start_settings(self) -> Settings:
        """What was set when the run began."""
        return Settings(facts(self.setup.modes()), dict(self.setup.settings))

    @cached_property
    def _set_up(self) -> tuple[Note, ...]:
        return tuple(self.notes(NoteKind.SETTING_KEPT, NoteKind.RESET))

    def history(self, key: str) -> tuple[tuple[int, str], ...]:
        """(tick, value as text) of a setting: as the run began, each time it was kept or put to default."""
        setting = self.start_settings.setting(key)
        changes = [(0, setting.plain(self.start_settings.place(key)))]
        for note in self._set_up:
            kept, _, value = note.detail.partition(" = ")
            if note.kind is NoteKind.RESET:
                changes.append((note.tick, setting.plain(setting.default)))
            elif kept == key:
                changes.append((note.tick, value))
        return tuple(changes)

    def set_at(self, key: str, tick: int) -> str:
        """Value of a setting at `tick`, as text without its unit."""
        return next(value for since, value in reversed(self.history(key)) if since <= tick)

    def mode_at(self, tick: int) -> str:
        """Title of the mode that was set at `tick`."""
        return self.set_at(MODE, tick)

    @cached_property
    def last_change(self) -> int:
        """Tick of the last thing that can alter how the gate behaves.

        A setting, a learn, a roll-call, a key taught or erased, work on copper or on a device.
        """
        return max([0, *(note.tick for note in self.notes(*CHANGES)), *self.work])

    @cached_property
    def work(self) -> tuple[int, ...]:
        """Tick of all work on wires, links, fuses or devices."""
        return tuple(tick for tick, _ in self.actions(*COPPER_WORK, *LINK_WORK, *DEVICE_WORK))

    @cached_property
    def last_copper(self) -> int:
        """Tick of the last work on wires, links, fuses or devices; 0 for none."""
        return max([0, *self.work])

    @cached_property
    def defeated(self) -> tuple[copper.Guard, ...]:
        """(device, terminal) of every guard that hands left without effect."""
        by_hand = [frozenset((link.a, link.b)) for _, link in self.actions(AddLink)]  # type: ignore[union-attr]
        faulty = [fault.place.split("|") for fault in self.faults if fault.kind is FaultKind.FORGOTTEN_LINK]
        hidden = frozenset((a, b) for a, b in faulty if frozenset((a, b)) not in by_hand)
        return copper.defeated(self.setup.site.wiring, self.snapshot, hidden)

    def label(self, name: str) -> str:
        """What the site calls a device."""
        return next(one.label for one in self.setup.site.wiring.devices if one.name == name)

    def fed_at_work(self, *kinds: type) -> Iterator[tuple[int, Action, str]]:
        """(tick, action, what fed the gate then, '' for nothing) for every action of `kinds`."""
        on, battery = self.setup.mains, self.setup.site.wiring.supply.battery is not None
        for tick, action in self.actions():
            if isinstance(action, Mains):
                on = action.on
            elif isinstance(action, TakeBattery):
                battery = not action.off
            if isinstance(action, kinds):
                yield tick, action, "the isolator on" if on else "the battery on" if battery else ""
