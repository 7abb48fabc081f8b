"""What the passes of a learn cycle find: each leaf's travel, its ends, its currents, its pace.

Counts in, a `LeafTravel` out; in what order the passes come, and what ends one, is learn.py's. Without an
encoder the two passes of one way, once slow and once fast, also tell what friction takes.
"""

from __future__ import annotations

from dataclasses import replace

from simgate.board.counters import RATE, Reckoned
from simgate.board.drive import Drive
from simgate.board.stimuli import Way
from simgate.board.travel import BUCKETS, LeafTravel, Reckoning, smoothed
from simgate.board.tuning import EndUse, Sensing

SHORT = 0.85  # shutting less than this share: something stopped it on the way
LOOSELY = (1.8, 0.5)  # most and least shares for a leaf without an encoder, which may be slower one way
MOST_IDLE = 0.6  # share of the slow speed that friction may seem to take from a leaf without an encoder

OPEN, SHUT = Way.OPENING, Way.CLOSING


class Findings:
    """What has been found so far of the leaves of `drive`."""

    def __init__(self, drive: Drive) -> None:
        self._drive = drive
        self._travels = [LeafTravel(travel=1) for _ in range(drive.tuned.leaves)]
        self._records = {way: [[0.0] * BUCKETS for _ in self._travels] for way in Way}
        self._from = [0 for _ in self._travels]
        self._marked: int | None = None  # count at which a key was pressed in this step
        self._ended = 0  # raw count there, or where the leaf came to rest
        self._opened = [0 for _ in self._travels]  # raw count of the open end
        self._turned: dict[tuple[int, Way], tuple[float, float]] = {}  # of each sweep: duty and scans
        self._timed = drive.tuned.sensing is Sensing.TIME

    @property
    def travels(self) -> tuple[LeafTravel, ...]:
        """What was learned; complete once the verdict is DONE."""
        return tuple(
            replace(
                travel, opening=smoothed(self._records[OPEN][i]), closing=smoothed(self._records[SHUT][i])
            )
            for i, travel in enumerate(self._travels)
        )

    def _gone(self, leaf: int) -> int:
        return self._drive.leaves[leaf].position.count - self._from[leaf]

    def _take(self, leaf: int, way: Way) -> bool:
        """Turn a sweep's counts into travel and place. False when the way back was too short."""
        driven = self._drive.leaves[leaf]
        position = driven.position
        marked = self._marked is not None
        coasted = position.count - self._marked if self._marked is not None else 0
        travel = self._travels[leaf]
        slows = abs(position.count - coasted - driven.slowed_at) if driven.slowed_at is not None else 0
        if isinstance(self._drive.counter, Reckoned):
            duty, scans = self._drive.counter.turned[leaf]
            self._turned[leaf, way] = (duty, scans)
        if way is OPEN:
            self._opened[leaf] = self._ended
            self._travels[leaf] = replace(
                travel, open_marked=marked, travel=-coasted if marked else 0, open_slow=slows
            )
            return True
        back = self._from[leaf] - (position.count - coasted)
        if not marked and back < (LOOSELY[1] if self._timed else SHORT) * self._from[leaf]:
            return False
        # The open end was left at -travel counts beyond its mark; a stop has nothing beyond it.
        learned = replace(travel, shut_marked=marked, travel=back + travel.travel, shut_slow=slows)
        if self._timed:  # what shutting counts more or less is the other way's pace, not another travel
            learned = replace(
                learned, travel=self._from[leaf], shut_slow=slows * self._from[leaf] // back,
                reckoning=Reckoning(pace=(1.0, self._from[leaf] / back)),
            )  # fmt: skip
        elif self._drive.tuned.sensing is Sensing.ABSOLUTE:
            way_open = self._opened[leaf] - self._ended
            learned = replace(
                learned, travel=max(abs(way_open), 1), turn=1 if way_open > 0 else -1, zero=self._ended
            )
        self._travels[leaf] = learned
        position.refer(coasted)
        return True

    def _take_pace(self, way: Way) -> None:
        """Of leaves without an encoder: the same way, once slow and once fast, tells what friction takes.

        Counted are only scans in which the motor could turn, so (duty - idle) summed is the same for both:
        idle = (D slow - D fast) / (T slow - T fast).
        """
        counter = self._drive.counter
        assert isinstance(counter, Reckoned)
        for leaf, travel in enumerate(self._travels):
            shutting = way is SHUT
            marked = travel.shut_marked if shutting else travel.open_marked
            if marked and self._drive.tuned.each[leaf].ends[way] is not EndUse.STOP:
                continue  # it ended by this very reckoning, and tells nothing about it
            slow_duty, slow_scans = self._turned[leaf, way]
            duty, scans = counter.turned[leaf]
            if slow_scans <= scans:
                continue
            most = MOST_IDLE * self._drive.tuned.each[leaf].slow
            idle = min(max((slow_duty - duty) / (slow_scans - scans), 0.0), most)
            found = (slow_duty - idle * slow_scans) * RATE
            was = travel.reckoning
            if shutting:
                reckoning = Reckoning((was.idle[0], idle), (was.pace[0], travel.travel / found))
                self._travels[leaf] = replace(travel, reckoning=reckoning)
            else:
                reckoning = Reckoning((idle, was.idle[1]), (travel.travel / found, was.pace[1]))
                self._travels[leaf] = replace(travel, reckoning=reckoning)
