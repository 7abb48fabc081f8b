"""The solution of a network with parts added to it that came since its solver was compiled.

A part that came is added by what one ampere between its two nodes does (a rank-one update). Only ever added:
the sum in its denominator is of things above zero, so nothing cancels, while taking a conductance *out* of a
solution loses every digit when it was the only way. (Tried and measured: 6 to 25 V wrong with contacts of
0.05 ohm.)

Where a part joins two pieces that nothing joined, no current fixes the step between them: the floating piece
is moved as a whole, and whatever is put into it from outside leaves it through the new part.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from simgate.wiring.elimination import Solver, solver
from simgate.wiring.network import Network

Added = tuple[int, int, int, float]  # node, node, bit (-1: not switched), S
Key = tuple[object, ...]


class Shared:
    """What the variations of one base share. solutions: by number of the copper, word and sources.

    numbers: of each copper that was met. pieces: by the parts that are gone, and word. places: of the base's
    parts in their order.
    """

    __slots__ = ("numbers", "pieces", "places", "solutions")

    def __init__(self) -> None:
        self.places: dict[str, int] = {}
        self.solutions: dict[Key, tuple[float, ...]] = {}
        self.numbers: dict[Key, int] = {}
        self.pieces: dict[Key, list[int]] = {}


class Superposed(Network):
    """`_base` with other conductances (`_values`) for its own parts, and with parts `_added` to it.

    `_gone`: the numbers of those of its parts that conduct nothing.
    """

    __slots__ = ("_added", "_base", "_columns", "_gone", "_kept", "_shared", "_values")

    _added: tuple[Added, ...]
    _base: Network
    _columns: dict[Key, list[float]]
    _gone: tuple[int, ...]
    _kept: dict[Key, list[int]]
    _shared: Shared
    _values: tuple[float, ...]

    def _active(self, word: int) -> tuple[Added, ...]:
        return tuple(one for one in self._added if one[2] < 0 or word >> one[2] & 1)

    def _pieces(self, word: int, values: tuple[float, ...], added: Sequence[Added]) -> list[int]:
        key = (word, tuple(added))
        if values is self._values and key in self._kept:
            return self._kept[key]
        if values is self._values:
            groups = self._kept[key] = joined(self._sound_pieces(word, self._gone, values), added)
            return groups
        return joined(self._base.groups(word, values), added)

    def groups(self, word: int, conductances: Sequence[float] | None = None) -> list[int]:
        """For each node the number of the piece it belongs to; the reference's piece is 0."""
        if conductances is not None:
            return super().groups(word, conductances)
        return self._pieces(word, self._values, self._active(word))

    def _sound_pieces(self, word: int, gone: tuple[int, ...], values: tuple[float, ...]) -> list[int]:
        """The pieces of the base without what is gone: alike for all that lack the same parts."""
        key = (gone, word)
        found = self._shared.pieces.get(key)
        if found is None:
            found = self._shared.pieces[key] = self._base.groups(word, values)
        return found

    def _put(
        self, word: int, values: tuple[float, ...], amps: Mapping[int, float], added: Sequence[Added]
    ) -> list[float]:
        solve = solver(len(self.nodes), self._base._edges, None)
        return self._with(word, values, solve, None, amps, added)

    def _with(
        self,
        word: int,
        values: tuple[float, ...],
        solve: Solver,
        levels: tuple[float, ...] | None,
        amps: Mapping[int, float],
        added: Sequence[Added],
    ) -> list[float]:
        """The base's solution with all of `added`: the last one is put to the solution with the others."""
        if not added:
            if levels is None:
                drive = [0.0] * len(self.nodes)
                for node, ampere in amps.items():
                    drive[node] += ampere
                return list(solve(word, values, drive))
            return list(solve(word, values, levels))
        *others, (a, b, _, siemens) = added
        pieces = self._pieces(word, values, others)
        if pieces[a] != pieces[b]:
            if not pieces[b]:
                a, b = b, a  # the reference stays where it is
            return self._moved(word, values, solve, levels, amps, others, (a, b, siemens), pieces)
        volts = self._with(word, values, solve, levels, amps, others)
        column = self._column(word, values, others, a, b)
        step = (volts[a] - volts[b]) / (1.0 / siemens + column[a] - column[b])
        if not step:
            return volts
        return [volt - by * step for volt, by in zip(volts, column, strict=True)]

    def _moved(
        self,
        word: int,
        values: tuple[float, ...],
        solve: Solver,
        levels: tuple[float, ...] | None,
        amps: Mapping[int, float],
        others: Sequence[Added],
        joint: tuple[int, int, float],
        pieces: list[int],
    ) -> list[float]:
        """A floating piece at b joined to a: what was put into it goes out at b and into a."""
        a, b, siemens = joint
        through = 0.0
        for node, ampere in amps.items():
            if pieces[node] == pieces[b]:
                through += ampere
        put = dict(amps)
        if through:
            put[b] = put.get(b, 0.0) - through
            put[a] = put.get(a, 0.0) + through
        volts = self._with(word, values, solve, levels, put, others)
        shift = volts[a] + through / siemens - volts[b]
        return [
            volt + shift if piece == pieces[b] else volt for volt, piece in zip(volts, pieces, strict=True)
        ]

    def _column(
        self, word: int, values: tuple[float, ...], others: Sequence[Added], a: int, b: int
    ) -> list[float]:
        """What one ampere from a to b does without the part that joins them; kept."""
        key = (word, values, tuple(others), a, b)
        found = self._columns.get(key)
        if found is None:
            found = self._columns[key] = self._put(word, values, {a: 1.0, b: -1.0}, others)
        return found


def joined(groups: list[int], added: Sequence[Added]) -> list[int]:
    """Pieces with parts between them that came."""
    for a, b, _, _ in added:
        one, other = sorted((groups[a], groups[b]))
        if one != other:
            groups = [one if group == other else group for group in groups]
    return groups
