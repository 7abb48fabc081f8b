"""Par for a site and a set of suspects: the best plan found, how near to the best it is proven to be, and
what a good hand would look at next and why.

Par is the cheaper of a look-ahead plan and, where the search gets to its end, the cheapest plan there is. The
bound beside it is proven: no plan of these looks and costs is cheaper on average, whatever its order.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from simgate.practice.diagnosis.best import Best, search
from simgate.practice.diagnosis.case import Case, members
from simgate.practice.diagnosis.floor import floor
from simgate.practice.diagnosis.information import entropy, gain
from simgate.practice.diagnosis.observation import How
from simgate.practice.diagnosis.plan import Plan, Working, ranked
from simgate.practice.diagnosis.seeing import picture
from simgate.practice.diagnosis.states import State, StateKind
from simgate.practice.diagnosis.table import SOUND, Table
from simgate.practice.diagnosis.words import why

WIDTH = 6  # of the look-ahead
AHEAD = 30  # suspects up to which the working plan looks one test ahead
WORK = 400_000  # of the search: nodes opened times the square of the tests, which is what opening one takes
HINT_WORK = 60_000


@dataclass(frozen=True, slots=True)
class Par:
    """seconds: expected, of the best plan found. least: no plan is below this. suspects: before any look.

    proven: the plan is the cheapest there is. mending: seconds of both that mending and proving take.
    bits: of doubt before the first look.
    """

    seconds: float
    least: float
    mending: float
    suspects: tuple[int, ...]
    bits: float
    first: int | None
    proven: bool

    @property
    def looking(self) -> float:
        """Expected seconds of looking, mending apart."""
        return self.seconds - self.mending

    @property
    def least_looking(self) -> float:
        """What no plan's looking is below."""
        return self.least - self.mending

    @property
    def within(self) -> float:
        """How far above the best it can be at most, as a share of the best."""
        return self.seconds / self.least - 1.0 if self.least else 0.0


@dataclass(frozen=True, slots=True)
class Next:
    """look: number of the look. bits: that it tells on average. suspects: how many are left before it.

    expected: how many are left after it, on average. seconds: what it costs now. reason: in trade words,
    sentence by sentence; no suspect is named in it.
    """

    look: int
    bits: float
    suspects: int
    expected: float
    seconds: float
    reason: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One look that somebody took. bits: what it told. before, after: suspects left. best: what a good hand
    would have looked at instead; None when nothing was left to tell apart.
    """

    look: int
    bits: float
    before: int
    after: int
    best: Next | None


def fault_set(table: Table, suspect: int, looks: Sequence[int] | None = None) -> tuple[int, ...]:
    """The suspects that show what this one shows at these looks; unless given: display and lamps at rest."""
    chosen = picture(table.looks, State(StateKind.REST)) if looks is None else looks
    alike = []
    for other in range(1, len(table.faults) + 1):
        if all(table.outcomes[look][other] == table.outcomes[look][suspect] for look in chosen):
            alike.append(other)
    return tuple(alike)


def par(table: Table, suspects: Sequence[int], looked: Sequence[int] = (), opened: Sequence[str] = ()) -> Par:
    """Par for these suspects (numbers of the table, without the sound gate) after the looks in `looked`.

    opened: what else was fetched or opened. Raises ValueError for no suspects.
    """
    _check(suspects)
    case, looks = table.case(suspects)
    paid = table.needs_bits(looked, opened)
    plan, found = _planned(case, paid, WORK)
    least = found.least if found.plan is not None else max(found.least, floor(case, paid))
    mending = math.fsum(case.mend_seconds(one) for one in case.classes) / case.total
    return Par(
        plan.cost / case.total,
        min(least, plan.cost) / case.total,
        mending,
        tuple(suspects),
        entropy(case.weights),
        None if plan.test is None else looks[plan.test],
        found.plan is not None,
    )


def next_look(
    table: Table, suspects: Sequence[int], looked: Sequence[int] = (), opened: Sequence[str] = ()
) -> Next | None:
    """What a good hand would look at next; None when nothing more needs to be told apart, or can be.

    looked: looks that were taken. opened: what else was fetched or opened.
    """
    _check(suspects)
    case, looks = table.case(suspects)
    if case.solved(case.everything):
        return None
    paid = table.needs_bits(looked, opened)
    if len(suspects) > AHEAD:  # there the working plan is the best that is known, and begins with this
        _, bits, test, parts = ranked(case, case.everything, paid)[0]
    else:
        plan, _ = _planned(case, paid, HINT_WORK)
        assert plan.test is not None
        test, parts = plan.test, plan.parts
        bits = gain(case, parts)
    after = math.fsum(case.weight(part) * part.bit_count() for part in parts) / case.total
    number = looks[test]
    look, shows = table.looks[number], table.readings[number]
    rows = [(part, shows[suspects[next(members(part))]]) for part in parts]
    unpaid = [need for need in look.needs if not table.needs_bits((), (need,)) & paid]
    reason = why(table.setup.site.wiring, case, look, rows, unpaid)
    return Next(number, bits, len(suspects), after, case.cost(test, paid), reason)


def _planned(case: Case, paid: int, work: int) -> tuple[Plan, Best]:
    """The best plan found within so much work, and how far the search got."""
    found = search(case, work // max(len(case.tests) ** 2, 1), paid=paid)
    if found.plan is not None:
        return found.plan, found
    ahead = 1 if len(case.weights) <= AHEAD else 0
    return Working(case, ahead, WIDTH).plan(paid=paid), found


def follow(table: Table, actual: int, looks: Sequence[int], suspects: Sequence[int]) -> tuple[Step, ...]:
    """What each look in turn told about the actual fault, beside the best that could have been looked at."""
    left, steps = tuple(suspects), []
    for number, look in enumerate(looks):
        if not left:
            break
        best = next_look(table, left, looks[:number])
        case, _ = table.case(left)
        outcome = table.outcomes[look]
        after = tuple(one for one in left if outcome[one] == outcome[actual])
        weights = dict(zip(left, case.weights, strict=True))
        kept = math.fsum(weights[one] for one in after)
        told_bits = -math.log2(kept / case.total) + 0.0 if kept else 0.0
        steps.append(Step(look, told_bits, len(left), len(after), best))
        left = after
    return tuple(steps)


def look_number(table: Table, how: How, a: str, b: str = "", kind: StateKind = StateKind.REST) -> int | None:
    """The number of a look by what was done, the probes either way round; None for one not planned with."""
    for number, look in enumerate(table.looks):
        if look.how is how and look.state.kind is kind and (look.a, look.b) in ((a, b), (b, a)):
            return number
    return None


def _check(suspects: Sequence[int]) -> None:
    if not suspects or SOUND in suspects:
        raise ValueError("par needs suspects, the sound gate not among them")


def tree(plan: Plan) -> int:
    """How many looks the plan takes at most."""
    return 0 if plan.test is None else 1 + max(tree(further) for further in plan.plans)
