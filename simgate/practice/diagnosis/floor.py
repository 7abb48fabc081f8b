"""What no plan for a whole case can undercut, worked out more thoroughly than for each node of a search.

Every plan has a way on which each test shows what most suspects show (whichever of its cells is taken for
that: the bound holds, and is only better or worse). Whoever is a suspect leaves that way with the first test
that shows otherwise, and all who are still on it pay for each test of it. A test sees off the suspects
outside that cell and no others, so its seconds, and what has to be fetched and opened for it, can be shared
out over them beforehand: as prices by weight, of which no test's suspects together pay more than it costs.
When some have left, at least their prices have been paid; and the order that costs least takes the lowest
price first (Smith's rule of 1956 for jobs on one machine, from memory). One group may stay to the end.

Fetching and opening may be counted otherwise: where two suspects must be told apart, one of the tests that
can do so has been set up by the end, on that way or beside it. The better of both counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from simgate.practice.diagnosis.case import Case, members


def floor(case: Case, paid: int = 0) -> float:
    """Seconds times weight that no plan for all suspects undercuts, mending included."""
    mending = math.fsum(case.mend_seconds(one) for one in case.classes)
    if len(case.groups) < 2:
        return mending
    seen_off = [_seen_off(case, number) for number in range(len(case.tests))]
    seconds = _prices(case, seen_off)
    setups = _setup_prices(case, seen_off, paid)
    both = [one + other for one, other in zip(seconds, setups, strict=True)]
    return mending + max(_in_turn(case, both), _in_turn(case, seconds) + _setups(case, paid))


def _seen_off(case: Case, test: int) -> int:
    """Whom a test sees off: all but its heaviest cell."""
    return case.everything & ~max(case.split(test, case.everything), key=case.weight)


def _prices(case: Case, seen_off: Sequence[int]) -> list[float]:
    """A price for each suspect, such that no test's suspects pay more than its seconds together: all rise
    alike until a test is paid, its suspects stay at that, the others go on.
    """
    prices = [math.inf] * len(case.weights)
    left = case.everything
    rows = [
        (test.seconds, case.weight(its), its) for test, its in zip(case.tests, seen_off, strict=True) if its
    ]
    while rows:
        price, its = min((seconds / weight, its) for seconds, weight, its in rows)
        fixed = its & left
        for one in members(fixed):
            prices[one] = price
        left &= ~fixed
        fresh = []
        for seconds, _, its in rows:
            if its & left:
                paid = case.weight(its & fixed) if its & fixed else 0.0
                fresh.append((max(seconds - paid * price, 0.0), case.weight(its & left), its))
        rows = fresh
    return prices


def _setup_prices(case: Case, seen_off: Sequence[int], paid: int) -> list[float]:
    """The same of what must be fetched and opened: each shared out over all whom a test sees off that needs
    it; a suspect pays for the test that asks the least of it.
    """
    users: dict[int, int] = {}
    for test, its in zip(case.tests, seen_off, strict=True):
        for bit in members(test.setups & ~paid):
            users[bit] = users.get(bit, 0) | its
    each = {bit: case.setup_seconds[bit] / case.weight(its) for bit, its in users.items() if its}
    prices = [math.inf] * len(case.weights)
    for test, its in zip(case.tests, seen_off, strict=True):
        price = math.fsum(each.get(bit, 0.0) for bit in members(test.setups & ~paid))
        for one in members(its):
            prices[one] = min(prices[one], price)
    return prices


def _in_turn(case: Case, prices: Sequence[float]) -> float:
    """The least that all pay on the way, whichever group stays."""
    order = sorted(range(len(prices)), key=lambda one: prices[one])
    stays = [group for group in case.groups if any(math.isinf(prices[one]) for one in members(group))]
    if len(stays) > 1:
        return 0.0  # cannot be: two that no test sees off are told apart by none
    return min(_in_order(case, order, prices, group) for group in stays or case.groups)


def _in_order(case: Case, order: Sequence[int], prices: Sequence[float], stays: int) -> float:
    """All but one group seen off, the lowest price first. Of that one each either stays and pays for all, or
    leaves as well and pays for that.
    """
    spent, terms = 0.0, []
    for one in order:
        if not stays >> one & 1:
            weight = case.weights[one]
            spent += weight * prices[one]
            terms.append(weight * spent)
    terms += [case.weights[one] * min(spent, case.weights[one] * prices[one]) for one in members(stays)]
    return math.fsum(terms)


def _setups(case: Case, paid: int) -> float:
    """Of every suspect the dearest setting up that telling it from any other takes at least."""
    together: dict[int, list[tuple[int, ...]]] = {}
    for test in case.tests:
        together.setdefault(test.setups & ~paid, []).append(test.outcome)
    rows = []
    for setups, outcomes in together.items():
        shown = list(zip(*outcomes, strict=True))
        alike: dict[tuple[int, ...], int] = {}
        for one, shows in enumerate(shown):
            alike[shows] = alike.get(shows, 0) | 1 << one
        seconds = math.fsum(case.setup_seconds[bit] for bit in members(setups))
        rows.append((seconds, [alike[shows] for shows in shown]))
    rows.sort(key=lambda row: row[0])
    terms = []
    for group in case.groups:
        for one in members(group):
            left, most = case.everything & ~group, 0.0
            for seconds, cells in rows:
                if left & ~cells[one]:
                    left &= cells[one]
                    most = seconds
            terms.append(case.weights[one] * most)
    return math.fsum(terms)
