"""The ledger of a run's looks: what each cost and told, and which suspects it left.

One place counts, whatever was looked at and however: so that bits add up, things are fetched and opened
once, and what is plain to see counts once.

A finding has stages. A new one begins when no set of faults of the size fits any more, with the next larger
ones that fit everything seen, and when a part of what is wrong was mended, with what is left of those that
fitted. Within sets of one size bits add up, across a mending as well; a look that refutes all of them tells
what it takes to weigh those that take their place against both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.evidence import Seen, Work
from simgate.practice.diagnosis.information import entropy
from simgate.practice.diagnosis.inquiry import Inquiry
from simgate.practice.diagnosis.observation import Observation, setup_seconds
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.table import Faults
from simgate.practice.diagnosis.words import look_words


@dataclass(frozen=True, slots=True)
class Taken:
    """One look. looks: numbers of the table. weighed: False for one that the planner knows nothing of.

    seconds: trade time, with what had to be fetched or opened for it. opened: all that was, before it.
    suspects: those whose numbers these are. before, after: which of them are left. bits: what it told. hoped:
    the bits that it would tell on average. passing: seen in passing; nobody chose to look there.
    stage: which stage it belongs to. wider: the suspects that take the place of those it refuted; None when
    some are left.
    """

    tick: int
    words: str
    looks: tuple[int, ...]
    weighed: bool
    seconds: float
    opened: tuple[str, ...]
    suspects: Suspects
    before: tuple[int, ...]
    after: tuple[int, ...]
    bits: float
    hoped: float
    passing: bool
    stage: int
    wider: Suspects | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """tick: when it began. suspects: those that it began with. opened: what was fetched or opened by then.
    mended: whether it began with a mending; else at the very first, or because all others were refuted.
    """

    tick: int
    suspects: Suspects
    opened: tuple[str, ...]
    mended: bool


class Ledger:
    """taken: in order. suspects, left: those of now, and the numbers of those that fit all that was seen.
    opened: what was fetched or opened. stages: the last one is not over yet. done: the work so far.
    """

    def __init__(self, inquiry: Inquiry) -> None:
        self.inquiry = inquiry
        self.suspects = inquiry.first()
        self.left = self.suspects.first
        self.taken: list[Taken] = []
        self.opened: list[str] = []
        self.stages = [Stage(0, self.suspects, (), False)]
        self.tick = 0
        self._evidence = [inquiry.complaint]
        self.done: tuple[Work, ...] = ()
        self._there = inquiry.truth
        self._seen: set[object] = set()

    @property
    def looks(self) -> Sequence[Observation]:
        """Those of the table."""
        return self.suspects.table.looks

    @property
    def sets(self) -> tuple[Faults, ...]:
        """All that was wrong at first with each suspect that is left."""
        return tuple(self.suspects.sets[one - 1] for one in self.left)

    def solved(self) -> bool:
        """Whether something is sure to be wrong, or nothing can be told apart."""
        return self.suspects.solved(self.left)

    def settled(self) -> bool:
        """Whether all that is wrong is known, or nothing can be told apart."""
        return self.suspects.settled(self.left)

    def put_right(self) -> bool:
        """Whether all that could be wrong is mended already, whatever is left."""
        return not any(self.suspects.table.faults_of(one) for one in self.left)

    def work(self, done: tuple[Work, ...], known: bool) -> None:
        """Hands have worked. known: they have brought the gate into a state that the table knows."""
        self.done = done
        if not known:
            return
        table, inquiry = self.suspects.table, self.inquiry
        there = inquiry.left(inquiry.truth, done)
        mended, self._there = there != self._there, there
        stands = [table.faults_of(one) for one in self.left]
        if not mended and stands == [inquiry.left(its, done) for its in self.sets]:
            return
        weights = [table.weight(one) for one in self.left]
        size, capped = self.suspects.size, self.suspects.capped
        self.suspects = inquiry.at(self.sets, weights, done, size, capped)
        self.left = self.suspects.first
        if mended:
            self._seen.clear()
            self.stages.append(Stage(self.tick, self.suspects, tuple(self.opened), True))

    def first_time(self, what: object) -> bool:
        """Whether this is seen for the first time; from now on it is not."""
        if what in self._seen:
            return False
        self._seen.add(what)
        return True

    def passing(self, numbers: tuple[int, ...], words: str) -> None:
        """Something that is seen in passing, if it tells anything."""
        if any(self.shows(numbers)):
            self.saw(numbers, words, passing=True)

    def saw(self, numbers: tuple[int, ...], words: str = "", passing: bool = False) -> None:
        """Something plain to see, counted the first time."""
        if numbers and self.first_time(numbers):
            self.take(words or look_words(self.looks[numbers[0]]), numbers, passing=passing)

    def take(
        self, words: str, numbers: tuple[int, ...], at_hand: bool = False, passing: bool = False
    ) -> None:
        """Looks of the table, all taken in one go. at_hand: nothing has to be placed or worked."""
        shows = self.shows(numbers)
        seconds = max(self.looks[number].seconds for number in numbers)
        if at_hand:
            seconds = costs().place.look
        needs = [need for number in numbers for need in self.looks[number].needs]
        self.note(words, numbers, Seen(self.done, numbers), seconds, shows, needs, passing)

    def shows(self, numbers: Sequence[int]) -> list[int]:
        """What each suspect that is left shows at these looks together, 0 for what is seen."""
        table = self.suspects.table
        agreeing = set(self.suspects.agreeing(self.left, numbers))
        kinds: dict[tuple[int, ...], int] = {}
        shows = []
        for one in self.left:
            what = tuple(table.outcomes[number][one] for number in numbers)
            shows.append(0 if one in agreeing else kinds.setdefault(what, 1 + len(kinds)))
        return shows

    def note(
        self, words: str, numbers: tuple[int, ...], seen: Seen | None, seconds: float, shows: Sequence[int],
        needs: Sequence[str] = (), passing: bool = False,
    ) -> None:  # fmt: skip
        """seen: None for what is not weighed. shows: what each suspect that is left shows, 0 for what was
        seen.
        """
        spec = self.inquiry.stand.harness.spec
        fresh = [need for need in dict.fromkeys(needs) if need not in self.opened]
        seconds += math.fsum(setup_seconds(spec, need) for need in fresh)
        opened, before, suspects, stage = tuple(self.opened), self.left, self.suspects, len(self.stages) - 1
        self.opened += fresh
        after = tuple(one for one, what in zip(before, shows, strict=True) if not what)
        if not after and suspects.size >= len(self.inquiry.truth):
            seen, after = None, before  # a reading of which the copper of the very truth knows nothing
        if seen is not None:
            self._evidence.append(seen)
        bits = hoped = 0.0
        wider = None
        if len(after) < len(before):
            parts = [
                [one for one, what in zip(before, shows, strict=True) if what == kind]
                for kind in dict.fromkeys(shows)
            ]
            hoped = entropy(self._weight(part) for part in parts)
            if after:
                bits = math.log2(self._weight(before) / self._weight(after))
                self.left = after
            else:
                refuted = self._weight(before)
                wider = self._wider()
                bits = math.log2(1.0 + refuted / self._weight(self.left))
        self.taken.append(
            Taken(
                self.tick, words, numbers, seen is not None, seconds, opened, suspects, before, after, bits,
                hoped, passing, stage, wider,
            )
        )  # fmt: skip

    def _wider(self) -> Suspects:
        """No set of the size fits any more: the next larger ones that do take their place."""
        wider = self.inquiry.wider(self.sets, self.suspects.size, tuple(self._evidence), self.done)
        self.suspects, self.left = wider, wider.first
        self.stages.append(Stage(self.tick, wider, tuple(self.opened), False))
        return wider

    def _weight(self, suspects: Sequence[int]) -> float:
        return math.fsum(self.suspects.table.weight(one) for one in suspects)

    def instead(self, place: int) -> None:
        """The last entry stands for the one at `place`, too: what that took was taken for this."""
        ahead, last = self.taken.pop(place), self.taken[-1]
        self.taken[-1] = replace(last, seconds=last.seconds + ahead.seconds, opened=ahead.opened)
