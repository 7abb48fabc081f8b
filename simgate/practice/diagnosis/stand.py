"""A gate to try faults on: what every look at it tells while one fault is in, simulated part by part.

Copper, contacts, board and leaves are those of the bench, brought into each state and solved once; nothing is
run in time except a jogged leaf. The copper of a state is settled: relays of beams and the limit of AUX+ have
followed what feeds them. A fuse that a fault blows has blown.

What is not looked at: a board that has learned (its display names the same open terminals); the loading of a
voltmeter's 10 Mohm (below its tolerance on any site); the diode test. Heads of the line are the one thing on
a site that it answers to, and there it parts no faults that the other looks leave together (tried at
mews-double); what hands read with it is worked out in every suspect's copper (`worlds.py`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from simgate.bench.contacts import Contacts
from simgate.bench.line import LineWires
from simgate.bench.setup import Setup
from simgate.board.stimuli import Relay
from simgate.files import UserError
from simgate.plant.plant import Plant
from simgate.practice.diagnosis.brought import brought
from simgate.practice.diagnosis.costs import typical
from simgate.practice.diagnosis.dead import DeadCopper, Reading
from simgate.practice.diagnosis.eyes import Eyes
from simgate.practice.diagnosis.leaves import JOGGED_AT, Gauge, TrialLeaves
from simgate.practice.diagnosis.lifted import LiftedCores
from simgate.practice.diagnosis.observation import How, Observation, observations
from simgate.practice.diagnosis.states import LIFTED, State, StateKind, states
from simgate.practice.diagnosis.wits import Driven, Shown, Wits
from simgate.wiring import faults
from simgate.wiring.faults import Fault
from simgate.wiring.harness import Solution
from simgate.wiring.trial import TrialHarness

DEAD = (StateKind.DEAD, StateKind.DEAD_SWUNG, StateKind.TUGGED)
ROUNDS = 8  # of contacts and copper until they agree; a relay that chatters is taken as it is then
MOVED = 0.002  # rad or m; less is not seen


class Stand:
    """One site set up as a job starts it, without its faults. `looks` are its observations."""

    def __init__(self, setup: Setup) -> None:
        site = setup.site
        self.setup = setup
        self.harness = TrialHarness(site.wiring)
        self.harness.let_rain(setup.rain)
        self._contacts = Contacts(site, self.harness, mains=True)
        self._line = LineWires(site, self.harness, self._contacts)
        self._plant = Plant(site.plant)
        self._reach = tuple(leaf.reach for leaf, _ in site.plant.leaves)
        self.wits = Wits(setup, self._line.enrolled(setup.strangers))
        self._states = states(site)
        self.looks: tuple[Observation, ...] = observations(self.harness, self._states)
        self._by_state: dict[State, list[tuple[int, Observation]]] = {state: [] for state in self._states}
        for number, look in enumerate(self.looks):
            self._by_state[look.state].append((number, look))
        self._word = self._contacts.word
        self._words: dict[State, int] = {}
        self._index = self.harness.network.index
        self._dead = DeadCopper(self.harness)
        self._lifted = LiftedCores(self.harness, self._contacts)
        self._leaves = TrialLeaves(setup, self.harness)
        self._eyes = Eyes(self.harness, self._line, self._leaves)
        self.readings: list[Reading] = []
        self.read(None)

    def faults(self) -> tuple[Fault, ...]:
        """Every single fault that the site can have, each as far gone as is usual."""
        return tuple(
            typical(kind, place) for kind in faults.FaultKind for place in faults.places(self.harness, kind)
        )

    def read(self, *given: Fault | None) -> list[Reading]:
        """What each of `looks` tells with these faults in, all at once; of a sound gate with none."""
        return self._read(given, self._by_state)

    def some(self, numbers: Sequence[int], *given: Fault | None) -> tuple[Reading, ...]:
        """The same for these looks alone; no other state is simulated."""
        by_state: dict[State, list[tuple[int, Observation]]] = {}
        for number in numbers:
            by_state.setdefault(self.looks[number].state, []).append((number, self.looks[number]))
        readings = self._read(given, by_state)
        return tuple(readings[number] for number in numbers)

    def _read(
        self, given: Sequence[Fault | None], by_state: Mapping[State, list[tuple[int, Observation]]]
    ) -> list[Reading]:
        with self._in(*given):
            self.readings = [None] * len(self.looks)
            self._lifted.forget()
            at_rest = self._settle(State(StateKind.REST))
            shown = self.wits.shown(at_rest, self._line.heard(at_rest.word, at_rest))
            for state, rows in by_state.items():
                self._look(state, rows, at_rest, shown)
        return self.readings

    @contextmanager
    def _in(self, *given: Fault | None) -> Iterator[None]:
        """The copper with those faults in and what they blow blown; sound again afterwards."""
        with self.harness.tried([fault for fault in given if fault is not None]):
            blown = self._blow()
            try:
                yield
            finally:
                for fuse in blown:
                    self.harness.blow(fuse, on=False)

    def together(self, *given: Fault) -> bool:
        """Whether all can be there at once, none hiding that another is there."""
        try:
            with self.harness.tried(given):
                return all(faults.present(self.harness, fault) for fault in given)
        except UserError:
            return False

    # States ---------------------------------------------------------------------------------------

    def _blow(self) -> list[str]:
        """The fuses that go as soon as the mains come on."""
        blown: list[str] = []
        while True:
            solution = self._settle(State(StateKind.REST))
            fuse = self.harness.overloaded(solution, [0.0] * len(self._plant.leaves))
            if not fuse:
                return blown
            self.harness.blow(fuse)
            blown.append(fuse)

    def _settle(self, state: State, relays: int = 0) -> Solution:
        """The copper of a state, contacts and supplies agreed."""
        contacts, harness, plant = self._contacts, self.harness, self._plant
        contacts.mains = state.kind not in (*DEAD, StateKind.ON_BATTERY)
        contacts.relays = relays | (0 if state.kind in DEAD else Relay.TEST.value)
        if state.kind in DEAD:
            return self._settle_dead(state)
        if state.kind is StateKind.WORKED:
            self._work(state.of, True)
        for n, leaf in enumerate(plant.leaves):
            place = 0.0
            if state.kind is StateKind.SWUNG and state.leaf == n:
                share = state.share
                if share is None:
                    share = next((at for which, at in harness.flickers if which == n), 0.5)
                place = min(share, 1.0 - harness.iron.stop[n]) * self._reach[n]
            if leaf.place != place:
                leaf.put(place)
        contacts.feel(plant.leaves)
        word = self._words.get(state, self._word)
        for _ in range(ROUNDS):
            solution = harness.solve(word)
            now = contacts.now(solution)
            if now == word:
                break
            word = now
        self._words.setdefault(state, word)  # the sound gate's, with which most faults agree
        if state.kind is StateKind.WORKED:
            self._work(state.of, False)
        return solution

    def _settle_dead(self, state: State) -> Solution:
        """The copper without any supply, leaves shut: no relay of a beam is held any more."""
        contacts, harness = self._contacts, self.harness
        for leaf in self._plant.leaves:
            if leaf.place:
                leaf.put(0.0)
        contacts.feel(self._plant.leaves)
        off = harness.contacts["battery"]
        if state.kind is StateKind.DEAD_SWUNG and any(n == state.leaf for n, _ in harness.flickers):
            off |= harness.contacts["flicker"]
        if state.kind is StateKind.TUGGED and harness.chatters:
            off |= harness.contacts["chatter"]
        return harness.solve(contacts.now(harness.solve(harness.word_dead() & ~off)) & ~off)

    def _work(self, name: str, on: bool) -> None:
        contacts = self._contacts
        if name in contacts.blocked:
            contacts.blocked[name] = on
        elif name in contacts.present:
            contacts.present[name] = on
        else:
            contacts.operate(name, on)

    # Looks ----------------------------------------------------------------------------------------

    def _look(
        self, state: State, rows: list[tuple[int, Observation]], at_rest: Solution, shown: Shown
    ) -> None:
        readings = self.readings
        if state.kind in LIFTED:
            off = self._lifted.at(state.kind, lambda: self._settle(State(StateKind.DEAD)))
            for number, look in rows:
                readings[number] = off(state.of, look.a, look.b)
            return
        if state.kind in DEAD:
            ohms = self._dead.at(self._settle(state).word)
            for number, look in rows:
                readings[number] = ohms(look.a, look.b)
            return
        if state.kind is StateKind.JOG:
            self._look_at_jog(state, rows, at_rest, shown)
            return
        if state.kind in (StateKind.STALLED, StateKind.FULL_FORCE):
            self._look_at_stall(state, rows, shown, at_rest)
            return
        with brought(self.harness, self._contacts, state) as other:
            self._seen(rows, self._settle(state) if other else at_rest, at_rest, shown)

    def _seen(
        self, rows: list[tuple[int, Observation]], solution: Solution, at_rest: Solution, shown: Shown
    ) -> None:
        readings = self.readings
        seen = shown if solution is at_rest else None
        pieces: list[int] | None = None
        at, index = solution.potentials, self._index
        for number, look in rows:
            how = look.how
            if how is How.VOLTS:
                a, b = index[look.a], index[look.b]
                if pieces is None:
                    pieces = self.harness.network.groups(solution.word)
                readings[number] = at[a] - at[b] if pieces[a] == pieces[b] else 0.0
            elif how is How.CLAMP:
                readings[number] = solution.current(look.a)
            elif how is How.LAMPS or how is How.DISPLAY:
                if seen is None:
                    seen = self.wits.shown(solution, self._line.heard(solution.word, solution))
                readings[number] = seen.made if how is How.LAMPS else seen.display
            else:
                readings[number] = self._eyes.told(look, solution)

    def _look_at_jog(
        self, state: State, rows: list[tuple[int, Observation]], at_rest: Solution, shown: Shown
    ) -> None:
        driven = shown.jogs[state.leaf] if shown.jogs else Driven("dark")
        leaves = range(len(self._plant.leaves))
        word, duties, emfs = at_rest.word, tuple(0.0 for _ in leaves), tuple(0.0 for _ in leaves)
        moved: tuple[float, ...] = ()
        load, solution = 0.0, at_rest
        if driven.duty:
            solution = self._settle(State(StateKind.REST), driven.relays)
            word = solution.word
        if driven.duty and solution.powered:
            moved, duties, emfs, load, _ = self._leaves.jogged(word, state.leaf, driven)
        if driven.duty:
            solution = self.harness.solve_live(word, duties, emfs)
        pieces = self.harness.network.groups(word)
        at, index = solution.potentials, self._index
        for number, look in rows:
            how = look.how
            if how is How.VOLTS:
                a, b = index[look.a], index[look.b]
                self.readings[number] = at[a] - at[b] if pieces[a] == pieces[b] else 0.0
            elif how is How.CLAMP:
                self.readings[number] = solution.current(look.a)
            elif how is How.WORKING:
                self.readings[number] = str(self.harness.works(solution, look.a))
            elif how is How.LAMPS:
                self.readings[number] = self._sagging(driven, load, shown).made
            elif how is How.MOVES:
                self.readings[number] = tuple(0 if abs(by) < MOVED else math.copysign(1, by) for by in moved)
            else:
                self.readings[number] = (driven.refused, solution.powered)

    def _sagging(self, driven: Driven, load: float, shown: Shown) -> Shown:
        """What the board shows while its motors draw so much."""
        contacts = self._contacts
        contacts.sag = self.harness.sag(load, 0)
        if not contacts.sag:
            return shown
        solution = self._settle(State(StateKind.JOG), driven.relays)
        contacts.sag = 0
        return self.wits.shown(solution, self._line.heard(solution.word, solution))

    def _look_at_stall(
        self, state: State, rows: list[tuple[int, Observation]], shown: Shown, at_rest: Solution
    ) -> None:
        driven = shown.jogs[state.leaf] if shown.jogs else Driven("dark")
        force, at_stall = 0.0, at_rest
        if driven.duty:
            solution = self._settle(State(StateKind.REST), driven.relays)
            if solution.powered:
                gauge = JOGGED_AT
                if state.kind is StateKind.FULL_FORCE:
                    driven, gauge = self.wits.at_most(driven, state.leaf), Gauge(0.0, self.wits.soft_start)
                word = solution.word
                _, duties, emfs, _, force = self._leaves.jogged(word, state.leaf, driven, gauge)
                at_stall = self.harness.solve_live(word, duties, emfs)
        for number, look in rows:
            self.readings[number] = at_stall.current(look.a) if look.how is How.CLAMP else force
