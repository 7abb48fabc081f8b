"""The leaves as the prover has them: the orders of `Drive`, and nothing that takes time.

What a leaf meets on its way is not the board's to decide, so here it is an event of the environment: the
end of the way, something in it, a dead motor. `Board`, `Logic`, `Starts` and `Guards` cannot tell it from
the real drive. That the real one turns no leaf round without its pause is proven apart, on the real
`LeafDrive` (`prove_lemmas.py`).
"""

from __future__ import annotations

from enum import Enum

from simgate.board.arrival import Event
from simgate.board.drive import Drive
from simgate.board.signals import Acted, Note, Outputs, Signals
from simgate.board.stimuli import Condition, Way
from simgate.board.travel import LeafTravel
from simgate.board.tuning import Tuning


class Doing(Enum):
    """What the leaves are ordered to do, waiting ones included."""

    REST = "at rest"
    OPEN = "opening"
    PART = "opening in part"
    CLOSE = "shutting"
    GIVE_WAY = "giving way"  # backing off what was met opening: it moves the shutting way
    ASTRAY = "giving way the wrong way"  # the same order when it was not opening: it presses on
    TURN = "opening, and first backing off"  # it has turned round from shutting, and may press somebody yet
    RELIEVE = "backing off"  # the same when it is to open no further
    CREEP_OPEN = "opening slowly"  # a jog, or a pass of the learn cycle
    CREEP_SHUT = "shutting slowly"  # the same, or the stroke that frees the lock

    __hash__ = object.__hash__


D = Doing

GOES: dict[Doing, tuple[Way, ...]] = {
    D.REST: (),
    D.OPEN: (Way.OPENING,),
    D.PART: (Way.OPENING,),
    D.CLOSE: (Way.CLOSING,),
    D.GIVE_WAY: (Way.CLOSING,),
    D.ASTRAY: (Way.CLOSING,),
    D.TURN: (Way.OPENING,),
    D.RELIEVE: (Way.OPENING,),
    D.CREEP_OPEN: (Way.OPENING,),
    D.CREEP_SHUT: (Way.CLOSING,),
}


RELIEF = (D.TURN, D.RELIEVE)
"""Whoever may be pressed since the gate turned round is not let go yet."""

BACKING_OFF = (D.GIVE_WAY, D.RELIEVE)  # it lasts a second or so, and is let finish
BACKS = (*BACKING_OFF, D.ASTRAY)  # whatever a leaf comes to then, it ends
CREEPS = {Way.OPENING: D.CREEP_OPEN, Way.CLOSING: D.CREEP_SHUT}
TRAVEL = 1000  # counts of a leaf's way, for the learn cycle to find


class StandIn(Drive):
    """A drive whose leaves do what the environment says. event: what they come to in the next scan.

    eased: by then leaves that turned round have backed off. crept: index of the leaf that creeps.
    stands: how the leaves are found to stand, None while nobody knows; asked: the answers that there may be.
    """

    def __init__(self, happened: list[Acted | Note], tuned: Tuning) -> None:
        super().__init__(happened, tuned)
        self.doing = D.REST
        self.event: Event | None = None
        self.eased = False
        self.crept = 0
        self.stands: Condition | None = None
        self.asked: list[Condition] = []

    # Orders

    def _do(self, doing: Doing) -> None:
        """Do that. A leaf that has just been ordered, or stopped, is not driven yet and meets nothing."""
        if GOES[doing] != GOES[self.doing]:
            self.event = None
        self.doing = doing

    def open(self, tick: int) -> None:
        self._do(D.TURN if self.relieving else D.OPEN)

    def turn(self, tick: int, met: bool = False, every: bool = False) -> None:
        self._do(D.TURN if self.doing is D.CLOSE else D.OPEN)

    def leave(self, tick: int) -> None:
        if self.relieving:
            self._do(D.RELIEVE)
        else:
            self.stop(tick)

    def part(self, tick: int) -> None:
        self._do(D.PART)

    def close(self, tick: int) -> None:
        self._do(D.CLOSE)

    def creep(self, index: int, way: Way, tick: int) -> None:
        self.crept = index
        self._do(CREEPS[way])

    def jog(self, index: int, way: Way, tick: int) -> None:
        self.creep(index, way, tick)

    def give_way(self, tick: int, every: bool = False) -> None:
        if not every or self.doing is not D.REST:  # of leaves that are not driven none backs off
            self._do(D.GIVE_WAY if self.doing in (D.OPEN, D.PART, D.TURN) else D.ASTRAY)

    def stop(self, tick: int) -> None:
        self._do(D.REST)
        self.unput = True

    def clear(self) -> None:
        self._do(D.REST)

    # Questions

    @property
    def quiet(self) -> bool:
        return self.doing is D.REST

    @property
    def relieving(self) -> bool:
        return self.doing in RELIEF

    def ways(self) -> tuple[Way, ...]:
        return GOES[self.doing]

    def away(self) -> bool:
        """Never known to be away from shut: so every opening frees the lock first, wherever it starts."""
        return False

    def all_known(self) -> bool:
        self.asked = [Condition.SHUT, Condition.OPEN]
        return self.stands is not None

    def shut(self) -> bool:
        self.asked = self.asked or [Condition.SHUT]
        return self.stands is Condition.SHUT

    def wide(self) -> bool:
        return self.stands is Condition.OPEN

    def way_end(self) -> int:
        """Count at the end that the leaves go for."""
        return TRAVEL if Way.OPENING in self.ways() else 0

    # One scan

    def scan(self, tick: int, signals: Signals, outputs: Outputs) -> Event | None:
        event, self.event = self.event, None
        if self.eased and self.doing is D.TURN:
            self.doing = D.OPEN
        if event is None and not (self.eased and self.doing is D.RELIEVE):
            return None
        if self.doing in BACKS:
            self.stop(tick)
            return None
        if event is Event.ARRIVED:
            self.leaves[self.crept].position.count = self.way_end()
            self.stop(tick)
        return event

    def put(self, tick: int, outputs: Outputs) -> None:
        self.unput = False

    # What is known of the places: nothing here depends on it

    def tune(self, tuned: Tuning, signals: Signals) -> None:
        self.tuned = tuned

    def take(self, travels: tuple[LeafTravel, ...] | None) -> None:
        self.travels = travels

    def look(self, made: tuple[bool, ...], tick: int) -> None:
        pass

    def start(self, signals: Signals, made: tuple[bool, ...], tick: int) -> None:
        pass

    def lose_place(self) -> None:
        pass
