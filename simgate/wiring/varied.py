"""A network that is another one with a few parts changed, solved by the other one's solver.

A site has hundreds of possible faults, and most of them are one part of other ohms, one part gone, or one
part between two nodes that had none between them. The first two need only other numbers in the solver that
is compiled already. A part that came is added to the solution afterwards, by what one ampere between its two
nodes does (a rank-one update). Only ever added: the sum in its denominator is of things above zero, so
nothing cancels, while taking a conductance *out* of a solution loses every digit when it was the only way.
(Tried and measured: 6 to 25 V wrong with contacts of 0.05 ohm.)

Where a part joins two pieces that nothing joined, no current fixes the step between them: the floating piece
is moved as a whole, and whatever is put into it from outside leaves it through the new part.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import copy

from simgate.wiring.elimination import Solver, solver
from simgate.wiring.network import Network, Part
from simgate.wiring.resistance import inverse

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


class Varied(Network):
    """`base` with these parts instead of its own, between the same nodes.

    shared: what is kept across variations of one base. copper: its number there; equal copper has the same
    and finds its solutions again. Raises ValueError for a part that came with a source of its own.
    """

    __slots__ = (
        "_added", "_base", "_came", "_columns", "_fed", "_gone", "_kept", "_levels", "_sames", "_shared",
        "_sources", "_values", "copper",
    )  # fmt: skip

    def __init__(self, base: Network, parts: Sequence[Part], shared: Shared) -> None:
        self.nodes, self.index = base.nodes, base.index
        self.parts = {part.name: part for part in parts}
        self._memo = {}
        self.feeds = {}
        self._base, self._shared = base, shared
        index = self.index
        edges, values, added, came = [], [], [], []
        known = base.parts
        for part in parts:
            old = known.get(part.name)
            if old is not None and old.a == part.a and old.b == part.b and old.bit == part.bit:
                continue
            if part.volts:
                raise ValueError(f"{part.name}: a source that came cannot be added to a solution")
            if part.conductance:
                bit = -1 if part.bit is None else part.bit
                added.append((index[part.a], index[part.b], bit, part.conductance))
                came.append(part.name)
        for name, old in known.items():
            part_now = self.parts.get(name)
            stays = (
                part_now is not None
                and part_now.a == old.a
                and part_now.b == old.b
                and part_now.bit == old.bit
            )
            values.append(part_now.conductance if part_now is not None and stays else 0.0)
        for part in self.parts.values():
            edges.append((index[part.a], index[part.b], -1 if part.bit is None else part.bit))
        self._edges = tuple(edges)
        self.conductances = tuple(part.conductance for part in self.parts.values())
        self._values = tuple(values)
        self._added, self._came = tuple(added), tuple(came)
        self._columns: dict[Key, list[float]] = {}
        self._sources = tuple(number for number, old in enumerate(known.values()) if old.volts)
        self._levels = tuple(
            self.parts[name].volts if name in self.parts else 0.0 for name, old in known.items() if old.volts
        )
        self._gone = tuple(number for number, value in enumerate(values) if not value)
        self._kept: dict[Key, list[int]] = {}
        self._sames: dict[int, int] = {}
        if not shared.places:
            shared.places = {name: number for number, name in enumerate(known)}
        self._fed = tuple((name, part.volts) for name, part in self.parts.items() if part.volts)
        self._count()

    def _count(self) -> None:
        numbers = self._shared.numbers
        self.copper = numbers.setdefault((self._values, self._added, self._fed), len(numbers))

    def _same(self, word: int) -> int:
        """The number of the copper that this one is at a word: the sound one's where a core only has a made
        contact in it.
        """
        if not self._added:
            return self.copper
        found = self._sames.get(word)
        if found is None:
            sound = (self._base.conductances, (), self._fed)
            found = self.copper if self.differs(word) else self._shared.numbers.get(sound, self.copper)
            self._sames[word] = found
        return found

    def altered(self, a: str, b: str, ohms: float, without: Sequence[str] = ()) -> Varied:
        """The same network with two of its nodes joined and without these parts; `parts` are as before."""
        new = copy(self)
        places = [self._shared.places[part] for part in without if part in self._shared.places]
        new._values = tuple(0.0 if n in places else value for n, value in enumerate(self._values))
        kept = [number for number, part in enumerate(self._came) if part not in without]
        new._added = (*(self._added[n] for n in kept), (self.index[a], self.index[b], -1, 1.0 / ohms))
        new._came = (*(self._came[n] for n in kept), "")
        new._gone = tuple(number for number, value in enumerate(new._values) if not value)
        new._kept, new._columns, new._sames = {}, {}, {}
        new._count()
        return new

    def potentials(self, word: int, volts: Mapping[str, float] | None = None) -> tuple[float, ...]:
        """Volts to the reference in the order of `nodes`, as of a network of these parts."""
        given = () if not volts else tuple(sorted(volts.items()))
        key = (self._same(word), word, given)
        found = self._shared.solutions.get(key)
        if found is None:
            found = self._shared.solutions[key] = tuple(self._driven_at(word, self._values, volts or {}))
        return found

    def kept(self, word: int, volts: Mapping[str, float]) -> tuple[float, ...]:
        """Its potentials, which are kept anyway."""
        return self.potentials(word, volts)

    def driven(self, word: int, amps: Mapping[int, float]) -> tuple[float, ...]:
        """Volts with every source at 0 V and `amps` put into nodes from outside; in a floating piece they
        must come to nothing.
        """
        key = (self._same(word), word, "amps", tuple(sorted(amps.items())))
        found = self._shared.solutions.get(key)
        if found is None:
            found = self._shared.solutions[key] = tuple(
                self._put(word, self._values, amps, self._active(word))
            )
        return found

    def resistances(self, word: int) -> dict[tuple[int, int], float] | None:
        """Ohms of `resistance.inverse`, with at most one part that came and joins what was joined already;
        None where more came.
        """
        added = self._active(word)
        if len(added) > 1:
            return None
        invert, places = inverse(len(self.nodes), self._base._edges)
        found = dict(zip(places, invert(word, self._values), strict=True))
        if not added:
            return found
        a, b, _, siemens = added[0]
        pieces = self._pieces(word, self._values, ())
        if pieces[a] != pieces[b]:
            return None
        column = self._column(word, self._values, (), a, b)
        below = 1.0 / siemens + column[a] - column[b]
        return {(i, j): ohms - column[i] * column[j] / below for (i, j), ohms in found.items()}

    def differs(self, word: int) -> frozenset[tuple[bool, int, int, float]]:
        """In which conducting parts it differs from its base: (came, node, node, S). Networks that differ
        alike at a word read alike there, whatever else became of their parts.
        """
        gone, edges = [], self._base._edges
        sound = self._base.conductances
        if self._values != sound:
            for (a, b, bit), was, now in zip(edges, sound, self._values, strict=True):
                if was != now and (bit < 0 or word >> bit & 1):
                    gone.append((a, b, was))
                    if now:
                        gone.append((a, b, -now))
        for a, b, _, siemens in self._active(word):
            if (a, b, siemens) in gone:
                gone.remove((a, b, siemens))  # the same part, only with another contact in it
            else:
                gone.append((a, b, -siemens))
        return frozenset((siemens < 0.0, a, b, abs(siemens)) for a, b, siemens in gone)

    def ohms_without(self, part: str, word: int) -> Callable[[int, int], float | None]:
        """Ohms between two nodes with one part taken out; None for no way."""
        values, added, gone = self._values, self._active(word), self._gone
        if part in self._came:
            out = self._added[self._came.index(part)]
            added = tuple(one for one in added if one is not out)
        elif values[number := self._shared.places[part]]:
            values = (*values[:number], 0.0, *values[number + 1 :])
            gone = tuple(sorted((*gone, number)))
        pieces = _joined(self._sound_pieces(word, gone, values), added)

        def ohms(i: int, j: int) -> float | None:
            if pieces[i] != pieces[j]:
                return None
            volts = self._put(word, values, {i: 1.0, j: -1.0}, added)
            return volts[i] - volts[j]

        return ohms

    def thevenin(
        self, word: int, a: str, b: str, volts: Mapping[str, float] | None = None, opened: str | None = None
    ) -> tuple[float, float] | None:
        """What stands between two nodes, as of a network of these parts."""
        i, j = self.index[a], self.index[b]
        values, added = self._values, self._active(word)
        if opened is not None:
            number = list(self._base.parts).index(opened)
            values = (*values[:number], 0.0, *values[number + 1 :])
        groups = self._pieces(word, values, added)
        if groups[i] != groups[j]:
            return None
        free = self._driven_at(word, values, volts or {})
        probed = self._put(word, values, {i: 1.0, j: -1.0}, added)
        return free[i] - free[j], probed[i] - probed[j]

    # The base's solution, and what is added to it -------------------------------------------------

    def _active(self, word: int) -> tuple[Added, ...]:
        return tuple(one for one in self._added if one[2] < 0 or word >> one[2] & 1)

    def _pieces(self, word: int, values: tuple[float, ...], added: Sequence[Added]) -> list[int]:
        key = (word, tuple(added))
        if values is self._values and key in self._kept:
            return self._kept[key]
        if values is self._values:
            groups = self._kept[key] = _joined(self._sound_pieces(word, self._gone, values), added)
            return groups
        return _joined(self._base.groups(word, values), added)

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

    def _driven_at(self, word: int, values: tuple[float, ...], volts: Mapping[str, float]) -> list[float]:
        """With the sources as built, or at other volts."""
        if not volts:
            solve = solver(len(self.nodes), self._base._edges, self._sources)
            return self._with(word, values, solve, self._levels, {}, self._active(word))
        names = self.parts
        levels = []
        sources = []
        for number, (name, old) in enumerate(self._base.parts.items()):
            if old.volts or name in volts:
                sources.append(number)
                levels.append(volts.get(name, names[name].volts if name in names else 0.0))
        solve = solver(len(self.nodes), self._base._edges, tuple(sources))
        return self._with(word, values, solve, tuple(levels), {}, self._active(word))

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


def _joined(groups: list[int], added: Sequence[Added]) -> list[int]:
    """Pieces with parts between them that came."""
    for a, b, _, _ in added:
        one, other = sorted((groups[a], groups[b]))
        if one != other:
            groups = [one if group == other else group for group in groups]
    return groups
