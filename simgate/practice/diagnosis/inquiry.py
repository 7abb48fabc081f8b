"""An inquiry: every set of faults that could be what is wrong with a job's gate, tried in its copper.

A set is held when it fits: when each thing that was seen would have been seen with it, too. The cheap things
are asked first, and only what fits gets a whole row of readings. At most TRIED sets of more than one fault
are tried, in the order of `likely.py`, and at most HELD are held; what is really wrong is always held among
sets of its size, wherever it would come. On a gate with few faults that is every set there is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from simgate.bench.setup import Setup
from simgate.files import UserError
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.evidence import Seen, Work, told, tolerance_in
from simgate.practice.diagnosis.likely import Account, compared, likely
from simgate.practice.diagnosis.seeing import picture
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import State, StateKind
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.table import Faults, known_faults, mend, prior, tabled, total, touches
from simgate.practice.diagnosis.worlds import World, left_of
from simgate.wiring.faults import Fault

TRIED = 500  # sets of more than one fault
HELD = 150


class Inquiry:
    """truth: all that is wrong. complaint: what is seen and told before anybody looks. at_once: the looks
    that everybody takes who opens the lid.
    """

    def __init__(
        self, setup: Setup, complaint: tuple[Complaint, ...] = (), every: Sequence[Fault] | None = None
    ) -> None:
        """every: the single faults that the site can have, unless it is a matter of just some of them."""
        self.stand = Stand(setup)
        self.truth: Faults = setup.faults
        self._every = known_faults(self.stand, setup.faults) if every is None else tuple(every)
        self._rank = {fault.where: n for n, fault in enumerate(self._every)}
        self._whole = total(self._every)
        self._rows: dict[Faults, tuple[Reading, ...]] = {}
        self._some: dict[Faults, dict[int, Reading]] = {}
        self._left: dict[tuple[Faults, tuple[Work, ...]], Faults] = {}
        self._off: dict[tuple[Seen, ...], tuple[Reading, ...]] = {}
        self._wider: dict[object, Suspects] = {}
        self._among = tuple(one.among for one in complaint if one.among)
        looks = self.stand.looks
        self.at_once = picture(looks, State(StateKind.REST))
        briefed = (n for n, look in enumerate(looks) if any(one.tells(look) for one in complaint))
        self.complaint = Seen((), tuple(dict.fromkeys((*self.at_once, *briefed))))

    @property
    def shows(self) -> bool:
        """Whether what is wrong is known as something that the site can have, and some look shows it."""
        return all(one.where in self._rank for one in self.truth) and self.apart(self.truth, ())

    def apart(self, some: Faults, others: Faults) -> bool:
        """Whether any look tells these faults from those."""
        return any(
            not touches(one, other, costs().tolerance_of(look.how.value))
            for one, other, look in zip(self.row(some), self.row(others), self.stand.looks, strict=True)
        )

    def prior(self, its: Faults) -> float:
        """How likely just these are wrong, beside any other set."""
        return prior(its, self._whole)

    # Suspects -------------------------------------------------------------------------------------

    def first(self) -> Suspects:
        """The suspects before anybody looks."""
        found = self._wider.get(())
        if found is None:
            singles = [(one,) for one in self._every if self.fits((one,), (self.complaint,))]
            if singles:
                found = self.at(singles, [self.prior(its) for its in singles], (), 1)
            else:
                found = self.wider((), 1, (self.complaint,), ())
            self._wider[()] = found
        return found

    def wider(
        self, refuted: Sequence[Faults], size: int, seen: tuple[Seen, ...], done: tuple[Work, ...]
    ) -> Suspects:
        """The suspects when no set of so many faults fits what was seen: the next larger ones that do.

        refuted: the sets that fitted last.
        """
        key = (tuple(refuted), size, seen, done)
        found = self._wider.get(key)
        if found is None:
            sets: list[Faults] = []
            capped = False
            while not sets:
                size += 1
                sets, capped = self._held(refuted, size, seen)
            found = self.at(sets, [self.prior(its) for its in sets], done, size, capped)
            self._wider[key] = found
        return found

    def at(
        self,
        sets: Sequence[Faults],
        weights: Sequence[float],
        done: tuple[Work, ...],
        size: int,
        capped: bool = False,
    ) -> Suspects:
        """These sets as their gates stand after that work; those of which the same is left are one."""
        first: dict[Faults, Faults] = {}
        weight: dict[Faults, float] = {}
        for its, its_weight in zip(sets, weights, strict=True):
            left = self.left(its, done)
            first.setdefault(left, its)
            if self._known(its) is self.truth:
                first[left] = its
            weight[left] = weight.get(left, 0.0) + its_weight
        rows = [self.row(()), *(self.row(left) for left in first)]
        table = replace(tabled(self.stand, tuple(first), rows, tuple(weight.values())), by_hand=True)
        seen = self.row(self.left(self.truth, done))
        return Suspects(self.stand, table, tuple(first.values()), size, seen, capped)

    def _held(
        self, refuted: Sequence[Faults], size: int, seen: tuple[Seen, ...]
    ) -> tuple[list[Faults], bool]:
        """The sets of so many faults that fit, and whether there may be more."""
        found: list[Faults] = []
        if size == len(self.truth):
            found.append(self.truth)
        capped = False
        for tried, its in enumerate(self._likely(refuted, size, seen)):
            if tried == TRIED or len(found) == HELD:
                capped = True
                break
            if self._known(its) is not self.truth and self.fits(its, seen) and self.stand.together(*its):
                found.append(its)
        return sorted(found, key=lambda its: [self._rank[one.where] for one in its]), capped

    def _likely(self, refuted: Sequence[Faults], size: int, seen: tuple[Seen, ...]) -> Iterator[Faults]:
        """Every set of so many faults, in the order in which they are worth trying."""
        done = seen[-1].done
        gone = {fault for its in refuted for fault in its if fault not in self.left(its, done)}
        groups = [(one.done, one.looks) for one in seen if one.looks]
        looks = [self.stand.looks[look] for _, its in groups for look in its]
        tolerances = [costs().tolerance_of(look.how.value) for look in looks]
        right, sound = self._readings(self.truth, groups, None), self._readings((), groups, None)
        odd, _ = compared(right, right, sound, tolerances)
        accounts = {}
        for fault in self._every:
            own = self._readings((fault,), groups, gone)
            accounts[fault] = Account((fault,), *compared(own, right, sound, tolerances))
        bases = []
        for its in refuted:
            base = Account((), 0, 0)
            for fault in its:
                base = base.with_one(accounts[self._every[self._rank[fault.where]]])
            bases.append(base)
        return likely(tuple(accounts.values()), bases, size, odd)

    def _readings(
        self,
        its: Faults,
        groups: Sequence[tuple[tuple[Work, ...], tuple[int, ...]]],
        gone: set[Fault] | None,
    ) -> list[Reading]:
        """What a set reads at each look of these groups. gone: faults that count as mended after any work;
        None to work that out.
        """
        found: list[Reading] = []
        for done, looks in groups:
            if gone is None:
                left = self.left(its, done)
            else:
                left = tuple(one for one in its if not done or one not in gone)
            found += self.some(left, looks)
        return found

    # What fits ------------------------------------------------------------------------------------

    def fits(self, its: Faults, seen: Sequence[Seen]) -> bool:
        """Whether all of this would have been seen with these faults."""
        if not all(any(_sits(fault, names) for fault in its) for names in self._among):
            return False
        try:
            return all(self._at_looks(its, one) for one in seen if one.looks) and self._in_worlds(its, seen)
        except UserError:  # they cannot be there together
            return False

    def _at_looks(self, its: Faults, seen: Seen) -> bool:
        mine = self.some(self.left(its, seen.done), seen.looks)
        right = self.some(self.left(self.truth, seen.done), seen.looks)
        return all(
            touches(one, other, costs().tolerance_of(self.stand.looks[look].how.value))
            for look, one, other in zip(seen.looks, mine, right, strict=True)
        )

    def _in_worlds(self, its: Faults, seen: Sequence[Seen]) -> bool:
        """The same for what was seen on copper that hands had left otherwise."""
        off = tuple(one for one in seen if not one.looks)
        if off not in self._off:
            self._off[off] = tuple(self._told(self.truth, off))
        return all(
            touches(mine, right, tolerance_in(one))
            for one, mine, right in zip(off, self._told(its, off), self._off[off], strict=True)
        )

    def _told(self, its: Faults, off: Sequence[Seen]) -> Iterator[Reading]:
        """What these things tell with these faults, one after the other."""
        if off:
            world, did = World(self.stand, its), 0
            for one in off:
                for work in one.done[did:]:
                    if not isinstance(work, str):
                        world.do(work)
                did = len(one.done)
                yield told(world, one)

    def left(self, its: Faults, done: tuple[Work, ...]) -> Faults:
        """What is left of these faults after that work."""
        if not done or not its:
            return its
        key = (its, done)
        found = self._left.get(key)
        if found is None:
            actions = [work for work in done if not isinstance(work, str)]
            put_right = {work for work in done if isinstance(work, str)}
            found = left_of(self.stand.setup, its, actions) if actions else its
            found = self._left[key] = tuple(one for one in found if mend(one) not in put_right)
        return found

    # What they read -------------------------------------------------------------------------------

    def row(self, its: Faults) -> tuple[Reading, ...]:
        """What every look tells with these faults. Raises UserError when they cannot be there together."""
        key = self._known(its)
        found = self._rows.get(key)
        if found is None:
            found = self._rows[key] = tuple(self.stand.read(*key))
        return found

    def some(self, its: Faults, looks: Sequence[int]) -> tuple[Reading, ...]:
        """What some looks tell with these faults."""
        key = self._known(its)
        whole = self._rows.get(key)
        if whole is not None:
            return tuple(whole[look] for look in looks)
        known = self._some.setdefault(key, {})
        missing = [look for look in looks if look not in known]
        if missing:
            known.update(zip(missing, self.stand.some(missing, *key), strict=True))
        return tuple(known[look] for look in looks)

    def _known(self, its: Faults) -> Faults:
        """The same faults as they are kept: what is wrong in the order in which the job has it."""
        if len(its) == len(self.truth) and {one.where for one in its} == {one.where for one in self.truth}:
            return self.truth
        return its


def inquiry_of(setup: Setup, complaint: tuple[Complaint, ...] = ()) -> Inquiry | None:
    """The inquiry into what is wrong with a job's gate; None for nothing, or nothing that a look shows."""
    if not setup.faults:
        return None
    gate = replace(setup, job="", seed=0, text="", exam=False)  # without what only marks and tape know
    return _inquiry(gate, complaint)


@lru_cache(maxsize=8)
def _inquiry(setup: Setup, complaint: tuple[Complaint, ...]) -> Inquiry | None:
    inquiry = Inquiry(setup, complaint)
    return inquiry if inquiry.shows else None


def _sits(fault: Fault, names: Sequence[str]) -> bool:
    """Whether a fault sits at one of these devices or wires."""
    return any(place in names or place.rpartition(".")[0] in names for place in fault.place.split("|"))
