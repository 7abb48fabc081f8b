"""How much a test tells, and how little a plan can cost at the very least.

Bits are Shannon's. Two lower bounds, both of them true of every plan:

- rate: a plan must gather the entropy of what it has to tell apart, and no test gathers more bits a second
  than the logarithm of its outcomes over its seconds;
- Huffman: with at most k outcomes a test, the expected number of tests is at least the expected length of
  the best k-ary code (Huffman 1952), and none costs less than the cheapest test.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Sequence

from simgate.practice.diagnosis.case import Case


def entropy(weights: Iterable[float]) -> float:
    """Bits of doubt between exclusive cases of these weights (of any total)."""
    found = [weight for weight in weights if weight > 0.0]
    total = math.fsum(found)
    return -math.fsum(w / total * math.log2(w / total) for w in found) + 0.0 if total else 0.0


def gain(case: Case, parts: Sequence[int]) -> float:
    """Bits that a test tells which splits what is left into `parts`: the entropy of its outcome."""
    *small, large = sorted(parts, key=int.bit_count)
    whole = 0
    for part in parts:
        whole |= part
    weights = [case.weight(part) for part in small]
    left = case.weight(whole) - math.fsum(weights)  # quicker than adding up the many
    return entropy((*weights, left if len(weights) and left > 0.0 else case.weight(large)))


def huffman(weights: Iterable[float], ways: int = 2) -> float:
    """Expected length of the best code with `ways` symbols, times the total weight.

    Raises ValueError for fewer than two ways.
    """
    if ways < 2:
        raise ValueError("a code needs two symbols")
    heap = list(weights)
    if len(heap) < 2:
        return 0.0
    heap += [0.0] * (-(len(heap) - 1) % (ways - 1))
    heapq.heapify(heap)
    sums = []
    while len(heap) > 1:
        merged = math.fsum(heapq.heappop(heap) for _ in range(ways))
        sums.append(merged)
        heapq.heappush(heap, merged)
    return math.fsum(sums)


class Bounds:
    """Lower bounds of a case: `least(suspects)` is seconds times weight that no plan undercuts."""

    def __init__(self, case: Case) -> None:
        self._case = case
        self._groups = case.groups
        self._known: dict[int, float] = {}

    def least(self, suspects: int) -> float:
        """The better of both bounds for the tests that a set still needs; mending left out."""
        found = self._known.get(suspects)
        if found is None:
            found = self._known[suspects] = self._least(suspects)
        return found

    def _least(self, suspects: int) -> float:
        case = self._case
        pieces = [suspects & group for group in self._groups if suspects & group]
        if len(pieces) < 2:
            return 0.0
        best_rate, ways, cheapest = 0.0, 2, math.inf
        for test, parts in case.useful(suspects):
            seconds = case.tests[test].seconds
            cheapest = min(cheapest, seconds)
            ways = max(ways, len(parts))
            if seconds <= 0.0:
                return 0.0
            best_rate = max(best_rate, math.log2(len(parts)) / seconds)
        if not best_rate:
            return 0.0
        weights = [case.weight(piece) for piece in pieces]
        by_rate = math.fsum(weights) * entropy(weights) / best_rate
        return max(by_rate, cheapest * huffman(weights, ways))
