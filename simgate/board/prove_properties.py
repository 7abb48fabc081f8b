"""What is proven of a mode: one small function for each property, in one table.

A property looks at a state or at one step and says whether it is as it must be. Nothing here knows how
the board comes to what it does; a property that shared code with the board would share its mistakes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from simgate.board.guards import Uses
from simgate.board.modes import Table
from simgate.board.prove_drive import Doing
from simgate.board.prove_state import BIT, State
from simgate.board.prove_world import CALLS, Step
from simgate.board.stimuli import Condition, Input, Response, Stimulus

C, D = Condition, Doing

SHUTTING = (D.CLOSE, D.GIVE_WAY, D.ASTRAY, D.STROKE)
OPENING = (D.OPEN, D.PART)
DOES: Mapping[Condition, Doing] = {C.OPENING: D.OPEN, C.PART_OPENING: D.PART, C.CLOSING: D.CLOSE}
ON_ITS_WAY = (C.OPENING, C.PART_OPENING, C.HELD, C.PART_HELD, C.CLOSING)


@dataclass(frozen=True, slots=True)
class Site:
    """What the proof is about, as far as properties depend on it."""

    table: Table
    uses: Uses

    @property
    def edge_shuts(self) -> bool:
        """Whether the edge guards shutting."""
        return self.uses.edge in ("closing", "both")

    @property
    def edge_opens(self) -> bool:
        """Whether the edge guards opening."""
        return self.uses.edge in ("opening", "both")


@dataclass(frozen=True, slots=True)
class Property:
    """One property. words: what is proven, as a sentence. broken: what a counter-example ends in.

    of: whether it is asked at all with this mode and these settings. state, step: whether it holds there.
    """

    key: str
    words: str
    broken: str
    state: Callable[[Site, State], bool] | None = None
    step: Callable[[Site, Step], bool] | None = None
    of: Callable[[Site], bool] = lambda site: True


# Of a state ---------------------------------------------------------------------------------------


def _stop(site: Site, now: State) -> bool:
    return now.has(Input.STOP) or (now.doing is D.REST and not now.start)


def _fresh_call(site: Site, now: State) -> bool:
    return now.fresh != "stop" or (now.doing is D.REST and not now.start)


def _power(site: Site, now: State) -> bool:
    return now.fresh != "power" or (now.doing is D.REST and not now.start)


def _guard_c(site: Site, now: State) -> bool:
    return now.has(Input.GUARD_C) or now.doing not in SHUTTING


def _guard_o(site: Site, now: State) -> bool:
    return now.has(Input.GUARD_O) or now.doing not in OPENING


def _guard_c_opening(site: Site, now: State) -> bool:
    """A gate that met it while it shut may still open again."""
    return now.has(Input.GUARD_C) or now.doing not in OPENING or now.turned


def _edge_shutting(site: Site, now: State) -> bool:
    """With an edge for both ways the gate may still back off what it met while it opened."""
    backs_off = site.edge_opens and now.doing is D.GIVE_WAY
    return now.has(Input.EDGE) or now.doing not in SHUTTING or backs_off


def _edge_opening(site: Site, now: State) -> bool:
    """With an edge for both ways the gate may still open again after it met something while it shut."""
    turned = site.edge_shuts and now.turned
    return now.has(Input.EDGE) or now.doing not in OPENING or turned


def _nobody_holds(site: Site, now: State) -> bool:
    """Backing off, which lasts a second at most, is let finish."""
    held = now.has(Input.CALL) or now.has(Input.PART)
    return held or now.doing in (D.REST, D.GIVE_WAY)


def _broken_down(site: Site, now: State) -> bool:
    return not now.broken or (now.fault and now.doing is D.REST and not now.start)


def _truth(site: Site, now: State) -> bool:
    wanted = DOES.get(now.condition)
    if wanted is None:
        return now.doing in (D.REST, D.GIVE_WAY) and not now.start
    return now.doing is wanted or bool(now.start)


def _wrong_way(site: Site, now: State) -> bool:
    return now.doing is not D.ASTRAY


# Of a step ----------------------------------------------------------------------------------------


def _no_timer_shutting(site: Site, step: Step) -> bool:
    for one in step.acted:
        if one.stimulus is Stimulus.PAUSE_OVER and one.after is C.CLOSING:
            now = step.after
            guarded = now.has(Input.STOP) and now.has(Input.GUARD_C)
            return guarded and (not site.edge_shuts or now.has(Input.EDGE))
    return True


def _shuts_when_asked(site: Site, step: Step) -> bool:
    for one in step.acted:
        if one.after is C.CLOSING and one.condition is not C.CLOSING and one.stimulus not in CALLS:
            alone = site.table.closes_itself and one.stimulus is Stimulus.PAUSE_OVER
            if not (alone and one.response is Response.CLOSE):
                return False
    return True


def _opens_when_asked(site: Site, step: Step) -> bool:
    """A gate that waited goes on, and one that shut may turn round; from rest only a call opens."""
    return all(
        one.stimulus in CALLS or one.condition in ON_ITS_WAY or one.after not in (C.OPENING, C.PART_OPENING)
        for one in step.acted
    )


def _let_go(site: Site, step: Step) -> bool:
    """Whatever was let go, what was being done is not done any more."""
    before, now = step.before, step.after
    gone = before.made & ~now.made
    let_go = gone & (BIT[Input.CALL] | BIT[Input.PART])
    return not let_go or now.doing is not before.doing or now.doing in (D.REST, D.GIVE_WAY)


def _obstacle(site: Site, step: Step) -> bool:
    """What met something is stopped or turned in the same scan."""
    met = any(one.stimulus is Stimulus.OBSTACLE for one in step.acted)
    before, now = step.before.doing, step.after.doing
    return not met or before is not now or before not in (D.OPEN, D.PART, D.CLOSE)


def _both_ways(site: Site, step: Step) -> bool:
    """A guard of both ways that breaks while the gate opens stops the opening."""
    before, now = step.before, step.after
    broke = before.has(Input.GUARD_C) and not now.has(Input.GUARD_C)
    return not broke or before.doing not in OPENING or now.doing not in OPENING


def _edge_leaves(site: Site, step: Step) -> bool:
    """An edge that goes amiss ends the direction that it guards, whatever else comes in the same scan."""
    before, now = step.before, step.after
    if not before.has(Input.EDGE) or now.has(Input.EDGE):
        return True
    opening = site.edge_opens and before.doing in OPENING and now.doing in OPENING
    shutting = site.edge_shuts and before.doing is D.CLOSE and now.doing in SHUTTING
    return not (opening or shutting)


def _fault_stays(site: Site, step: Step) -> bool:
    if not step.before.broken or step.after.fault or not step.after.powered:
        return True
    return any(one.stimulus in CALLS for one in step.acted)


PROPERTIES: tuple[Property, ...] = (
    Property(
        "stop", "While STOP is open nothing is driven, in any condition.", "driven with STOP open", _stop
    ),
    Property(
        "fresh-call",
        "After STOP nothing moves without a fresh call.",
        "it moves, and nobody has called since STOP was open",
        _fresh_call,
    ),
    Property(
        "power",
        "After power returns nothing moves without a call.",
        "it moves, and nobody has called since power came",
        _power,
    ),
    Property(
        "guard-c",
        "With GUARD-C broken nothing shuts, from the scan that sees it.",
        "still shutting, with GUARD-C broken",
        _guard_c,
    ),
    Property(
        "guard-o",
        "With GUARD-O broken nothing opens, from the scan that sees it.",
        "still opening, with GUARD-O broken",
        _guard_o,
    ),
    Property(
        "guard-c-opening",
        "With a GUARD-C of both ways broken nothing sets off to open.",
        "it opens, with GUARD-C broken",
        _guard_c_opening,
        of=lambda site: site.uses.guard_c == "both",
    ),
    Property(
        "guard-c-leaves",
        "A GUARD-C that guards both ways stops an opening in the scan that sees it.",
        "still opening, with GUARD-C broken",
        step=_both_ways,
        of=lambda site: site.uses.guard_c == "both",
    ),
    Property(
        "edge-shutting",
        "With the edge amiss nothing shuts on, from the scan that sees it.",
        "still shutting, with the edge amiss",
        _edge_shutting,
        of=lambda site: site.edge_shuts,
    ),
    Property(
        "edge-opening",
        "With the edge amiss nothing opens on, from the scan that sees it.",
        "still opening, with the edge amiss",
        _edge_opening,
        of=lambda site: site.edge_opens,
    ),
    Property(
        "edge-leaves",
        "An edge that goes amiss ends the movement that it guards.",
        "it moves on, with the edge amiss",
        step=_edge_leaves,
        of=lambda site: site.uses.edge_fitted,
    ),
    Property(
        "obstacle",
        "A leaf that meets something does not go on.",
        "it goes on against it",
        step=_obstacle,
    ),
    Property(
        "gives-way",
        "What gives way backs off, and never presses on.",
        "told to give way, it goes on the way that it went",
        _wrong_way,
    ),
    Property(
        "timer",
        "No timer shuts the gate while a guard of shutting is broken.",
        "the pause shuts it with a guard broken",
        step=_no_timer_shutting,
    ),
    Property(
        "asked-to-shut",
        "Nothing but a call shuts the gate, and the pause where the mode says that it shuts by itself.",
        "it shuts, and neither a call nor a pause that the mode promises is why",
        step=_shuts_when_asked,
    ),
    Property(
        "asked-to-open",
        "From rest nothing but a call opens the gate.",
        "it opens by itself",
        step=_opens_when_asked,
    ),
    Property(
        "held",
        "Nothing moves unless a call is held.",
        "it moves, and no call is held",
        _nobody_holds,
        of=lambda site: site.table.while_held,
    ),
    Property(
        "let-go",
        "A call let go ends what it was held for, in the scan that sees it.",
        "it goes on though the call was let go",
        step=_let_go,
        of=lambda site: site.table.while_held,
    ),
    Property(
        "fault",
        "A fault stands, and nothing moves, until a person calls.",
        "it moves with a fault standing",
        _broken_down,
    ),
    Property(
        "fault-stays",
        "A fault never clears by itself.",
        "the fault is gone, and nobody has called",
        step=_fault_stays,
    ),
    Property(
        "truth",
        "The condition says what the leaves are ordered to do.",
        "the condition says one thing and the leaves do another",
        _truth,
    ),
)
