"""The DC network: named nodes, resistors, sources and switches, and what they come to.

Everything that is measured or acted on in the copper comes from here: the board's inputs, the meter,
the motors' feed. If any of them were computed beside the network, a fault could show on the lamp and
not on the meter. How the solution is found is `elimination.py`'s business; here are the parts, the
memo on the switch word, and the questions a solution answers.

Switch word: an integer; bit n set means that the switches of bit n are closed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from simgate.wiring.elimination import Solver, solver

REFERENCE = "board.0V"
MEMO_LIMIT = 1 << 16  # solutions kept; a site meets some dozens of words, a wild test may meet millions
SHARED, SHARED_LIMIT = 32, 1 << 9  # networks that are found again, and how much of each


@dataclass(frozen=True, slots=True)
class Part:
    """One two-terminal part. conductance: S, 0 for open. volts: of a source, `a` being its positive side.

    bit: of the switch word, for a part that conducts only while that bit is set; None otherwise.
    """

    name: str
    a: str
    b: str
    conductance: float
    volts: float = 0.0
    bit: int | None = None

    def __post_init__(self) -> None:
        if not 0.0 <= self.conductance < math.inf:
            raise ValueError(f"{self.name}: conductance {self.conductance} S; zero or more, and finite")
        if self.volts and self.bit is not None:
            raise ValueError(f"{self.name}: a source is not switched itself; put a switch in series")


def resistor(name: str, a: str, b: str, ohms: float) -> Part:
    """A resistor; math.inf ohms is an open one."""
    return Part(name, a, b, 1.0 / ohms)


def source(name: str, a: str, b: str, volts: float, ohms: float) -> Part:
    """A source of `volts` (a positive) behind `ohms`, which must be above zero."""
    return Part(name, a, b, 1.0 / ohms, volts)


def switch(name: str, a: str, b: str, bit: int, ohms: float = 0.05) -> Part:
    """A contact: `ohms` while the bit is set, exactly open otherwise."""
    return Part(name, a, b, 1.0 / ohms, bit=bit)


class Network:
    """A fixed set of parts between named nodes. To change a value or a connection, build another one:
    the solver of the same topology is found again, not compiled again.
    """

    __slots__ = (
        "_drive", "_edges", "_memo", "_settled", "_solver", "conductances", "feeds", "index", "nodes",
        "parts",
    )  # fmt: skip

    def __init__(self, nodes: Sequence[str], parts: Sequence[Part], reference: str = REFERENCE) -> None:
        self.nodes: tuple[str, ...] = (reference, *(node for node in nodes if node != reference))
        self.index = {node: number for number, node in enumerate(self.nodes)}
        self.parts = {part.name: part for part in parts}
        if len(self.index) != len(self.nodes) or len(self.parts) != len(parts):
            raise ValueError("two nodes or two parts of the same name")
        index = self.index
        self._edges = tuple(
            (index[part.a], index[part.b], -1 if part.bit is None else part.bit) for part in parts
        )
        self.conductances = tuple(part.conductance for part in parts)
        self._solver, self._drive = self._driven({})
        self._memo: dict[int, Solution] = {}
        self._settled: dict[tuple[object, ...], tuple[float, ...]] = {}
        self.feeds: dict[tuple[int, int, str], tuple[float, float]] = {}  # of motors, for loops.py

    def solve(self, word: int = 0) -> Solution:
        """The solution at `word` with the sources as built; the same object for the same word."""
        found = self._memo.get(word)
        if found is None:
            found = Solution(self, word, self.potentials(word))
            if len(self._memo) >= MEMO_LIMIT:
                self._memo.clear()
            self._memo[word] = found
        return found

    def solve_with(self, word: int, volts: Mapping[str, float]) -> Solution:
        """A fresh solution with the named sources set to other volts."""
        return Solution(self, word, self.potentials(word, volts), volts)

    def potentials(self, word: int, volts: Mapping[str, float] | None = None) -> tuple[float, ...]:
        """Volts to the reference in the order of `nodes` (to the pinned node within a floating piece)."""
        solve, drive = self._driven(volts) if volts else (self._solver, self._drive)
        return solve(word, self.conductances, drive)

    def kept(self, word: int, volts: Mapping[str, float]) -> tuple[float, ...]:
        """`potentials`, kept for everybody who has this copper: for what comes again, as the supply's sag."""
        key = (word, *volts.items())
        found = self._settled.get(key)
        if found is None:
            if len(self._settled) >= SHARED_LIMIT:
                self._settled.clear()
            found = self._settled[key] = self.potentials(word, volts)
        return found

    def thevenin(
        self, word: int, a: str, b: str, volts: Mapping[str, float] | None = None, opened: str | None = None
    ) -> tuple[float, float] | None:
        """What stands between two nodes: open-circuit volts (a to b) and resistance in ohm.

        opened: a part taken out first. None when no copper joins the two, so that no current can flow.
        """
        i, j = self.index[a], self.index[b]
        values = self.conductances
        if opened is not None:
            values = tuple(
                0.0 if name == opened else value for name, value in zip(self.parts, values, strict=True)
            )
        groups = self.groups(word, values)
        if groups[i] != groups[j]:
            return None
        solve, drive = self._driven(volts or {})
        free = solve(word, values, drive)
        ampere = [0.0] * len(self.nodes)
        ampere[i] += 1.0
        ampere[j] -= 1.0
        probed = solver(len(self.nodes), self._edges, None)(word, values, ampere)
        return free[i] - free[j], probed[i] - probed[j]

    def groups(self, word: int, conductances: Sequence[float] | None = None) -> list[int]:
        """For each node the number of the piece it belongs to; the reference's piece is 0.

        Two nodes are in one piece when parts that conduct at `word` join them.
        """
        root = list(range(len(self.nodes)))
        for (a, b, bit), value in zip(self._edges, conductances or self.conductances, strict=True):
            if value == 0.0 or (bit >= 0 and not word >> bit & 1):
                continue
            while root[a] != a:
                root[a] = a = root[root[a]]
            while root[b] != b:
                root[b] = b = root[root[b]]
            root[max(a, b)] = min(a, b)  # the lowest number leads, so every link points downwards
        for node, lead in enumerate(root):
            root[node] = root[lead]
        return root

    def neighbours(self, word: int) -> list[list[tuple[int, str]]]:
        """For each node the (other node, part) of every part that conducts at `word`."""
        around: list[list[tuple[int, str]]] = [[] for _ in self.nodes]
        for (a, b, bit), value, name in zip(self._edges, self.conductances, self.parts, strict=True):
            if value and (bit < 0 or word >> bit & 1):
                around[a].append((b, name))
                around[b].append((a, name))
        return around

    def _driven(self, volts: Mapping[str, float]) -> tuple[Solver, tuple[float, ...]]:
        """The solver for the sources that may be above or below zero now, and their volts."""
        levels = [
            (number, volts.get(part.name, part.volts))
            for number, part in enumerate(self.parts.values())
            if part.volts or part.name in volts
        ]
        sources = tuple(number for number, _ in levels)
        return solver(len(self.nodes), self._edges, sources), tuple(level for _, level in levels)


