"""Every single fault of a site against every look: which can be told apart by which, and which by none.

Two readings that the tolerance of their instrument lets overlap are one outcome, and so is a chain of such:
what counts as told apart is told apart with any instrument that keeps its tolerance. Suspect 0 is the sound
gate.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations
from operator import itemgetter

from simgate.bench.setup import Setup
from simgate.practice.diagnosis.case import Case, Test, members, reduced
from simgate.practice.diagnosis.costs import Tolerance, costs
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.observation import Observation, setup_seconds
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import NO_HANDS
from simgate.wiring.fault_table import row
from simgate.wiring.faults import Fault
from simgate.wiring.spec import FaultKind

Faults = tuple[Fault, ...]  # at once; none: a sound gate

SOUND = 0
MOST_SINGLES = 16  # of which pairs are made: 120 pairs and their looks in a second or two

# What is put right by making one core anew.
CORE = (
    FaultKind.PARTED_WIRE, FaultKind.TIRED_JOINT, FaultKind.EARTH_LEAK, FaultKind.FLICKER,
    FaultKind.WET_CABLE, FaultKind.LOOSE_CORE,
)  # fmt: skip
OWN = (
    FaultKind.THIN_CABLE, FaultKind.WRONG_TERMINAL, FaultKind.BRIDGED_PAIR, FaultKind.EDGES_IN_PARALLEL,
    FaultKind.MISSING_LINK, FaultKind.FORGOTTEN_LINK, FaultKind.SWAPPED_PAIR, FaultKind.STIFF_HINGE,
    FaultKind.SWAPPED_CORES,
    FaultKind.MOVED_STOP, FaultKind.BLOWN_FUSE, FaultKind.SAGGED_LEAF, FaultKind.SLACK_LINKAGE,
    FaultKind.RELIEF_VALVE, FaultKind.LATE_RELIEF_VALVE, FaultKind.STRONG_WIND,
)  # fmt: skip


@dataclass(frozen=True)
class Table:
    """sets: what is wrong with each suspect, all of it at once; suspect n is sets[n - 1], one fault first.
    readings: by look, one for each suspect, the sound gate's before them.

    outcomes: by look, the number of what shows for each suspect, 0 for what a sound gate shows. weights: of
    the suspects; `prior` unless given. by_hand: planned with is only what hands can do at the bench, so that
    nobody is measured by a look that could not be taken.
    """

    setup: Setup
    sets: tuple[Faults, ...]
    looks: tuple[Observation, ...]
    readings: tuple[tuple[Reading, ...], ...]
    outcomes: tuple[tuple[int, ...], ...]
    weights: tuple[float, ...] = ()
    by_hand: bool = False

    @property
    def suspects(self) -> range:
        """The numbers of all, the sound gate left out."""
        return range(1, 1 + len(self.sets))

    @cached_property
    def faults(self) -> tuple[Fault, ...]:
        """The single faults; suspect n is faults[n - 1]."""
        return tuple(one for its in self.sets if len(its) == 1 for one in its)

    @cached_property
    def pairs(self) -> tuple[Faults, ...]:
        """The suspects with two faults at once."""
        return tuple(its for its in self.sets if len(its) == 2)

    def faults_of(self, suspect: int) -> Faults:
        """What is wrong with a suspect: one fault, two of a pair, none of the sound gate."""
        return () if suspect == SOUND else self.sets[suspect - 1]

    @cached_property
    def _total(self) -> float:
        return total(self.faults)

    def weight(self, suspect: int) -> float:
        """How likely a suspect is beside the others."""
        return self.weights[suspect - 1] if self.weights else prior(self.faults_of(suspect), self._total)

    def _mending(self, suspect: int) -> float:
        return math.fsum(row(fault.kind).seconds for fault in self.faults_of(suspect)) + costs().proving

    @cached_property
    def classes(self) -> tuple[tuple[int, ...], ...]:
        """Sets of suspects that no look tells apart, the sound gate's first."""
        kinds: dict[tuple[int, ...], list[int]] = {}
        for suspect, shows in enumerate(zip(*self.outcomes, strict=True)):
            kinds.setdefault(shows, []).append(suspect)
        return tuple(tuple(its) for its in kinds.values())

    def apart(self, one: int, other: int) -> Iterator[Observation]:
        """The looks that tell two suspects apart."""
        for look, outcome in zip(self.looks, self.outcomes, strict=True):
            if outcome[one] != outcome[other]:
                yield look

    def suspect(self, fault: Fault) -> int:
        """The number of a fault by kind and place. Raises ValueError when the site cannot have it."""
        for number, known in enumerate(self.faults, 1):
            if known.where == fault.where:
                return number
        raise ValueError(f"{fault.kind.value} at {fault.place}: not a fault that this site can have")

    @cached_property
    def _needs(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(need for look in self.looks for need in look.needs))

    def can_take(self, look: Observation) -> bool:
        """Whether a plan may hold a look."""
        return not self.by_hand or look.state.kind not in NO_HANDS

    def case(self, suspects: Sequence[int]) -> tuple[Case, tuple[int, ...]]:
        """The case of these suspects without needless looks, and the number of the look of each test."""
        bits = {need: 1 << n for n, need in enumerate(self._needs)}
        of_these = itemgetter(*suspects) if len(suspects) > 1 else (lambda outcome: (outcome[suspects[0]],))
        tests = []
        for number, (look, outcome) in enumerate(zip(self.looks, self.outcomes, strict=True)):
            if not self.can_take(look):
                continue
            shows = of_these(outcome)
            if len(set(shows)) > 1:
                setups = 0
                for need in look.needs:
                    setups |= bits[need]
                tests.append(Test(str(number), look.seconds, shows, setups))
        spec = self.setup.site.wiring
        case = reduced(
            Case(
                tuple(self.weight(suspect) for suspect in suspects),
                tuple(tests),
                tuple(setup_seconds(spec, need) for need in self._needs),
                tuple(self._mending(suspect) for suspect in suspects),
                tuple(mends(self.faults_of(suspect)) for suspect in suspects),
            )
        )
        return case, tuple(int(test.name) for test in case.tests)

    def needs_bits(self, looks: Iterable[int], opened: Iterable[str] = ()) -> int:
        """The setups that these looks have paid, and those of `opened`, as bits of a case."""
        bits = {need: 1 << n for n, need in enumerate(self._needs)}
        paid = 0
        for need in chain(opened, *(self.looks[look].needs for look in looks)):
            paid |= bits.get(need, 0)  # nothing that is planned with needs the others
        return paid


