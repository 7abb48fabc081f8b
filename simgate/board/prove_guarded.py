"""What STOP, the guards, the edge and an obstacle promise, in every mode and in all work from the book."""

from __future__ import annotations

from simgate.board.prove_drive import RELIEF, Doing
from simgate.board.prove_edge import Step
from simgate.board.prove_property import OPENING, SHUTTING, Property, Site
from simgate.board.prove_scene import Beam, Source
from simgate.board.prove_state import State
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Task

D = Doing

SHUT_GUARDS: tuple[Source, ...] = (Input.GUARD_C, Beam.CLOSING, Beam.BOTH)
ENDS_IT = (Stimulus.CALL_RELEASED, Stimulus.PART_RELEASED, Stimulus.FAULT)
OPEN_GUARDS: tuple[Source, ...] = (Input.GUARD_O, Beam.OPENING)


def both_ways(site: Site) -> tuple[Source, ...]:
    """Guards of shutting that guard opening too."""
    return (Input.GUARD_C, Beam.BOTH) if site.uses.guard_c == "both" else (Beam.BOTH,)


def _all(now: State, guards: tuple[Source, ...]) -> bool:
    return all(now.has(one) for one in guards)


def _turned_round(now: State) -> bool:
    """It met something while it shut: it opens again, or backs off whom it may press."""
    return now.turned or now.doing is D.RELIEVE


# Of a state ---------------------------------------------------------------------------------------


def _stop(site: Site, now: State) -> bool:
    return now.has(Input.STOP) or now.still


def _guard_c(site: Site, now: State) -> bool:
    return now.kernel.doing not in SHUTTING or _all(now, SHUT_GUARDS)


def _guard_o(site: Site, now: State) -> bool:
    return now.kernel.doing not in OPENING or _all(now, OPEN_GUARDS)


def _guard_c_opening(site: Site, now: State) -> bool:
    """A gate that met it while it shut may still open again, and lets go whom it may press."""
    return now.kernel.doing not in OPENING or _turned_round(now) or _all(now, both_ways(site))


def _edge_shutting(site: Site, now: State) -> bool:
    """With an edge for both ways the gate may still back off what it met while it opened."""
    backs_off = site.edge_opens and now.doing is D.GIVE_WAY
    return now.has(Input.EDGE) or now.doing not in SHUTTING or backs_off


def _edge_opening(site: Site, now: State) -> bool:
    """With an edge for both ways the gate may still open again after it met something while it shut."""
    lets_go = site.edge_shuts and _turned_round(now)
    return now.has(Input.EDGE) or now.doing not in OPENING or lets_go


def _wrong_way(site: Site, now: State) -> bool:
    return now.doing is not D.ASTRAY


def _learning(site: Site, now: State) -> bool:
    """A learn cycle moves both ways, so every guard must be whole while it drives."""
    busy = now.kernel.busy
    if busy is None or busy.task is not Task.LEARN or now.doing is D.REST:
        return True
    edge = now.has(Input.EDGE) or not site.uses.edge_fitted
    return edge and _all(now, (*SHUT_GUARDS, *OPEN_GUARDS))


# Of a step ----------------------------------------------------------------------------------------


def _obstacle(site: Site, step: Step) -> bool:
    """What met something is stopped or turned in the same scan."""
    met = any(one.stimulus is Stimulus.OBSTACLE for one in step.acted)
    before, now = step.before.doing, step.after.doing
    return not met or before is not now or before not in (D.OPEN, D.PART, D.CLOSE, D.TURN)


def _both_ways(site: Site, step: Step) -> bool:
    """A guard of both ways that breaks while the gate opens stops the opening."""
    before, now = step.before, step.after
    if before.doing not in OPENING or now.doing not in OPENING or now.doing is D.RELIEVE:
        return True
    return not any(before.has(one) and not now.has(one) for one in both_ways(site))


def _lets_go(site: Site, step: Step) -> bool:
    """Only what forbids to open at all, a second thing met, a fault and the hand that lets go come before it.

    A gate that shuts and turns round begins with it, and nothing shuts in the middle of it.
    """
    before, now = step.before, step.after
    turns = any(one.condition is Condition.CLOSING and one.after is Condition.OPENING for one in step.acted)
    if now.doing in RELIEF or not (before.doing in RELIEF or (turns and before.doing is D.CLOSE)):
        return True
    if any(one.stimulus in ENDS_IT and one.response is Response.STOP for one in step.acted):
        return True
    if now.doing in SHUTTING:
        return any(one.stimulus is Stimulus.OBSTACLE for one in step.acted)
    if step.happening.eased or step.happening.event is not None or not now.powered:
        return True
    edge = now.has(Input.EDGE) or site.uses.edge != "opening"
    return not (edge and _all(now, (Input.STOP, *OPEN_GUARDS)))


def _edge_leaves(site: Site, step: Step) -> bool:
    """An edge that goes amiss ends the direction that it guards, whatever else comes in the same scan."""
    before, now = step.before, step.after
    if not before.has(Input.EDGE) or now.has(Input.EDGE):
        return True
    lets_go = site.edge_shuts and now.doing is D.RELIEVE
    opening = site.edge_opens and before.doing in OPENING and now.doing in OPENING and not lets_go
    shutting = site.edge_shuts and before.doing is D.CLOSE and now.doing in SHUTTING
    return not (opening or shutting)


GUARDED: tuple[Property, ...] = (
    Property(
        "stop", "While STOP is open nothing is driven, in any condition.", "driven with STOP open", _stop
    ),
    Property(
        "guard-c",
        "With GUARD-C or a line beam of closing broken nothing shuts, from the scan that sees it.",
        "still shutting, with a guard of shutting broken",
        _guard_c,
    ),
    Property(
        "guard-o",
        "With GUARD-O or a line beam of opening broken nothing opens, from the scan that sees it.",
        "still opening, with a guard of opening broken",
        _guard_o,
    ),
    Property(
        "both-ways-opening",
        "With a guard of both ways broken nothing sets off to open.",
        "it opens, with a guard of both ways broken",
        _guard_c_opening,
    ),
    Property(
        "both-ways-leaves",
        "A guard of both ways stops an opening in the scan that sees it.",
        "still opening, with a guard of both ways broken",
        step=_both_ways,
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
        "lets-go",
        "A gate that turns round from shutting backs off whom it may press, whatever beams and calls do.",
        "it stands or shuts before it has backed off",
        step=_lets_go,
    ),
    Property(
        "gives-way",
        "What gives way backs off, and never presses on.",
        "told to give way, it goes on the way that it went",
        _wrong_way,
    ),
    Property(
        "learning",
        "A learn cycle drives nothing while any guard is amiss, whichever way it guards.",
        "the learn cycle drives on, with a guard amiss",
        _learning,
    ),
)
