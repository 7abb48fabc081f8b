"""The Bench: hands, iron, copper and wits, coupled once every 10 ms of simulated time.

This file is the only place where the loop closes. One scan reads from the top: hands, plant, contacts,
network, board, record. Idle time is skipped when nothing could happen in it, with the same result as
stepping through it; a property test holds that.
"""

from __future__ import annotations

import hashlib

from simgate.bench import beginning, hands
from simgate.bench.actions import Action, HandOver, Probe
from simgate.bench.bridges import Bridges
from simgate.bench.contacts import Contacts
from simgate.bench.line import LineWires
from simgate.bench.loads import coil_volts, fed, sides
from simgate.bench.passers import Passers
from simgate.bench.radio import Airwaves
from simgate.bench.record import Event, ScanRecord, Sense, Snapshot
from simgate.bench.senses import Senses
from simgate.bench.setup import Setup
from simgate.bench.standby import Standby
from simgate.bench.tape import TapeWriter
from simgate.bench.view import snapshot
from simgate.board.signals import Acted, Note
from simgate.plant.plant import Plant
from simgate.wiring import faults
from simgate.wiring.harness import Harness
from simgate.wiring.spec import DeviceKind

SCAN = 10  # ms
SETTLE = 500  # ms before the learner comes; every run starts at this tick