def build(setup: Setup, given: Sequence[Fault] = ()) -> Table:
    """The table of a site as a job sets it up. given: faults whose kinds have not the usual amount."""
    stand = Stand(setup)
    return table_of(stand, known_faults(stand, given))


def known_faults(stand: Stand, given: Sequence[Fault]) -> tuple[Fault, ...]:
    """Every single fault of a site; those of a kind of `given` with the amount that it has there.

    All of a kind alike: nobody knows beforehand how far gone it is, so an amount must not tell the place.
    Of two of a kind that are given with amounts of their own, the first is the measure for all others.
    """
    amounts = {fault.kind: fault.amount for fault in reversed(given)}
    own = {fault.where: fault for fault in given}
    return tuple(
        own.get(fault.where, Fault(fault.kind, fault.place, amounts.get(fault.kind, fault.amount)))
        for fault in stand.faults()
    )


def table_of(stand: Stand, found: Sequence[Fault]) -> Table:
    """The table of these faults alone, tried on `stand`."""
    return tabled(
        stand,
        [(fault,) for fault in found],
        [tuple(stand.read(None)), *(tuple(stand.read(fault)) for fault in found)],
    )


def with_pairs(setup: Setup, singles: Sequence[Fault]) -> Table:
    """The table of a small set of faults and of every two of them at once that can be there together.

    Raises ValueError for more than MOST_SINGLES.
    """
    if len(singles) > MOST_SINGLES:
        raise ValueError(f"{len(singles)} faults in pairs; at most {MOST_SINGLES}")
    stand = Stand(setup)
    pairs = tuple(pair for pair in combinations(singles, 2) if stand.together(*pair))
    sets: list[Faults] = [*((fault,) for fault in singles), *pairs]
    return tabled(stand, sets, [tuple(stand.read(None)), *(tuple(stand.read(*its)) for its in sets)])


