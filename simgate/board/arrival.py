"""What a driven leaf has come to, as far as count and current can tell.

Silence with current is a stop or an obstacle, silence without current is a parted wire. To be a stop, what
was met must be where a stop was learned to be, or one learned travel away from what was met before.
"""

from __future__ import annotations

from simgate.board.position import Position
from simgate.board.stimuli import Way, Word
from simgate.board.travel import Move, bucket
from simgate.board.tuning import EndUse

DEAD_MS = 2_000  # silence without current that makes a fault
LIVE_AMPERES = 0.05  # below this the current tells nothing; the lightest motors run at 0.3
HELD = 0.97  # share of its ceiling at which a current is held there


class Event(Word):
    """What a driven leaf has come to."""

    ARRIVED = "arrived"
    BLOCKED = "blocked"  # by something away from the ends
    HELD = "held"  # full current from the very start, and never a count
    DEAD = "dead"  # no current, no count
    DEAF = "deaf"  # no more current than it takes to move, and no count
    LATE = "late"  # driven far longer than any travel takes
    WRONG_END = "wrong end"  # the END switch behind it acted
    BOTH_ENDS = "both ends"  # both END switches act
    EARLY_END = "early end"  # the END switch ahead acted far from its end
    PAST_END = "past end"  # the END switch ahead did not act


class Arriving:
    """A leaf on its way: where it is, where it is to go, and since when. See `LeafDrive`."""

    __slots__ = ("_begun", "_begun_at", "_last", "limit", "move", "name", "position", "sign")

    name: str
    position: Position
    sign: int
    limit: float
    move: Move | None
    _last: int  # tick of the start or of the last pulse
    _begun: int  # tick and count of the start
    _begun_at: int

    def _by_time(self, move: Move) -> Event:
        """A leaf without an encoder has been driven for so long that it must be there."""
        if move.home is not None:
            self.position.refer(move.home)
        return Event.ARRIVED

    def _silent(self, tick: int, amperes: float) -> Event | None:
        """The leaf stands: at a stop, against something, or for want of current."""
        move = self.move
        if move is not None and abs(amperes) >= LIVE_AMPERES:
            return self._met(move, amperes)
        return Event.DEAD if tick - self._last >= DEAD_MS else None

    def _met(self, move: Move, amperes: float) -> Event:
        """The leaf stands against something: a stop where one must be, else something in its way.

        Of a leaf whose place is lost the first thing met opening is taken for the open stop, for the gate
        has to begin somewhere; but its place is known only when the way back was as long as learned. Where
        a switch ends the movement, nothing else is that end.
        """
        position = self.position
        place = move.home if move.goal is None else move.goal
        if move.least and place is not None:
            left = (place - position.count) * self.sign
            here = position.known and -move.over <= left <= move.near
            apart = not position.sure and place == move.home and move.least <= self._span() <= move.most
            if not (here or apart):
                lost = not position.known and move.switch is not EndUse.STOP
                position.doubt()
                return Event.ARRIVED if lost and move.way is Way.OPENING else self._stuck(move, amperes)
        if move.home is not None and (move.goal is None or not move.exact):
            position.refer(move.home)
        return Event.ARRIVED

    def _stuck(self, move: Move, amperes: float) -> Event:
        """It stands where it should not: what current and count together say about that."""
        if amperes >= HELD * self.limit:
            return Event.HELD if self._last == self._begun and not move.timed else Event.BLOCKED
        place = bucket(self.position.count, move.travel)
        running = bool(move.profile) and amperes <= move.profile[place]
        return Event.DEAF if running else Event.BLOCKED

    def _gone(self) -> int:
        """Counts gone since the start of this movement."""
        return (self.position.count - self._begun_at) * self.sign

    def _span(self) -> int:
        """Counts gone from what the leaf last stood against; below 0 when there is no telling."""
        anchor = self.position.anchor
        return -1 if anchor is None else (self.position.count - anchor) * self.sign
