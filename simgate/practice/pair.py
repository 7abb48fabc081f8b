"""Two gates under two modes, given the same calls: what they do differently, in words, as it happens.

To a screen it is a bench like one, whose hands work both gates at once; the second stands beside the first.
An action that one of the two could not do is done at neither, so that the calls stay the same.
"""

from __future__ import annotations

from collections.abc import Sequence

from simgate.bench import hands
from simgate.bench.actions import Action
from simgate.bench.record import ScanRecord, Snapshot
from simgate.bench.scan import SCAN, Bench
from simgate.board.mode_table import AFTER
from simgate.board.mode_words import WHILE, does
from simgate.board.signals import Acted
from simgate.board.stimuli import Response
from simgate.practice.round_words import COMES
from simgate.wiring.faults import Fault

LATER = 300  # ms; what one gate has answered by then and the other has not is its own


class Pair:
    """`bench` and `other`, scan by scan in step. differences: (tick, words), in order."""

    def __init__(self, bench: Bench, other: Bench) -> None:
        self.bench, self.other = bench, other
        self.titles = (bench.snapshot().mode, other.snapshot().mode)
        self.differences: list[tuple[int, str]] = []
        self._waiting: tuple[list[Acted], list[Acted]] = ([], [])

    @property
    def tick(self) -> int:
        """ms of both."""
        return self.bench.tick

    @property
    def finished(self) -> bool:
        """Whether either was handed over."""
        return self.bench.finished or self.other.finished

    def act(self, action: Action) -> None:
        """Do it at both. Raises UserError, with nothing done, when hands could not at one of them."""
        for one in (self.bench, self.other):
            hands.check(one, action)
        for one in (self.bench, self.other):
            one.act(action)

    def run(self, ms: int) -> tuple[ScanRecord, ...]:
        """Let time pass at both. Returns the records of the first."""
        end = self.tick + ms // SCAN * SCAN
        records = self.bench.run(end - self.bench.tick)
        self._compare(records, self.other.run(end - self.other.tick), end)
        return records

    def run_to_next(self, limit_ms: int) -> tuple[ScanRecord, ...]:
        """On to the next thing that happens at either. Returns its record, if it is the first's."""
        end = self.tick + limit_ms // SCAN * SCAN
        while self.tick < end and not self.finished:
            told = len(self.other.records)
            records = self.run(min(100, end - self.tick))
            if records or len(self.other.records) > told:
                return records
        return ()

    def snapshot(self) -> Snapshot:
        """The first gate; `other.snapshot()` is the second."""
        return self.bench.snapshot()

    def faults(self) -> Sequence[Fault]:
        """None are put into a comparison."""
        return ()

    def fault_choices(self) -> Sequence[tuple[str, Sequence[str]]]:
        """None."""
        return ()

    def in_words(self) -> str:
        """'Self-close is open; Latch is shutting'."""
        pairs = zip(self.titles, (self.bench, self.other), strict=True)
        return "; ".join(f"{title} is {WHILE[one.board.condition]}" for title, one in pairs)

    # Differences ----------------------------------------------------------------------------------

    def _compare(self, mine: Sequence[ScanRecord], others: Sequence[ScanRecord], now: int) -> None:
        """Set what acted at one gate against what the same stimulus did at the other."""
        for waiting, records in zip(self._waiting, (mine, others), strict=True):
            waiting += [acted for record in records for acted in record.acted]
        ours, theirs = self._waiting
        while ours or theirs:
            one, other = self._matched(ours, theirs)
            alone = one or other
            if alone is None or ((one is None or other is None) and alone.tick > now - LATER):
                return  # the other gate may still answer
            if one is not None:
                ours.remove(one)
            if other is not None:
                theirs.remove(other)
            words = self._told(one, other)
            if words:
                self.differences.append((alone.tick, words))

    @staticmethod
    def _matched(ours: list[Acted], theirs: list[Acted]) -> tuple[Acted | None, Acted | None]:
        """The earliest that acted, with its like at the other gate, if it has acted."""
        if ours and (not theirs or ours[0].tick <= theirs[0].tick):
            first = ours[0]
            return first, next((a for a in theirs if _alike(a, first)), None)
        if theirs:
            first = theirs[0]
            return next((a for a in ours if _alike(a, first)), None), first
        return None, None

    def _told(self, one: Acted | None, other: Acted | None) -> str:
        """The difference in words, '' when there is none that anybody could see."""
        acted = one or other
        if acted is None or (_silent(one) and _silent(other)):
            return ""
        if one is not None and other is not None and _same(one, other):
            return ""
        if one is None or other is None:
            title = self.titles[0 if one is not None else 1]
            return f"{COMES[acted.stimulus]}: {title} {_does(acted)}"
        both = f"{self.titles[0]} {_does(one)}; {self.titles[1]} {_does(other)}"
        if one.condition is other.condition:
            return f"while {WHILE[one.condition]}, {COMES[one.stimulus]}: {both}"
        return (
            f"{COMES[one.stimulus]}: {self.titles[0]}, {WHILE[one.condition]}, {_does(one)}; "
            f"{self.titles[1]}, {WHILE[other.condition]}, {_does(other)}"
        )


def _alike(one: Acted, other: Acted) -> bool:
    return one.stimulus is other.stimulus and abs(one.tick - other.tick) <= LATER


def _silent(acted: Acted | None) -> bool:
    return acted is None or (acted.response is Response.IGNORE and not acted.refused)


def _same(one: Acted, other: Acted) -> bool:
    """Whether both did what looks the same."""
    return (one.condition, one.response, one.after, bool(one.refused)) == (
        other.condition, other.response, other.after, bool(other.refused),
    )  # fmt: skip


def _does(acted: Acted) -> str:
    if acted.refused:
        return f"does not ({acted.refused})"
    stays = AFTER[acted.response][acted.condition] is acted.condition
    if acted.response is Response.STOP and stays:
        return "stays, and its pause is ended"
    return does(acted.response, acted.condition)


def compared(mode: str, against: str) -> Pair:
    """Two learned gates at one site. Raises UserError for a mode that there is not."""
    from simgate.practice.rehearse import rehearsal

    return Pair(rehearsal(mode).bench(), rehearsal(against).bench())