def tabled(
    stand: Stand, sets: Sequence[Faults], rows: Sequence[Sequence[Reading]], weights: Sequence[float] = ()
) -> Table:
    """The table of these sets of faults. rows: what all looks tell, of the sound gate and of each set."""
    readings = tuple(zip(*rows, strict=True))
    table = costs()
    outcomes = tuple(
        outcome(its, table.tolerance_of(look.how.value))
        for look, its in zip(stand.looks, readings, strict=True)
    )
    return Table(stand.setup, tuple(sets), stand.looks, readings, outcomes, tuple(weights))


def total(faults: Iterable[Fault]) -> float:
    """The weight of faults of which any may be there."""
    return math.fsum(row(fault.kind).weight for fault in faults)


def prior(its: Sequence[Fault], whole: float) -> float:
    """How likely just these are there, beside one that is alone. whole: the weight of all that can be.

    Of the gates with a fault a share of `second` have two, of those as many have three, and so on; which ones
    is drawn by weight, one after the other.
    """
    found = 1.0
    for number, fault in enumerate(its, 1):
        found *= row(fault.kind).weight * (1.0 if number == 1 else number * costs().second / whole)
    return found


def outcome(readings: Sequence[Reading], tolerance: Tolerance | None) -> tuple[int, ...]:
    """The number of what shows for each reading; 0 for the first one's."""
    numbers: dict[Reading, int] = {}
    if tolerance is not None:
        numbers = _bands({reading for reading in readings if isinstance(reading, float)}, tolerance)
    free = max(numbers.values(), default=-1) + 1
    for reading in readings:
        if reading not in numbers:
            numbers[reading] = free
            free += 1
    first = numbers[readings[0]]
    return tuple(0 if numbers[reading] == first else numbers[reading] + 1 for reading in readings)


def _bands(values: set[float], tolerance: Tolerance) -> dict[Reading, int]:
    """Readings whose bands touch, one by one or in a chain, share a number."""
    found: dict[Reading, int] = {}
    top, number = -math.inf, -1
    for value in sorted(values):
        off = tolerance.off(value)
        if value - off > top:
            number += 1
        top = max(top, value + off)
        found[value] = number
    return found


def touches(one: Reading, other: Reading, tolerance: Tolerance | None) -> bool:
    """Whether two readings may be one and the same."""
    if one == other:
        return True
    if tolerance is None or not isinstance(one, float) or not isinstance(other, float):
        return False
    low, high = min(one, other), max(one, other)
    return high - tolerance.off(high) <= low + tolerance.off(low)


def mend(fault: Fault) -> str:
    """What puts a fault right: a core made anew, a device put right, or something of its own."""
    if fault.kind in CORE:
        return f"core {fault.place}"
    if fault.kind in OWN:
        return f"{fault.kind.value} {fault.place}"
    return f"device {fault.place}"


def mends(its: Sequence[Fault]) -> frozenset[str]:
    """All that has to be put right of faults at once."""
    return frozenset(mend(fault) for fault in its)


def named(table: Table, suspects: int) -> list[str]:
    """Suspects of a set in words: 'parted-wire at stop-feed'."""
    return [told(table, n) for n in members(suspects)]


def told(table: Table, suspect: int) -> str:
    """One suspect in words."""
    return " and ".join(_told(fault) for fault in table.faults_of(suspect)) or "nothing"


def _told(fault: Fault) -> str:
    amount = f" ({fault.amount:g} {row(fault.kind).unit})" if fault.amount else ""
    return f"{fault.kind.value} at {fault.place}{amount}"
