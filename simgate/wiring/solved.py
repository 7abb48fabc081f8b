"""The copper of one site solved: what the wires, links and faults that stand there now come to.

There is one network, so that a change is felt everywhere or nowhere. Solutions are kept until the copper
changes; `version` counts the changes.

Points are named 'owner.terminal'. A switch word has one bit for each contact of `contacts`, and above them
the number of steps by which the motors make the supply sag (`sagging`).
Everything that names a thing which is not there raises UserError with what is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import itemgetter

from simgate.files import UserError
from simgate.wiring import build, fuses, loops
from simgate.wiring.check import problem
from simgate.wiring.copper import Copper
from simgate.wiring.loops import Shunted
from simgate.wiring.network import MEMO_LIMIT, Network, Part, network_of
from simgate.wiring.network import Solution as NetworkSolution
from simgate.wiring.spec import WiringSpec
from simgate.wiring.tables import BOARD, LEAF_NAMES, ZERO, board_copper, contacts_of, devices

# The board's own contacts that are made at rest.
AT_REST = ("mains", "logic", "test", "aux-pass", "line", "flicker", "chatter")
SAG_STEP = 0.5  # V by which the supply is taken to sag, step by step, under what the motors draw
LIVE_VOLTS = 0.5  # more than this anywhere in a circuit and it is not dead


class Solution(NetworkSolution):
    """The site solved at one switch word.

    inputs: volts to 0 V of the board's inputs, then of each leaf's (0 for a leaf that is not there).
    powered: the board has its supply. supply: V at its bus. on_mains: it comes from the mains.
    standing: A through each fuse, what the motor bridges draw left out.
    """

    __slots__ = ("inputs", "on_mains", "powered", "standing", "supply")

    inputs: tuple[float, ...]
    powered: bool
    supply: float
    on_mains: bool
    standing: tuple[float, ...]


class Solved(Copper):
    """The copper of a site and the network that it makes. Raises UserError when that cannot be built."""

    def __init__(self, spec: WiringSpec) -> None:
        super().__init__(spec)
        table = board_copper()
        movable = [name for d in spec.devices for name in contacts_of(d.name, d.kind.value)]
        self._bits = {name: number for number, name in enumerate([*table.contacts, *movable])}
        self.contacts: dict[str, int] = {name: 1 << number for name, number in self._bits.items()}
        self._sag = len(self._bits)  # from this bit on a word tells the steps by which the supply sags
        self._whole = (1 << self._sag) - 1
        self._nodes = (*self._points, *build.inner_nodes(spec.leaves))
        self._index = network_of(self._nodes, ()).index
        of_leaves = [name.format(leaf=leaf) for leaf in LEAF_NAMES for name in table.leaf_inputs]
        nowhere = self._index[ZERO]  # a leaf that is not there
        self._inputs = itemgetter(
            *(self._index.get(f"{BOARD}.{name}", nowhere) for name in [*table.inputs, *of_leaves])
        )
        self._bus = self._index[f"{BOARD}.{table.bus}"]
        self._fuses = fuses.fuses(spec)
        self.changed()

    # What it comes to -----------------------------------------------------------------------------

    def word_at_rest(self) -> int:
        """The switch word with mains on, nobody touching a button, beams clear, lamp off, TEST+ on."""
        word = 0
        for name in AT_REST:
            word |= self.contacts[name]
        for device in self.spec.devices:
            if devices()[device.kind.value].rest == "closed":
                word |= self.contacts[device.name]
        return word ^ self.wrong

    def word_dead(self) -> int:
        """The switch word at rest with the mains off: then the board makes no 5 V and no TEST+ either."""
        word = self.word_at_rest()
        for name in ("mains", "logic", "test", "line"):
            word &= ~self.contacts[name]
        return word

    def solve(self, word: int) -> Solution:
        """The site at `word` with the motors at rest; the same object until the copper changes."""
        found = self._memo.get(word)
        return self._solved(word) if found is None else found

    def solve_live(self, word: int, duties: Sequence[float], emfs: Sequence[float]) -> Solution:
        """The site with its motors driven. duties: -1 to 1, emfs: V, per leaf. Not kept."""
        volts = self._drive(word, duties, emfs)
        return self._answer(Solution(self._network, word, self._network.potentials(word, volts), volts))

    def motor_feed(self, word: int, leaf: int) -> tuple[float, float]:
        """(gain, ohms) of what feeds the winding of `leaf`: volts = gain * duty * delivered behind ohms.

        gain is below zero for a pair the wrong way round; (0, inf) when no current can flow.
        """
        word &= self._whole
        found = self._feeds.get((word, leaf))
        if found is None:
            if leaf not in range(self.spec.leaves):
                raise UserError(problem("leaf", str(leaf), f"0 to {self.spec.leaves - 1}"))
            found = loops.feed(self._network, word, leaf, self._motors.get(leaf))
            self._feeds[word, leaf] = found
        return found

    def shunted(self, word: int) -> Shunted | None:
        """What each bridge delivers where that is not what its winding gets; None in sound copper."""
        word &= self._whole
        if word not in self._shunted:
            self._shunted[word] = loops.shunted(
                self._network,
                word,
                self.spec.leaves,
                self._motors,
                build.BATTERY if word & self.contacts["battery"] else build.SUPPLY,
            )
        return self._shunted[word]

    def thevenin(
        self, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
    ) -> tuple[float, float] | None:
        """(volts, ohms) between two points as an instrument meets them; None when no copper joins them."""
        return self._network.thevenin(word, self.point(a), self.point(b), self._drive(word, duties, emfs))

    def live(self, solution: Solution, point: str) -> bool:
        """Whether the circuit that `point` belongs to has voltage anywhere that a probe can touch."""
        drops = (solution.volts(point, other) for other in self._points)
        return any(drop is not None and abs(drop) > LIVE_VOLTS for drop in drops)

    def fuse_current(self, solution: Solution, fuse: str) -> float:
        """Ampere through a fuse, whichever way each of its branches carries it."""
        self._known("fuse", fuse, self.fuses())
        branches = build.fused_parts(self.spec.leaves, fuse)
        return math.fsum(abs(solution.current(name)) for name in branches)

    def overloaded(self, solution: Solution, bridges: Sequence[float]) -> str:
        """The fuse that blows with `bridges` A taken by each motor bridge besides; '' for none."""
        return fuses.overloaded(self._fuses, solution.standing, bridges, solution.on_mains)

    def _solved(self, word: int) -> Solution:
        volts = self._sagged(word)
        solution = self._answer(Solution(self._network, word, self._network.kept(word, volts), volts))
        if len(self._memo) >= MEMO_LIMIT:
            self._memo.clear()
        self._memo[word] = solution
        return solution

    def _answer(self, solution: Solution) -> Solution:
        solution.inputs = self._inputs(solution.potentials)
        solution.supply = solution.potentials[self._bus]
        solution.powered = solution.supply > board_copper().powered_above_volts
        solution.on_mains = bool(solution.word & self.contacts["mains"]) and "mains" not in self._blown
        solution.standing = fuses.standing(self._fuses, solution)
        return solution

    def delivered(self, word: int) -> float:
        """V that the motor bridges work from: the battery's while that has to give it, else the supply's."""
        if self.battery is not None and word & self.contacts["battery"]:
            return self.battery.volts
        return self.supply_volts

    def sag(self, amps: float, before: int) -> int:
        """Steps by which the mains supply sags under the `amps` that the motors draw; `before` was the last
        answer, from which it moves only by more than half a step.

        A simplification: a battery sags the motors alone.
        """
        steps = abs(amps) * self.supply_ohms / SAG_STEP
        return int(steps) if not before - 0.5 < steps < before + 1.0 else before

    def sag_holds(self, steps: int) -> tuple[float, float]:
        """Between which A, not included, the supply goes on sagging by so many steps."""
        amps = SAG_STEP / self.supply_ohms if self.supply_ohms else math.inf
        return (steps - 0.5) * amps, (steps + 1.0) * amps

    def sagging(self, word: int, steps: int) -> int:
        """The word, with a supply that sags by so many steps."""
        return word & self._whole | steps << self._sag

    def _sagged(self, word: int) -> dict[str, float]:
        steps = word >> self._sag
        return {build.SUPPLY: self.supply_volts - steps * SAG_STEP} if steps else {}

    def _drive(self, word: int, duties: Sequence[float], emfs: Sequence[float]) -> dict[str, float]:
        supply = self.delivered(word)
        volts = {build.bridge_source(leaf): duty * supply for leaf, duty in enumerate(duties)}
        volts.update(self._sagged(word))
        for leaf, emf in enumerate(emfs):
            if leaf in self._motors:
                volts[build.winding(self._motors[leaf])] = emf
        return volts

    def changed(self) -> None:
        """Build the network anew after a change to the copper; whatever was solved before is dropped."""
        super().changed()
        standing = [self.standing(name) for name in self._fittings]
        parts = [
            *build.board_parts(
                self.spec,
                self._bits,
                self._blown,
                self.supply_volts,
                self.supply_ohms,
                0.0 if self.battery is None else self.battery.volts,
            ),
            *(
                part
                for fitting in standing
                if fitting.spec.head is None or self.heads[fitting.spec.name].fitted
                for part in build.device_parts(fitting, self._bits)
            ),
            *(wire.part(self._bits["flicker"], self._bits["chatter"]) for wire in self._wires.values()),
            *build.leak_parts(self._wires.values(), self.rain),
            *build.link_parts(self._links),
            *build.bridge_parts(self._bridges, self._wires),
            *build.plug_parts(self.plug),
        ]
        self._network = self._built(parts)
        self._memo: dict[int, Solution] = {}
        self.diodes: dict[tuple[int, str, str], float] = {}  # what was read by diode tests
        self._feeds: dict[tuple[int, int], tuple[float, float]] = {}
        self._shunted: dict[int, Shunted | None] = {}
        self.flickers = tuple(
            (self._moves_with(wire), wire.flicker / 100.0) for wire in self._wires.values() if wire.flicker
        )
        self.chatters = tuple(round(wire.chatter * 1000.0) for wire in self._wires.values() if wire.chatter)
        self.held = tuple(fitting.spec.name for fitting in standing if fitting.held)
        self.wrong = 0  # bits of the contacts that are of the other kind than they should
        for fitting in standing:
            if fitting.wrong:
                for name in contacts_of(fitting.spec.name, fitting.spec.kind.value):
                    self.wrong |= self.contacts[name]

    @property
    def network(self) -> Network:
        """The network of the copper as it stands."""
        return self._network

    def _built(self, parts: list[Part]) -> Network:
        """The network of these parts; elsewhere it is found with less work."""
        return network_of(self._nodes, tuple(parts))