@lru_cache(maxsize=SHARED)
def network_of(nodes: tuple[str, ...], parts: tuple[Part, ...]) -> Network:
    """The network of these parts, found again with what it came to: many benches have the same copper."""
    return Network(nodes, parts)


class Solution:
    """A network solved at one switch word. Immutable for its readers; which nodes float is worked out
    only when somebody asks, since a scan never does.
    """

    __slots__ = ("_groups", "_network", "_volts", "potentials", "word")

    def __init__(
        self,
        network: Network,
        word: int,
        potentials: tuple[float, ...],
        volts: Mapping[str, float] | None = None,
    ) -> None:
        self._network = network
        self._volts: Mapping[str, float] = volts or {}
        self._groups: list[int] | None = None
        self.word = word
        self.potentials = potentials

    def potential(self, node: str) -> float:
        """Volts to the reference; within a floating piece, to the node of it that was pinned at 0 V."""
        return self.potentials[self._network.index[node]]

    def floating(self, node: str) -> bool:
        """Whether no conducting path leads from the node to the reference."""
        return self._group(node) != 0

    def volts(self, a: str, b: str) -> float | None:
        """V at `a` less V at `b`; None when no copper joins the two, so that nothing fixes it."""
        if self._group(a) != self._group(b):
            return None
        return self.potential(a) - self.potential(b)

    def current(self, part: str) -> float:
        """Ampere through a part from its `a` to its `b`; below zero inside a source that delivers."""
        piece = self._network.parts[part]
        if piece.bit is not None and not self.word >> piece.bit & 1:
            return 0.0
        level = self._volts.get(part, piece.volts)
        return piece.conductance * (self.potential(piece.a) - self.potential(piece.b) - level)

    def _group(self, node: str) -> int:
        if self._groups is None:
            self._groups = self._network.groups(self.word)
        return self._groups[self._network.index[node]]
