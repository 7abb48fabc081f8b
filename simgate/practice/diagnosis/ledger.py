"""The ledger of a run's looks: what each cost and told, and which suspects it left.

One place counts, whatever was looked at and however: so that bits add up, things are fetched and opened
once, and what is plain to see counts once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.information import entropy
from simgate.practice.diagnosis.observation import Observation, setup_seconds
from simgate.practice.diagnosis.suspects import Suspects
from simgate.practice.diagnosis.table import SOUND
from simgate.practice.diagnosis.words import look_words
from simgate.wiring.fault_table import row


@dataclass(frozen=True, slots=True)
class Taken:
    """One look. looks: numbers of the table. weighed: False for one that the planner knows nothing of.

    seconds: trade time, with what had to be fetched or opened for it. opened: all that was, before it.
    before, after: suspects left. bits: what it told. hoped: the bits that it would tell on average.
    passing: seen in passing; nobody chose to look there.
    """

    tick: int
    words: str
    looks: tuple[int, ...]
    weighed: bool
    seconds: float
    opened: tuple[str, ...]
    before: tuple[int, ...]
    after: tuple[int, ...]
    bits: float
    hoped: float
    passing: bool


class Ledger:
    """taken: in order. left: suspects that fit all that was seen. opened: what was fetched or opened.

    sound: suspects that hands would have mended by now; their gates show what a sound one shows.
    """

    def __init__(self, suspects: Suspects) -> None:
        self.suspects = suspects
        self.taken: list[Taken] = []
        self.left = suspects.first
        self.opened: list[str] = []
        self.sound: frozenset[int] = frozenset()
        self.tick = 0
        self._seen: set[object] = set()

    @property
    def looks(self) -> Sequence[Observation]:
        """Those of the table."""
        return self.suspects.table.looks

    def solved(self) -> bool:
        """Whether nothing is left to tell apart, or nothing can."""
        return self.suspects.solved(self.left)

    def first_time(self, what: object) -> bool:
        """Whether this is seen for the first time; from now on it is not."""
        if what in self._seen:
            return False
        self._seen.add(what)
        return True

    def passing(self, numbers: tuple[int, ...], words: str) -> None:
        """Something that is seen in passing, if it tells anything."""
        if any(self._shows(numbers)):
            self.saw(numbers, words, passing=True)

    def saw(self, numbers: tuple[int, ...], words: str = "", passing: bool = False) -> None:
        """Something plain to see, counted the first time."""
        if numbers and self.first_time(numbers):
            self.take(words or look_words(self.looks[numbers[0]]), numbers, passing=passing)

    def take(
        self, words: str, numbers: tuple[int, ...], at_hand: bool = False, passing: bool = False
    ) -> None:
        """Looks of the table, all taken in one go. at_hand: nothing has to be placed or worked."""
        shows = self._shows(numbers)
        seconds = max(self.looks[number].seconds for number in numbers)
        if at_hand:
            seconds = costs().place.look
        needs = [need for number in numbers for need in self.looks[number].needs]
        self.note(words, numbers, True, seconds, shows, needs, passing)

    def _shows(self, numbers: Sequence[int]) -> list[int]:
        """What each suspect that is left shows at these looks together, 0 for what is seen."""
        outcomes = [self.suspects.table.outcomes[number] for number in numbers]
        kinds = {tuple(outcome[self.suspects.actual] for outcome in outcomes): 0}
        shows = []
        for one in self.left:
            number = SOUND if one in self.sound else one
            shows.append(kinds.setdefault(tuple(outcome[number] for outcome in outcomes), len(kinds)))
        return shows

    def note(
        self, words: str, numbers: tuple[int, ...], weighed: bool, seconds: float, shows: Sequence[int],
        needs: Sequence[str] = (), passing: bool = False,
    ) -> None:  # fmt: skip
        """shows: what each suspect that is left shows, 0 for what was seen."""
        spec = self.suspects.stand.harness.spec
        fresh = [need for need in dict.fromkeys(needs) if need not in self.opened]
        seconds += math.fsum(setup_seconds(spec, need) for need in fresh)
        after = tuple(one for one, what in zip(self.left, shows, strict=True) if not what)
        bits = hoped = 0.0
        if len(after) < len(self.left):
            bits = math.log2(self._weight(self.left) / self._weight(after))
            hoped = entropy(
                self._weight([one for one, what in zip(self.left, shows, strict=True) if what == kind])
                for kind in dict.fromkeys(shows)
            )
        opened = tuple(self.opened)
        self.taken.append(
            Taken(self.tick, words, numbers, weighed, seconds, opened, self.left, after, bits, hoped, passing)
        )
        self.opened += fresh
        self.left = after

    def _weight(self, suspects: Sequence[int]) -> float:
        faults = self.suspects.table.faults
        return math.fsum(row(faults[one - 1].kind).weight for one in suspects)

    def instead(self, place: int) -> None:
        """The last entry stands for the one at `place`, too: what that took was taken for this."""
        ahead, last = self.taken.pop(place), self.taken[-1]
        self.taken[-1] = replace(last, seconds=last.seconds + ahead.seconds, opened=ahead.opened)
