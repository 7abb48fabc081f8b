"""One scan of a proof as a value: what happened, which cells acted, what then is so, and is remembered."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from simgate.board.arrival import Event
from simgate.board.prove_hands import Hand
from simgate.board.prove_scene import BIT, CALLS
from simgate.board.prove_state import Kernel, State
from simgate.board.signals import Acted
from simgate.board.stimuli import Condition, Input, Response, Stimulus

CALLING = (Stimulus.CALL, Stimulus.PART)
BEGIN = (Hand.LEARN, Hand.JOG_OPEN, Hand.JOG_SHUT)


class Happening(NamedTuple):
    """What happens in one scan. flips: mask of what changes. pause, start: that timer is due.

    ripe: the least time of the guards' test is over. event: what the leaves come to. power: it comes or
    goes. learn: what was learned is lost, or found again. hand: what a hand at the book asks for. stands: the
    leaves are found to stand so, shut or open. battery: it sinks below its limit, or is charged.
    eased: a leaf that turned round has backed off. rested: a gate that goes for its battery has, for a pause.
    """

    flips: int = 0
    pause: bool = False
    start: bool = False
    ripe: bool = True
    event: Event | None = None
    power: bool = False
    learn: bool = False
    hand: Hand | None = None
    stands: Condition | None = None
    battery: bool = False
    eased: bool = False
    rested: bool = False


class Step(NamedTuple):
    """One edge: what was so, what happened, the cells that acted, and what is so then."""

    before: State
    happening: Happening
    acted: tuple[Acted, ...]
    after: State


class Effect(NamedTuple):
    """What a scan does to the prover's memory: the new value of each, None where it stays as it was."""

    fresh: str | None
    broken: bool | None
    turned: bool | None


class Edge(NamedTuple):
    """One edge for every state with this kernel and these calls, whatever the prover remembers.

    calls: mask of those that change. wrong, friendly: what was judged of it. heard: whether the board came
    to look for calls that change. refused: whether the book refused what the hand asked for.
    """

    happening: Happening
    acted: tuple[Acted, ...]
    kernel: Kernel
    calls: int
    effect: Effect
    wrong: tuple[str, ...]
    friendly: bool
    heard: bool = True
    refused: bool = False

    def at(self, happening: Happening) -> Edge:
        """The same scan, in which something more happened that the board took no notice of."""
        mine, acted, kernel = self.happening, self.acted, self.kernel
        if happening.stands is not mine.stands:
            happening = happening._replace(stands=mine.stands)
        hand = happening.hand
        effect = self.effect if hand is mine.hand else effect_of(acted, kernel, hand)
        friendly = self.friendly and hand is None
        calls = happening.flips & CALLS
        return Edge(happening, acted, kernel, calls, effect, self.wrong, friendly, self.heard, self.refused)

    def after(self, before: State) -> State:
        """The state that it leads to."""
        fresh, broken, turned = self.effect
        return State(
            self.kernel,
            before.calls ^ self.calls,
            before.fresh if fresh is None else fresh,
            before.broken if broken is None else broken,
            before.turned if turned is None else turned,
        )


Judge = Callable[[Step], tuple[tuple[str, ...], bool]]
"""What a step breaks that can be said of it without calls that are held, and whether it is friendly."""


def no_judge(step: Step) -> tuple[tuple[str, ...], bool]:
    """For whoever only walks."""
    return (), False


def effect_of(acted: tuple[Acted, ...], after: Kernel, hand: Hand | None) -> Effect:
    """What the prover remembers of a scan."""
    fresh: str | None = None
    broken: bool | None = False if hand in BEGIN else None
    turned: bool | None = None
    for one in acted:
        if one.stimulus in CALLING:
            fresh, broken = "", False
        elif one.stimulus is Stimulus.FAULT:
            broken = True
        if one.response is Response.REVERSE:
            turned = one.after is Condition.OPENING
    if not after.powered:
        fresh, broken = "power", False
    elif not after.terminals & BIT[Input.STOP]:
        fresh = "stop"
    elif after.busy:
        fresh = "work"
    if after.condition is not Condition.OPENING:
        turned = False
    return Effect(fresh, broken, turned)
