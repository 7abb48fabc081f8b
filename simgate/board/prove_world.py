"""What can happen to a board between two scans, and one scan of the real board under it.

Time is the environment's too: a timer that runs may be due in any scan, and a change of a terminal has
lasted its filter time when the board sees it. That allows more than any clock would (a pause that is over
at once), so what is proven here holds for every length of every time that can be set.

Two terminals may change in the same scan, or one with a timer or with what the leaves come to. Not here:
the set-up book, which suspends the mode and is asked the same permits; a stale learn, which only shows.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from simgate.board.arrival import Event
from simgate.board.prove_drive import Doing
from simgate.board.prove_state import BIT, LATER, NOW, State, Subject
from simgate.board.signals import Acted
from simgate.board.starts import Stage
from simgate.board.stimuli import Condition, Input, Response, Stimulus

CALLS = (Stimulus.CALL, Stimulus.PART)
EVENTS = (Event.ARRIVED, Event.BLOCKED, Event.DEAD)
TESTING = (Stage.AWAY, Stage.BACK)


class Happening(NamedTuple):
    """What happens in one scan. flips: mask of the terminals that change. pause, start: that timer is due.

    ripe: the least time of the guards' test is over. event: what the leaves come to. power: it comes or
    goes. learn: what was learned is lost, or found again.
    """

    flips: int = 0
    pause: bool = False
    start: bool = False
    ripe: bool = True
    event: Event | None = None
    power: bool = False
    learn: bool = False


class Step(NamedTuple):
    """One edge: what was so, what happened, the cells that acted, and what is so then."""

    before: State
    happening: Happening
    acted: tuple[Acted, ...]
    after: State


class World:
    """The environment of one board. used: the terminals that mean something as the board is set."""

    def __init__(self, subject: Subject, used: tuple[Input, ...]) -> None:
        self.subject = subject
        self.used = used
        self.fired = 0
        ones = [BIT[one] for one in used]
        self._single = (0, *ones)
        self._double = (*self._single, *(a | b for a, b in combinations(ones, 2)))
        self._known: dict[tuple[bool, bool, Stage, bool], tuple[Happening, ...]] = {}

    def happenings(self, state: State) -> tuple[Happening, ...]:
        """Everything that can happen in the next scan."""
        stage = state.start[0] if state.start else Stage.NONE
        kind = (state.powered, state.pause, stage, state.doing is not Doing.REST)
        if kind not in self._known:
            self._known[kind] = tuple(self._happenings(*kind))
        return self._known[kind]

    def _happenings(self, powered: bool, pause: bool, stage: Stage, moving: bool) -> Iterator[Happening]:
        if not powered:
            yield from (Happening(flips) for flips in self._single[1:])
            yield from (Happening(flips, power=True) for flips in self._single)
            return
        yield Happening(power=True)
        yield from (Happening(flips) for flips in self._double[1:])
        yield Happening(learn=True)
        if pause:
            yield from (Happening(flips, pause=True) for flips in self._double)
        if stage is not Stage.NONE:
            yield from (Happening(flips, start=True) for flips in self._single)
        if stage in TESTING:
            yield from (Happening(flips, ripe=False) for flips in self._single[1:])
        if moving:
            yield from (Happening(flips, event=event) for event in EVENTS for flips in self._single)

    def step(self, state: State, happening: Happening) -> Step:
        """One scan of the board in `state`."""
        subject = self.subject
        terminals = state.terminals ^ happening.flips
        subject.put_state(
            state,
            terminals,
            pause=NOW if happening.pause else LATER,
            start=NOW if happening.start else LATER,
            least=NOW if happening.ripe else LATER,
        )
        if happening.event is not None:
            subject.leaves.event = happening.event
        if happening.power:
            subject.signals.powered = not state.powered
        if happening.learn:
            subject.lose_learned(state.learned)
        subject.scan(NOW)
        acted = tuple([one for one in subject.happened if type(one) is Acted])
        self.fired += len(acted)
        return Step(state, happening, acted, self._after(state, terminals, acted))

    def _after(self, before: State, terminals: int, acted: tuple[Acted, ...]) -> State:
        """The state after the scan, with what the prover itself remembers."""
        after = self.subject.take_state(terminals, before.fresh, before.broken, before.turned)
        fresh, broken, turned = before.fresh, before.broken, before.turned
        for one in acted:
            if one.stimulus in CALLS:
                fresh, broken = "", False
            elif one.stimulus is Stimulus.FAULT:
                broken = True
            if one.response is Response.REVERSE:
                turned = one.after is Condition.OPENING
        if not after.powered:
            fresh, broken = "power", False
        elif not after.made & BIT[Input.STOP]:
            fresh = "stop"
        turned = turned and after.condition is Condition.OPENING
        if (fresh, broken, turned) == after[-3:]:
            return after
        return after._replace(fresh=fresh, broken=broken, turned=turned)
