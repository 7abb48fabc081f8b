"""The suspects of a job: every single fault that fits the complaint, and par for finding which it is.

The complaint is what the display and the input lamps told when the job began, and what its briefing says
beside that (`[[complaint]]`, as looks): a suspect shows the same there as the gate that somebody was called
to. Only those are tried against every look, which is why a hint need not wait for the whole table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from simgate.bench.setup import Setup
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.par import Next, Par, next_look, par
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.table import Table, known_faults, table_of
from simgate.wiring.faults import Fault

MOST_LOOKS = 60  # of a good hand's way; far more than any plan takes


@dataclass(frozen=True)
class Suspects:
    """table: of the suspects. first: their numbers there. actual: the number of what is really wrong."""

    stand: Stand
    table: Table
    first: tuple[int, ...]
    actual: int

    @cached_property
    def par(self) -> Par:
        """Par for finding it, from the complaint on."""
        return par(self.table, self.first)

    @cached_property
    def good_hand(self) -> tuple[tuple[Next, int], ...]:
        """Each look that a good hand would take with what is wrong here, and how many suspects it leaves."""
        left = self.first
        looks: list[int] = []
        found: list[tuple[Next, int]] = []
        while len(looks) < MOST_LOOKS and (best := next_look(self.table, left, looks)) is not None:
            looks.append(best.look)
            left = self.agreeing(left, best.look)
            found.append((best, len(left)))
        return tuple(found)

    def solved(self, suspects: tuple[int, ...]) -> bool:
        """Whether nothing is left to tell apart in a set, or nothing can."""
        case, _ = self.table.case(suspects)
        return case.solved(case.everything)

    def agreeing(self, suspects: tuple[int, ...], look: int) -> tuple[int, ...]:
        """Those of a set that show at a look what shows there."""
        outcome = self.table.outcomes[look]
        return tuple(one for one in suspects if outcome[one] == outcome[self.actual])


def suspects_of(setup: Setup, complaint: tuple[Complaint, ...] = ()) -> Suspects | None:
    """The suspects of a job; None for one without exactly one fault, or with one that no look shows."""
    if len(setup.faults) != 1:
        return None
    return _found(replace(setup, seed=0, text=""), complaint)


@lru_cache(maxsize=8)
def _found(setup: Setup, complaint: tuple[Complaint, ...]) -> Suspects | None:
    stand = Stand(setup)
    (fault,) = setup.faults
    every = known_faults(stand, setup.faults)
    shown = [stand.at_once(one) for one in every]
    places = frozenset(fault.place.split("|"))
    true = next(
        (
            n
            for n, one in enumerate(every)
            if one.kind is fault.kind and frozenset(one.place.split("|")) == places
        ),
        None,
    )
    if true is None:
        return None
    alike = [
        one
        for one, what in zip(every, shown, strict=True)
        if what == shown[true] and all(_among(one, told.among) for told in complaint)
    ]
    table = table_of(stand, alike)
    actual = table.suspect(fault)
    first = tuple(range(1, len(alike) + 1))
    found = Suspects(stand, table, first, actual)
    for number, look in enumerate(table.looks):
        if any(one.tells(look) for one in complaint):
            first = found.agreeing(first, number)
    if not any(outcome[actual] for outcome in table.outcomes):
        return None
    return replace(found, first=first)


def _among(fault: Fault, names: Sequence[str]) -> bool:
    """Whether a fault sits at one of these devices or wires; anywhere when none is named."""
    places = fault.place.split("|")
    return not names or any(place in names or place.rpartition(".")[0] in names for place in places)