class Bench:
    """One gate on the bench.

    setup: how the run starts. tape: where actions are written, or None for a run that nobody keeps.
    Raises UserError when the setup cannot be built.

    Attributes for scripts and judges: `tick` (ms), `records` (scans in which something happened),
    `finished`, `marked`. For everything else take a `snapshot()`.
    """

    def __init__(self, setup: Setup, tape: TapeWriter | None = None) -> None:
        self.setup = setup
        self.tape = tape
        self.tick = 0
        self._records: list[ScanRecord] = []
        self._records_told: tuple[ScanRecord, ...] = ()
        self.finished = False
        self.marked = True
        self.hints = 0
        self.inside = False
        self.probe: Probe | None = None
        self.plant = Plant(setup.site.plant)
        self._day = setup.site.plant.wind if setup.wind is None else setup.wind  # m/s
        self.harness = Harness(setup.site.wiring)
        self.through = sides(self.harness)  # devices stay where they are; views show it again and again
        self.contacts = Contacts(setup.site, self.harness, setup.mains)
        self.line = LineWires(setup.site, self.harness, self.contacts)
        self.air = Airwaves(self.harness)
        self.passers = Passers(setup.site, self.plant, self.contacts)
        self.board = beginning.board(setup)
        self.bridges = Bridges(
            setup.site.plant, self.plant, self.harness, self.board.signals, self.board.outputs
        )
        self._read_leaves, self._drive_leaves = self.bridges.read, self.bridges.drive
        self._heard: list[Event] = []  # from the copper, for this scan's record
        self._feels = self.contacts.feels
        self._standby = (
            None if self.harness.battery is None else Standby(self.harness, self.plant, self.board.outputs)
        )
        self._iron = self.harness.iron.state()  # as the leaves last had it
        self._flickered = False  # whether a core flickered when the copper was last met
        beginning.put(self, Bench)
        self.solution = self.harness.solve(self.contacts.word)
        self.senses = Senses(self.plant, self.board, self.passers)
        self._unsagged = (0.0, 0.0)  # A between which the supply goes on sagging as it does
        self._pending: list[Action] = []
        self._busy = True  # the first scan is never skipped
        self._settled = False  # whether the last solution of the copper changed nothing
        self.run(SETTLE)  # whoever comes to the gate finds it powered for a while, not just switched on
        self._records.clear()

    def take_iron(self) -> None:
        """Let the leaves have what wear has done to their hinges and stops."""
        iron = self.harness.iron
        self._iron = iron.state()
        for n, leaf in enumerate(self.plant.leaves):
            spec, drive = self.setup.site.plant.leaves[n]
            leaf.stiffen(iron.friction[n])
            leaf.move_stop(iron.stop[n])
            leaf.sag(iron.sag[n])
            leaf.loosen(iron.play[n] / spec.lever)
            leaf.ease(drive, iron.relief[n])
        self.plant.wind = self._day + iron.wind

    # What scripts call ----------------------------------------------------------------------------

    def act(self, action: Action) -> None:
        """Let hands do `action` now. Raises UserError, with nothing changed, when hands could not.

        The action is on the tape before it acts; the next scan sees it.
        """
        hands.check(self, action)
        if self.tape is not None:
            self.tape.action(self.tick, action)
        hands.do(self, action)
        self._pending.append(action)
        self._busy = True
        if isinstance(action, HandOver):
            self._scan()
            if self.tape is not None:
                self.tape.end(self.tick, self.digest())

    def run(self, ms: int) -> tuple[ScanRecord, ...]:
        """Let `ms` of simulated time pass (whole scans of 10 ms). Returns the records of that time."""
        return self._run(self.tick + ms // SCAN * SCAN, stop_at_record=False)

    def run_to_next(self, limit_ms: int) -> tuple[ScanRecord, ...]:
        """Run on to the next thing that happens, at most `limit_ms`. Returns its record, or nothing."""
        return self._run(self.tick + limit_ms // SCAN * SCAN, stop_at_record=True)

    @property
    def records(self) -> tuple[ScanRecord, ...]:
        """Every scan so far in which something happened; nobody can take one back."""
        if len(self._records_told) != len(self._records):
            self._records_told = tuple(self._records)
        return self._records_told

    def snapshot(self) -> Snapshot:
        """The bench as it stands, built now."""
        return snapshot(self)

    def tell(self, event: Event) -> None:
        """Let the next scan's record tell of something that hands or eyes found out."""
        self._heard.append(event)

    def faults(self) -> tuple[faults.Fault, ...]:
        """Faults still in the copper: for the trainer's drawer and the marks, never for the learner."""
        return faults.outstanding(self.harness)

    def fault_choices(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Kinds of fault and the places where each can be put in now: for the trainer's drawer only."""
        return tuple((kind.value, faults.places(self.harness, kind)) for kind in faults.FaultKind)

    def digest(self) -> str:
        """Short digest of the whole state, bit for bit: equal digests mean equal runs."""
        state = (
            self.tick,
            self.plant.state(),
            self.board.state(),
            self.contacts.state(),
            self.harness.state(),
            self.line.state(),
            self.air.state(),
            self.passers.state(),
            self.inside,
            self.hints,
            self.finished,
            self.marked,
            len(self._records),
        )
        return hashlib.sha256(repr(state).encode()).hexdigest()[:16]

    # Time -----------------------------------------------------------------------------------------

    def _run(self, target: int, stop_at_record: bool) -> tuple[ScanRecord, ...]:
        first = len(self._records)
        while self.tick < target and not self.finished:
            if not self._busy:
                self._skip(target)
                if self.tick >= target:
                    break
            if self._scan() and stop_at_record:
                break
        return tuple(self._records[first:])

    def _skip(self, target: int) -> None:
        """Jump over scans in which nothing could happen, to just before the next that could."""
        due = self.board.next_due(self.tick)
        wake = target + SCAN if due is None else max(due, self.tick + SCAN)
        standby = self._standby
        if standby is not None:
            left = standby.ms_to_next()
            if left is not None:
                wake = min(wake, self.tick + -(-left // SCAN) * SCAN)
        if self.contacts.beats:
            wake = min(wake, self.contacts.next_beat(self.tick))
        tick = min(wake - SCAN, target)
        if standby is not None:
            standby.skip(tick - self.tick)
        self.tick = tick

    def _scan(self) -> bool:
        """One scan. Returns whether anything happened in it."""
        tick = self.tick = self.tick + SCAN
        board = self.board
        still = self.plant.still()
        if not still:
            self.plant.step()
            self._read_leaves()
            if (self._feels or self.harness.flickers) and self.contacts.feel(self.plant.leaves):
                self._settled = False  # an end switch or an edge moved
        if (self.harness.chatters or self.contacts.broken) and self.contacts.beat(tick):
            self._settled = False  # a core with a loose strand opened or closed
        passers = self.passers
        if passers.anybody and passers.step(tick):
            self._settled = False  # a beam was broken or cleared
        new = bool(self._pending) or not self._settled or board.outputs.relays != self.contacts.relays
        if new:
            self._solve_copper()
        board.scan(tick)
        self._drive_leaves()
        if not still:
            least, most = self._unsagged
            if not least < abs(self.bridges.load()) < most:
                self._sag()
        if self._standby is not None and self._standby.step(self.solution, SCAN):
            self._settled = False
        happened = board.happened
        events = self.senses.notice(tick, happened)
        if self._heard:
            events[:0] = self._heard
            self._heard.clear()
        if passers.events:
            events[:0] = passers.events  # what the display shows stays last
            passers.events.clear()
        pending = self._pending
        # iron meets new copper in the next scan: a leaf, or the bolt of the lock
        quiet = still and not new and self._settled and board.quiet() and not passers.moving
        unmet = board.outputs.relays != self.contacts.relays  # the copper meets them in the next scan
        self._busy = not quiet or unmet or bool(happened) or bool(pending)
        if not (happened or events or pending):
            return False
        self._record(tick, happened, events)
        return True

    def _sag(self) -> None:
        """The motors pull the supply down, or let it go."""
        sag = self.harness.sag(self.bridges.load(), self.contacts.sag)
        if sag != self.contacts.sag:
            self.contacts.sag = sag
            self._settled = False

    def _solve_copper(self) -> None:
        """Contacts to network; the network to the board's input terminals and to the windings."""
        contacts, harness, signals = self.contacts, self.harness, self.board.signals
        contacts.relays = self.board.outputs.relays
        if self._iron != harness.iron.state():
            self.take_iron()
        if self._feels or harness.flickers or self._flickered:
            self._flickered = bool(harness.flickers)
            contacts.feel(self.plant.leaves)  # a switch may have been set anew under a leaf that stands
        word = contacts.now(self.solution)
        solution = harness.solve(word)
        settled = solution is self.solution and word == contacts.word
        contacts.word, self.solution = word, solution
        signals.volts, signals.powered = solution.inputs, solution.powered
        signals.supply, signals.on_mains = solution.supply, solution.on_mains
        signals.line = self.line.heard(word, solution)
        self._heard += [Event(self.tick, Sense.SEEN, words) for words in self.line.lamps(solution)]
        met = self.bridges.meet(word, solution.powered)
        # what the contacts do with it leaves it as it is: solving it once more would change nothing
        self._settled = settled or (met and contacts.now(solution) == word)
        self._unsagged = harness.sag_holds(contacts.sag)
        self.senses.lit = fed(harness, solution, DeviceKind.LAMP)
        self.senses.glows = fed(harness, solution, DeviceKind.LIGHT)
        if self.plant.lock is not None:
            self.plant.lock.volts = coil_volts(harness, solution)
        fuse = harness.overloaded(solution, self.bridges.drawn())
        if fuse:  # the copper without it is met in the next scan
            harness.blow(fuse)
            self._settled = False
            self._heard.append(Event(self.tick, Sense.HEARD, "A fuse blows"))

    def _record(self, tick: int, happened: list[Acted | Note], events: list[Event]) -> None:
        self._records.append(
            ScanRecord(
                tick,
                tuple(self._pending),
                tuple(item for item in happened if isinstance(item, Acted)),
                tuple(item for item in happened if isinstance(item, Note)),
                tuple(events),
                tuple(self.passers.told),
            )
        )
        self.passers.told.clear()
        happened.clear()
        self._pending.clear()
