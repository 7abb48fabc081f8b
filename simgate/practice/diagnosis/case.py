"""A case to be solved: suspects with their weights, tests with their costs and outcomes.

Sets of suspects are integers, one bit for each, so that a set is a key and a split is an `&`. A test tells
two suspects apart or it does not: readings that its tolerance lets overlap are one outcome (table.py), so
what is certain here is certain at the gate.

A case is solved when one and the same mending is part of putting right whatever is left, or when no test
tells what is left apart. Nothing is mended on trial before that: a part swapped to see whether it helps
proves little, and par must not be beaten by it. Where two things are wrong at once, what is sure to be wrong
is mended and the gate looked at anew: a new case, for the one may hide the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache


@dataclass(frozen=True, slots=True)
class Test:
    """Something to look at or measure. seconds: each time. outcome: what shows, a number for each suspect.

    setups: bits of what must be fetched or opened first, once (`Case.setup_seconds`).
    """

    __test__ = False  # not one of pytest's

    name: str
    seconds: float
    outcome: tuple[int, ...]
    setups: int = 0


@dataclass(frozen=True)
class Case:
    """weights: of the suspects, of any total above zero. setup_seconds: of each bit of `Test.setups`.

    mending: s to mend each suspect and to prove it; empty for none. mends: for each suspect all that puts it
    right, empty where each needs a mending of its own.
    """

    weights: tuple[float, ...]
    tests: tuple[Test, ...]
    setup_seconds: tuple[float, ...] = ()
    mending: tuple[float, ...] = ()
    mends: tuple[frozenset[str], ...] = ()
    _cells: list[tuple[int, ...]] = field(default_factory=list, init=False, repr=False, compare=False)
    _known: dict[int, float] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        count = len(self.weights)
        if not count or any(not weight > 0.0 or math.isinf(weight) for weight in self.weights):
            raise ValueError("a case needs suspects, each with a weight above zero")
        if any(len(test.outcome) != count for test in self.tests):
            raise ValueError("every test needs one outcome for each suspect")
        if any(len(given) not in (0, count) for given in (self.mending, self.mends)):
            raise ValueError("mendings are given for every suspect or for none")
        self._cells.extend(cells(test.outcome) for test in self.tests)

    @property
    def everything(self) -> int:
        """The set of all suspects."""
        return (1 << len(self.weights)) - 1

    @cached_property
    def total(self) -> float:
        """Weight of all suspects."""
        return math.fsum(self.weights)

    def weight(self, suspects: int) -> float:
        """Weight of a set."""
        found = self._known.get(suspects)
        if found is None:
            found = self._known[suspects] = math.fsum(self.weights[n] for n in members(suspects))
        return found

    def split(self, test: int, suspects: int) -> tuple[int, ...]:
        """What a set falls into by a test; the set alone when that tells nothing apart in it."""
        return tuple(part for cell in self._cells[test] if (part := suspects & cell))

    def cost(self, test: int, paid: int = 0) -> float:
        """Seconds of a test when the setups of `paid` are there already."""
        row = self.tests[test]
        open_ = row.setups & ~paid
        return (
            row.seconds + math.fsum(self.setup_seconds[n] for n in members(open_)) if open_ else row.seconds
        )

    def useful(self, suspects: int) -> Iterator[tuple[int, tuple[int, ...]]]:
        """The tests that split a set, each with its parts."""
        for test, its_cells in enumerate(self._cells):
            for cell in its_cells:
                part = suspects & cell
                if part:
                    if part != suspects:
                        yield test, self.split(test, suspects)
                    break

    def solved(self, suspects: int) -> bool:
        """Whether nothing needs to be told apart in a set any more, or nothing can."""
        if not suspects & (suspects - 1):
            return True
        return self._sure(suspects) or next(self.useful(suspects), None) is None

    def settled(self, suspects: int) -> bool:
        """Whether all of what is to be mended is known, or cannot be told: more than `solved` where several
        things are wrong at once.
        """
        if not self.solved(suspects):
            return False
        alike = self.mends and len({self.mends[n] for n in members(suspects)}) == 1
        return bool(alike) or next(self.useful(suspects), None) is None

    def _sure(self, suspects: int) -> bool:
        """Whether something has to be put right whichever of a set it is."""
        if not self.mends:
            return False
        first, *others = (self.mends[n] for n in members(suspects))
        common = first.intersection(*others)
        return bool(common) or not any((first, *others))

    @cached_property
    def classes(self) -> tuple[int, ...]:
        """Sets of suspects that no test at all tells apart, in the order of their first members."""
        kinds: dict[tuple[int, ...], int] = {}
        for n in range(len(self.weights)):
            key = tuple(test.outcome[n] for test in self.tests)
            kinds[key] = kinds.get(key, 0) | 1 << n
        return tuple(kinds.values())

    @cached_property
    def groups(self) -> tuple[int, ...]:
        """The finest sets of which every plan must end in subsets: of one class or of one mending."""
        found: list[int] = []
        mends: dict[str, int] = {}
        for n, its in enumerate(self.mends):
            for mend in sorted(its) or [""]:
                mends[mend] = mends.get(mend, 0) | 1 << n
        for piece in (*self.classes, *mends.values()):
            apart = [group for group in found if not group & piece]
            for group in found:
                if group & piece:
                    piece |= group
            found = [*apart, piece]
        return tuple(sorted(found, key=lambda group: group & -group))

    def mend_seconds(self, suspects: int) -> float:
        """Seconds times weight to mend what a solved set holds.

        Several mendings in a set that nothing splits: the one with the most weight for its time comes first.
        An exchange of two neighbours shows that no other order is better.
        """
        if not self.mending:
            return 0.0
        if self._sure(suspects):
            return math.fsum(self.weights[n] * self.mending[n] for n in members(suspects))
        by_mend: dict[object, list[int]] = {}
        for n in members(suspects):
            by_mend.setdefault(self.mends[n] if self.mends else n, []).append(n)
        rows = []
        for its in by_mend.values():
            weight = math.fsum(self.weights[n] for n in its)
            rows.append((math.fsum(self.weights[n] * self.mending[n] for n in its) / weight, weight))
        rows.sort(key=lambda row: row[0] / row[1])
        left, terms = math.fsum(weight for _, weight in rows), []
        for seconds, weight in rows:
            terms.append(seconds * left)
            left -= weight
        return math.fsum(terms)


def members(suspects: int) -> Iterator[int]:
    """The numbers in a set, the lowest first."""
    while suspects:
        low = suspects & -suspects
        yield low.bit_length() - 1
        suspects ^= low


@lru_cache(maxsize=1 << 12)
def cells(outcome: tuple[int, ...]) -> tuple[int, ...]:
    """The sets of suspects that share an outcome, in the order of their first members."""
    found: dict[int, int] = {}
    for n, what in enumerate(outcome):
        found[what] = found.get(what, 0) | 1 << n
    return tuple(found.values())


def reduced(case: Case) -> Case:
    """The case without tests that another one makes needless: same parts, no dearer, no more to set up.

    Tests that tell nothing apart go too. No plan gets dearer by it.
    """
    kept: dict[tuple[int, ...], list[Test]] = {}
    for test, parts in zip(case.tests, case._cells, strict=True):
        if len(parts) < 2:
            continue
        same = kept.setdefault(parts, [])
        if any(old.seconds <= test.seconds and not old.setups & ~test.setups for old in same):
            continue
        same[:] = [o for o in same if not (test.seconds <= o.seconds and not test.setups & ~o.setups)] + [
            test
        ]
    tests = tuple(test for same in kept.values() for test in same)
    return Case(case.weights, tests, case.setup_seconds, case.mending, case.mends)
