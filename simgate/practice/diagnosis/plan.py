"""Plans, and the working plan: what tells most for its time comes next.

A plan is a tree: a test, and for each outcome the plan that follows. Its expected seconds follow from the
weights alone; `Plan.seconds` is what is stated to people, `expected` works it out anew from the tree.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simgate.practice.diagnosis.case import Case
from simgate.practice.diagnosis.information import gain


@dataclass(frozen=True, slots=True)
class Plan:
    """test: number of the test, None where nothing is to be told apart. parts, plans: for each outcome.

    cost: seconds times weight of all that follows, mending included.
    """

    suspects: int
    cost: float
    test: int | None = None
    parts: tuple[int, ...] = ()
    plans: tuple[Plan, ...] = ()


def seconds(case: Case, plan: Plan) -> float:
    """Expected seconds of a plan."""
    return plan.cost / case.weight(plan.suspects)


def expected(case: Case, plan: Plan, paid: int = 0) -> float:
    """Seconds times weight of a plan, worked out from its tests; equal to its `cost`."""
    if plan.test is None:
        return case.mend_seconds(plan.suspects)
    spent = case.cost(plan.test, paid) * case.weight(plan.suspects)
    paid |= case.tests[plan.test].setups
    return spent + math.fsum(expected(case, further, paid) for further in plan.plans)


def ranked(case: Case, suspects: int, paid: int = 0) -> list[tuple[float, float, int, tuple[int, ...]]]:
    """The useful tests, the best rate first: (bits a second, bits, test, parts). Ties keep their order."""
    rows = []
    for test, parts in case.useful(suspects):
        bits = gain(case, parts)
        cost = case.cost(test, paid)
        rows.append((bits / cost if cost else math.inf, bits, test, parts))
    rows.sort(key=lambda row: -row[0])
    return rows


class Working:
    """The working plan of a case: bits per second, looking `depth` tests ahead over the best `width` ones.

    depth 0 takes the best rate. depth 1 tries each of the best `width` tests with the plain working plan
    behind it and takes the one that comes out cheapest; and so on. Sets that were planned are kept.
    """

    def __init__(self, case: Case, depth: int = 0, width: int = 6) -> None:
        self._case, self._depth, self._width = case, depth, width
        self._known: dict[tuple[int, int, int], Plan] = {}

    def plan(self, suspects: int | None = None, paid: int = 0) -> Plan:
        """The plan for a set (all suspects unless said)."""
        left = self._case.everything if suspects is None else suspects
        return self._plan(left, paid, self._depth)

    def _plan(self, suspects: int, paid: int, depth: int) -> Plan:
        key = suspects, paid, depth
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._made(suspects, paid, depth)
        return found

    def _made(self, suspects: int, paid: int, depth: int) -> Plan:
        case = self._case
        if case.solved(suspects):
            return Plan(suspects, case.mend_seconds(suspects))
        rows = ranked(case, suspects, paid)
        tried = [
            self._with(suspects, paid, depth, row[2], row[3]) for row in rows[: self._width if depth else 1]
        ]
        best = min(tried, key=lambda plan: plan.cost)
        if not depth:
            return best
        assert best.test is not None
        return self._with(suspects, paid, depth + 1, best.test, best.parts)

    def _with(self, suspects: int, paid: int, depth: int, test: int, parts: tuple[int, ...]) -> Plan:
        """The plan that begins with `test`, followed by plans of one look-ahead less."""
        case = self._case
        further = paid | case.tests[test].setups
        plans = tuple(self._plan(part, further, max(depth - 1, 0)) for part in parts)
        spent = case.cost(test, paid) * case.weight(suspects)
        return Plan(suspects, spent + math.fsum(plan.cost for plan in plans), test, parts, plans)
