"""Sets of faults in the order in which they are worth trying: those first that single faults let one expect.

What a set reads is simulated, never put together from what its members read alone: two faults may hide or
make each other. But who looks for two faults at once begins with those that between them account for what was
seen, and so does this. It decides the order alone; what fits is decided by the copper (`inquiry.py`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import cast

from simgate.practice.diagnosis.costs import Tolerance
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.table import Faults, touches
from simgate.wiring.fault_table import row
from simgate.wiring.faults import Fault

BEAM = 60  # sets that are taken further where larger ones are looked for


@dataclass(frozen=True, slots=True)
class Account:
    """What one fault, or a set, accounts for of the things seen, as bits. shows: what it shows as it was
    seen, while a sound gate does not. against: what it shows otherwise than a sound gate and than was seen.
    """

    its: Faults
    shows: int
    against: int

    def with_one(self, other: Account) -> Account:
        """Both together, as far as one would expect."""
        return Account((*self.its, *other.its), self.shows | other.shows, self.against | other.against)


def compared(
    mine: Sequence[Reading],
    seen: Sequence[Reading],
    sound: Sequence[Reading],
    tolerances: Sequence[Tolerance | None],
) -> tuple[int, int]:
    """`shows` and `against` of what reads this. Lamp by lamp and line by line, where a look tells several
    things.
    """
    shows = against = bit = 0
    for own, right, other, tolerance in zip(mine, seen, sound, tolerances, strict=True):
        count = len(right) if isinstance(right, tuple) else 1
        for one, its, whole in zip(*(_things(read, count) for read in (own, right, other)), strict=True):
            if not touches(one, whole, tolerance):
                as_seen = touches(one, its, tolerance)
                shows |= as_seen << bit
                against |= (not as_seen) << bit
            bit += 1
    return shows, against


def _things(reading: Reading, count: int) -> tuple[Reading, ...]:
    """The several things that one look tells."""
    if isinstance(reading, tuple) and len(reading) == count:
        return cast("tuple[Reading, ...]", reading)
    return (reading,) * count


def likely(singles: Sequence[Account], bases: Sequence[Account], size: int, odd: int) -> Iterator[Faults]:
    """Sets of so many faults, no set twice: the bases with one more first, then all others. The order within
    a set is that of `singles`.

    odd: the things that a sound gate shows otherwise. Of more than two faults not every set is tried: those
    come that add one to the BEAM most likely sets of one less.
    """
    rank = {fault: n for n, one in enumerate(singles) for fault in one.its}
    given: set[Faults] = set()
    for few in _one_less(singles, bases, size, odd, rank):
        for one in _ordered(few, singles, odd, rank):
            if one.its not in given:
                given.add(one.its)
                yield one.its


def _one_less(
    singles: Sequence[Account], bases: Sequence[Account], size: int, odd: int, rank: dict[Fault, int]
) -> Iterator[Sequence[Account]]:
    """The sets of one fault less to go on from: the bases, and only then the most likely of all others."""
    yield [one for one in bases if len(one.its) == size - 1]
    level = singles
    for _ in range(size - 2):
        level = list(islice(_ordered(level, singles, odd, rank), BEAM))
    yield level


def _ordered(
    few: Sequence[Account], singles: Sequence[Account], odd: int, rank: dict[Fault, int]
) -> Iterator[Account]:
    """Each of `few` with one more: by what is left unaccounted for, then by how likely they are."""
    left, right = _alike(few), _alike(singles)
    levels: dict[int, list[tuple[tuple[int, int], tuple[int, int]]]] = {}
    for one in left:
        for other in right:
            shows, against = one[0] | other[0], one[1] | other[1]
            score = (odd & ~shows).bit_count() + (against & ~odd).bit_count()
            levels.setdefault(score, []).append((one, other))
    for score in sorted(levels):
        found: dict[Faults, Account] = {}
        for one, other in levels[score]:
            for base in left[one]:
                for more in right[other]:
                    if more.its[0] not in base.its:
                        both = base.with_one(more)
                        its = tuple(sorted(both.its, key=rank.__getitem__))
                        found.setdefault(its, Account(its, both.shows, both.against))
        yield from sorted(found.values(), key=lambda one: (-_weight(one.its), [rank[f] for f in one.its]))


def _alike(some: Sequence[Account]) -> dict[tuple[int, int], list[Account]]:
    found: dict[tuple[int, int], list[Account]] = {}
    for one in some:
        found.setdefault((one.shows, one.against), []).append(one)
    return found


def _weight(its: Faults) -> float:
    return math.prod(row(fault.kind).weight for fault in its)
