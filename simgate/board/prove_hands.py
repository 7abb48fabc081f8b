"""What a hand at the book can ask for in a proof: the learn cycle, a jog, and the end of either."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from simgate.board.stimuli import Key, Way, Word
from simgate.board.work import Work


class Hand(Word):
    """What a hand at the book asks for."""

    LEARN = "the learn cycle is started"
    BREAK = "a hand breaks the learn cycle off"
    MARK = "a hand marks the end"
    JOG_OPEN = "a hand jogs a leaf open"
    JOG_SHUT = "a hand jogs a leaf shut"
    LET_GO = "the hand lets go"


ASKS: Mapping[Hand, Callable[[Work, int], object]] = {
    Hand.LEARN: lambda work, tick: work.start_learn(tick),
    Hand.BREAK: lambda work, tick: work.key(Key.BACK, True, tick),
    Hand.MARK: lambda work, tick: work.key(Key.KEEP, True, tick),
    Hand.JOG_OPEN: lambda work, tick: work.jog(0, Way.OPENING, tick),
    Hand.JOG_SHUT: lambda work, tick: work.jog(0, Way.CLOSING, tick),
    Hand.LET_GO: lambda work, tick: work.jog(0, None, tick),
}
"""What the book asks of its host: the whole of what it can do to the leaves."""
