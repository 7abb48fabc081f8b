"""The gate as hands have left it, once for each suspect: what a reading there would be if that were wrong.

The table knows the gate as it was found. As soon as a core is undone or a link is in, a meter reads something
else, and somebody who lifts a core to measure along it has measured well. So the same work is done to the
copper of every suspect that is left, and the same instrument is put on it.

At rest, leaves shut: what a meter reads on a gate that moves is not worked out here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, cast

from simgate.bench import actions as a
from simgate.bench.contacts import Contacts
from simgate.bench.copper import COPPER
from simgate.bench.device_hands import DEVICES
from simgate.bench.line import LineWires
from simgate.bench.setup import Setup
from simgate.board.stimuli import Relay
from simgate.files import UserError
from simgate.plant.plant import Plant
from simgate.practice.diagnosis.costs import Tolerance
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.stand import ROUNDS, Stand
from simgate.practice.diagnosis.table import Table, outcome
from simgate.wiring import faults
from simgate.wiring.faults import Fault
from simgate.wiring.harness import Solution
from simgate.wiring.meter import Instrument, read
from simgate.wiring.trial import TrialHarness

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

CHANGES = (
    a.AddLink, a.RemoveLink, a.PartWire, a.RemakeWire, a.MoveWire, a.SwapWires, a.ReplaceFuse, a.EndResistor,
    a.Renew, a.SetSwitches, a.Turn, a.FitLens, a.CleanLens, a.FitHead, a.TestPlug, a.SpareBeam, a.TakeBattery,
    a.Rain,
)  # fmt: skip
HANDS = {**COPPER, **DEVICES}


class World:
    """One gate with one fault (None: sound). `harness` is its copper, as hands have left it."""

    def __init__(self, stand: Stand, fault: Fault | None) -> None:
        setup: Setup = stand.setup
        site = setup.site
        self.harness = TrialHarness(site.wiring)
        for name, stands in setup.heads:
            self.harness.heads[name].start(stands)
        self.harness.let_rain(setup.rain)
        self.fault = fault
        if fault is not None:
            faults.inject(self.harness, fault)
        self.contacts = Contacts(site, self.harness, setup.mains)
        self._line = LineWires(site, self.harness, self.contacts)
        self._wits = stand.wits
        self._plant = Plant(site.plant)

    @property
    def mended(self) -> bool:
        """Whether its fault is there no longer."""
        return self.fault is not None and not faults.present(self.harness, self.fault)

    def do(self, action: a.Action) -> None:
        """The same work on this copper; what cannot be done here is left undone."""
        check, do = HANDS[type(action)]
        bench = cast("Bench", self)  # all that work on copper and heads asks of one is its harness
        try:
            check(bench, action)
            do(bench, action)
        except UserError:
            return

    def settle(self, mains: bool, worked: Iterable[str]) -> Solution:
        """The copper at rest with these buttons, edges and beams worked; a fuse that goes has gone."""
        contacts, harness = self.contacts, self.harness
        contacts.mains, contacts.relays = mains, Relay.TEST.value if mains else 0
        names = frozenset(worked)
        for ways in (contacts.down, contacts.blocked):
            for name in ways:
                ways[name] = name in names
        contacts.feel(self._plant.leaves)
        while True:
            solution = self._agreed(harness.solve(harness.word_at_rest() if mains else harness.word_dead()))
            fuse = harness.overloaded(solution, [0.0] * len(self._plant.leaves))
            if not fuse:
                return solution
            harness.blow(fuse)

    def _agreed(self, solution: Solution) -> Solution:
        for _ in range(ROUNDS):
            word = self.contacts.now(solution)
            if word == solution.word:
                break
            solution = self.harness.solve(word)
        return solution

    def measured(self, solution: Solution, probe: a.Probe) -> Reading:
        """What an instrument reads."""
        still = [0.0] * len(self._plant.leaves)
        instrument = Instrument(probe.instrument)
        found = read(instrument, self.harness, solution.word, still, still, probe.a, probe.b)
        return found.text if instrument is Instrument.CONTINUITY else found.value

    def shown(self, solution: Solution) -> Reading:
        """Display and input lamps."""
        seen = self._wits.shown(solution, self._line.heard(solution.word, solution))
        return seen.display, seen.made


class Worlds:
    """The gate as it is, and as it would be for each suspect, all of them after the same work.

    true: as it is. done: the work so far. as_found: its copper is as it was found.
    """

    def __init__(self, stand: Stand, table: Table, actual: int) -> None:
        self._stand, self._table = stand, table
        self._fault = table.faults[actual - 1]
        self.true = self.again()
        self.done: list[a.Action] = []
        self.as_found = True
        self._found = self.state
        self._others: dict[int, World] = {}

    @property
    def rain(self) -> float:
        """The weather when the gate was found."""
        return self._stand.setup.rain

    def again(self) -> World:
        """The gate as it was found, to be worked on apart; a fuse that its fault blows has blown."""
        world = World(self._stand, self._fault)
        world.settle(self._stand.setup.mains, ())
        return world

    @property
    def state(self) -> tuple[object, ...]:
        """The copper as it is."""
        return self.true.harness.state()

    def do(self, action: a.Action) -> bool:
        """Work, in every world. Whether it changed anything."""
        before = self.state
        for world in (self.true, *self._others.values()):
            world.do(action)
        self.done.append(action)
        now = self.state
        self.as_found = now == self._found
        return now != before

    def mended(self, suspects: Sequence[int]) -> frozenset[int]:
        """The suspects that this work would have mended."""
        return frozenset(one for one in suspects if self._world(one).mended)

    def compared(
        self,
        suspects: Sequence[int],
        mains: bool,
        worked: Sequence[str],
        look: Callable[[World, Solution], Reading],
        tolerance: Tolerance | None,
    ) -> tuple[int, ...]:
        """What each suspect shows on the copper as hands have left it, 0 for what is seen."""
        worlds = [self.true, *(self._world(one) for one in suspects)]
        readings = [look(world, world.settle(mains, worked)) for world in worlds]
        return outcome(readings, tolerance)[1:]

    def _world(self, suspect: int) -> World:
        found = self._others.get(suspect)
        if found is None:
            found = self._others[suspect] = World(self._stand, self._table.faults[suspect - 1])
            for action in self.done:
                found.do(action)
        return found
