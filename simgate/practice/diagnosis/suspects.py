"""The suspects at one point of a finding: the smallest sets of faults that fit everything seen so far.

A gate is taken to have as few faults as what was seen allows, for one is likelier than two: first every
single fault that fits the complaint; when none fits, or none fits any more, sets of two, and so on. So focus
those who diagnose from models on the diagnoses that lead (de Kleer and Williams 1987, from memory). To hold
pairs beside single faults from the start would do nobody a service: next to every single fault that fits
there are hundreds of pairs of it and something that shows nowhere, and nothing were ever found.

Nobody is told how many there are. While sets smaller than what is wrong still fit, what is wrong is not among
the suspects; it is from the moment that none of those fits any more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.par import Par, par
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.table import Faults, Table, touches


@dataclass(frozen=True)
class Suspects:
    """table: of the suspects as their gates stand now; a set of which hands have mended a part reads as what
    is left of it. sets: for each suspect all that was wrong with it at first. size: how many faults that is.

    seen: what each look tells at the gate as it stands. capped: more sets may fit; these are the likeliest.
    """

    stand: Stand
    table: Table
    sets: tuple[Faults, ...]
    size: int
    seen: tuple[Reading, ...]
    capped: bool = False
    _pars: dict[frozenset[str], Par] = field(default_factory=dict, repr=False, compare=False)

    @property
    def first(self) -> tuple[int, ...]:
        """Their numbers in the table."""
        return tuple(self.table.suspects)

    def par(self, opened: Sequence[str] = ()) -> Par:
        """Par for telling them apart until something is sure to be wrong. opened: what is fetched or open.

        Searched for once: every run of a job is measured by it.
        """
        found = self._pars.get(frozenset(opened))
        if found is None:
            found = self._pars[frozenset(opened)] = par(self.table, self.first, opened=opened)
        return found

    def solved(self, suspects: tuple[int, ...]) -> bool:
        """Whether something is sure to be wrong, or nothing more can be told apart."""
        case, _ = self.table.case(suspects)
        return case.solved(case.everything)

    def settled(self, suspects: tuple[int, ...]) -> bool:
        """Whether all that is wrong is known, or nothing more can be told apart."""
        case, _ = self.table.case(suspects)
        return case.settled(case.everything)

    def shows(self, look: int) -> frozenset[int]:
        """The outcomes of a look that are what is seen there; none of a suspect when it refutes all."""
        tolerance = costs().tolerance_of(self.table.looks[look].how.value)
        seen, readings = self.seen[look], self.table.readings[look]
        return frozenset(
            what
            for what, reading in zip(self.table.outcomes[look], readings, strict=True)
            if touches(reading, seen, tolerance)
        )

    def agreeing(self, suspects: Sequence[int], looks: Sequence[int]) -> tuple[int, ...]:
        """Those of a set that show at all of these looks what is seen there."""
        left = tuple(suspects)
        for look in looks:
            seen, outcome = self.shows(look), self.table.outcomes[look]
            left = tuple(one for one in left if outcome[one] in seen)
        return left
