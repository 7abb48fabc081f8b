"""The gate as hands have left it, once for each suspect: what a reading there would be if that were wrong.

The table knows the gate as it was found. As soon as a core is undone or a link is in, a meter reads something
else, and somebody who lifts a core to measure along it has measured well. So the same work is done to the
copper of every suspect that is left, and the same instrument is put on it.

At rest, leaves shut: what a meter reads on a gate that moves is not worked out here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from types import SimpleNamespace
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
from simgate.practice.diagnosis.table import Faults, outcome
from simgate.wiring import faults
from simgate.wiring.copper import Copper
from simgate.wiring.harness import Harness, Solution
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


def did(harness: Harness, action: a.Action) -> None:
    """The same work on this copper; what cannot be done here is left undone."""
    check, do = HANDS[type(action)]
    bench = cast("Bench", SimpleNamespace(harness=harness))  # all that such work asks of one
    try:
        check(bench, action)
        do(bench, action)
    except UserError:
        return


def _set_up(harness: Harness, setup: Setup, its: Faults) -> None:
    """Heads and weather of the job, and these faults instead of its own."""
    for name, stands in setup.heads:
        harness.heads[name].start(stands)
    harness.let_rain(setup.rain)
    for fault in its:
        faults.inject(harness, fault)


def left_of(setup: Setup, its: Faults, done: Sequence[a.Action]) -> Faults:
    """What is left of these faults after that work. Only the copper is asked, nothing is solved."""
    copper = cast("Harness", Copper(setup.site.wiring))
    _set_up(copper, setup, its)
    for action in done:
        did(copper, action)
    return tuple(fault for fault in its if faults.present(copper, fault))


class World:
    """One gate with these faults (none: sound). `harness` is its copper, as hands have left it."""

    def __init__(self, stand: Stand, its: Faults) -> None:
        setup: Setup = stand.setup
        site = setup.site
        self.harness = TrialHarness(site.wiring)
        self.faults = its
        _set_up(self.harness, setup, its)
        self.contacts = Contacts(site, self.harness, setup.mains)
        self._line = LineWires(site, self.harness, self.contacts)
        self._wits = stand.wits
        self._plant = Plant(site.plant)

    @property
    def left(self) -> Faults:
        """Those of its faults that are still there."""
        return tuple(fault for fault in self.faults if faults.present(self.harness, fault))

    def do(self, action: a.Action) -> None:
        """The same work on this copper; what cannot be done here is left undone."""
        did(self.harness, action)

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

    true: as it is. done: the work so far. as_found: its copper is as it was found, but for what is mended.
    """

    def __init__(self, stand: Stand, truth: Faults) -> None:
        self._stand = stand
        self.true = self._settled(truth)
        self.done: list[a.Action] = []
        self.as_found = True
        self._found: dict[Faults, tuple[object, ...]] = {}
        self._others: dict[Faults, World] = {}

    @property
    def rain(self) -> float:
        """The weather when the gate was found."""
        return self._stand.setup.rain

    def again(self) -> World:
        """The gate as it was found, but for what is mended, to be worked on apart."""
        return self._settled(self.true.left)

    def _settled(self, its: Faults) -> World:
        """A gate with these faults; a fuse that they blow has blown."""
        world = World(self._stand, its)
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
        self.as_found = now in self._as_found(self.true.left)
        return now != before

    def _as_found(self, its: Faults) -> tuple[object, ...]:
        """The copper with these faults and nothing done to it, before and after what they blow has blown."""
        found = self._found.get(its)
        if found is None:
            world = World(self._stand, its)
            before = world.harness.state()
            world.settle(True, ())
            found = self._found[its] = (before, world.harness.state())
        return found

    def compared(
        self, suspects: Sequence[Faults], look: Callable[[World], Reading], tolerance: Tolerance | None
    ) -> tuple[int, ...]:
        """What each suspect shows on the copper as hands have left it, 0 for what is seen."""
        worlds = [self.true, *(self._world(its) for its in suspects)]
        return outcome([look(world) for world in worlds], tolerance)[1:]

    def _world(self, its: Faults) -> World:
        found = self._others.get(its)
        if found is None:
            found = self._others[its] = World(self._stand, its)
            for action in self.done:
                found.do(action)
        return found
