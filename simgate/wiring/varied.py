"""A network that is another one with a few parts changed, solved by the other one's solver.

A site has hundreds of possible faults, and most of them are one part of other ohms, one part gone, or one
part between two nodes that had none between them. The first two need only other numbers in the solver that
is compiled already; a part that came is added to the solution afterwards (`superposed.py`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import copy

from simgate.wiring.elimination import solver
from simgate.wiring.network import Network, Part
from simgate.wiring.resistance import inverse
from simgate.wiring.superposed import Shared, Superposed, joined


class Varied(Superposed):
    """`base` with these parts instead of its own, between the same nodes.

    shared: what is kept across variations of one base. copper: its number there; equal copper has the same
    and finds its solutions again. Raises ValueError for a part that came with a source of its own.
    """

    __slots__ = ("_came", "_fed", "_levels", "_sames", "_sources", "copper")

    def __init__(self, base: Network, parts: Sequence[Part], shared: Shared) -> None:
        self.nodes, self.index = base.nodes, base.index
        self.parts = {part.name: part for part in parts}
        self._memo = {}
        self.feeds = {}
        self._base, self._shared = base, shared
        index = self.index
        values, added, came = [], [], []
        known = base.parts
        for part in parts:
            if _stays(known.get(part.name), part):
                continue
            if part.volts:
                raise ValueError(f"{part.name}: a source that came cannot be added to a solution")
            if part.conductance:
                bit = -1 if part.bit is None else part.bit
                added.append((index[part.a], index[part.b], bit, part.conductance))
                came.append(part.name)
        for name, old in known.items():
            now = self.parts.get(name)
            values.append(now.conductance if now is not None and _stays(old, now) else 0.0)
        self._edges = tuple(
            (index[part.a], index[part.b], -1 if part.bit is None else part.bit)
            for part in self.parts.values()
        )
        self.conductances = tuple(part.conductance for part in self.parts.values())
        self._values = tuple(values)
        self._added, self._came = tuple(added), tuple(came)
        self._columns = {}
        self._sources = tuple(number for number, old in enumerate(known.values()) if old.volts)
        self._levels = tuple(
            self.parts[name].volts if name in self.parts else 0.0 for name, old in known.items() if old.volts
        )
        self._gone = tuple(number for number, value in enumerate(values) if not value)
        self._kept = {}
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
        pieces = joined(self._sound_pieces(word, gone, values), added)

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


def _stays(was: Part | None, now: Part) -> bool:
    """Whether a part is between the same nodes behind the same contact, whatever its ohms."""
    return was is not None and was.a == now.a and was.b == now.b and was.bit == now.bit
