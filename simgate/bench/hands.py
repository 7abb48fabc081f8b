"""What a person's hands may do at this bench now, and doing it.

One entry per kind of action: `check` refuses what real hands could not do (press a button that is not
there, push a leaf that is not released), `do` does it. Checks change nothing, so that an action can be
written to the tape between the two.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from simgate.bench import actions as a
from simgate.board.signals import LEAVES
from simgate.board.stimuli import Key
from simgate.files import Problem, UserError, nearest, shown
from simgate.wiring import faults
from simgate.wiring.meter import Instrument
from simgate.wiring.spec import WireState

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

PUSH_LIMIT = (
    400.0  # N, a strong person for a moment; EN 12604 allows 150 to 260 N to work a gate by hand (G5)
)
KEY_BIT = {key: 1 << n for n, key in enumerate(Key)}

Hand = tuple[Callable[["Bench", Any], None], Callable[["Bench", Any], None]]


def check(bench: Bench, action: a.Action) -> None:
    """Raise UserError when `action` is not possible now. Changes nothing."""
    if bench.finished:
        raise refused("hand-over", "a run that is finished", "a new run")
    HANDS[type(action)][0](bench, action)


def do(bench: Bench, action: a.Action) -> None:
    """Do a checked action."""
    HANDS[type(action)][1](bench, action)


def refused(what: str, found: str, allowed: str) -> UserError:
    """The one error of hands: what was tried, what was found, what is possible."""
    return UserError(Problem("bench", what, found, allowed))


def _known(what: str, name: str, names: Iterable[str]) -> None:
    names = tuple(names)
    if name not in names:
        raise refused(what, shown(name), nearest(name, names))


def _leaf(bench: Bench, name: str) -> int:
    _known("leaf", name, LEAVES[: len(bench.plant.leaves)])
    return LEAVES.index(name)


def _always(bench: Bench, action: a.Action) -> None:
    """Possible at any time."""


# Keys and devices ---------------------------------------------------------------------------------


def _press_key(bench: Bench, action: a.PressKey) -> None:
    bit = KEY_BIT[action.key]
    signals = bench.board.signals
    signals.keys = signals.keys | bit if action.down else signals.keys & ~bit


def _check_device(bench: Bench, action: a.Operate) -> None:
    _known("device", action.device, bench.contacts.down)


def _operate(bench: Bench, action: a.Operate) -> None:
    bench.contacts.down[action.device] = action.down


def _check_beam(bench: Bench, action: a.Block) -> None:
    _known("beam", action.beam, bench.contacts.blocked)


def _block(bench: Bench, action: a.Block) -> None:
    bench.contacts.blocked[action.beam] = action.blocked


def _mains(bench: Bench, action: a.Mains) -> None:
    bench.contacts.mains = action.on


# Leaves -------------------------------------------------------------------------------------------


def _check_body(bench: Bench, action: a.PlaceBody) -> None:
    n = _leaf(bench, action.leaf)
    leaf, _ = bench.setup.site.plant.leaves[n]
    if not 0.1 <= action.radius_m <= leaf.width:
        raise refused("body", f"{action.radius_m} m from the hinge", f"0.1 to {leaf.width} m")
    if not 0 < math.radians(action.angle_deg) < leaf.open_angle:
        raise refused(
            "body", f"{action.angle_deg} deg", f"between 0 and {math.degrees(leaf.open_angle):.0f} deg"
        )


def _place_body(bench: Bench, action: a.PlaceBody) -> None:
    n = _leaf(bench, action.leaf)
    bench.plant.leaves[n].place_body(action.radius_m, math.radians(action.angle_deg))
    bench.bodies[n] = (action.radius_m, math.radians(action.angle_deg))


def _check_leaf(bench: Bench, action: a.RemoveBody | a.Release) -> None:
    _leaf(bench, action.leaf)


def _remove_body(bench: Bench, action: a.RemoveBody) -> None:
    n = _leaf(bench, action.leaf)
    bench.plant.leaves[n].remove_body()
    bench.bodies[n] = None


def _release(bench: Bench, action: a.Release) -> None:
    leaf = bench.plant.leaves[_leaf(bench, action.leaf)]
    leaf.released = action.released
    if not action.released:
        leaf.push = 0.0


def _check_push(bench: Bench, action: a.Push) -> None:
    leaf = bench.plant.leaves[_leaf(bench, action.leaf)]
    if not leaf.released:
        raise refused(
            "push",
            f"leaf {action.leaf} coupled to its drive",
            "a released leaf: turn its manual release first",
        )
    if not abs(action.newton) <= PUSH_LIMIT:
        raise refused("push", f"{action.newton} N", f"-{PUSH_LIMIT:.0f} to {PUSH_LIMIT:.0f} N")


def _push(bench: Bench, action: a.Push) -> None:
    bench.plant.leaves[_leaf(bench, action.leaf)].push = float(action.newton)


def _step_in(bench: Bench, action: a.Step) -> None:
    bench.inside = action.inside


# Copper -------------------------------------------------------------------------------------------


def _check_points(bench: Bench, action: a.AddLink | a.RemoveLink) -> None:
    for point in (action.a, action.b):
        _known("point", point, bench.harness.points())
    if action.a == action.b:
        raise refused("link", f"{action.a} twice", "two different points")
    there = _pair(action.a, action.b) in {_pair(*link) for link in bench.harness.links()}
    if there != isinstance(action, a.RemoveLink):
        found = "a link there already" if there else "no link there"
        raise refused(
            "link", found, "two points without a link" if there else "two points with a link between them"
        )


def _pair(one: str, other: str) -> frozenset[str]:
    return frozenset((one, other))


def _add_link(bench: Bench, action: a.AddLink) -> None:
    bench.harness.add_link(action.a, action.b)


def _remove_link(bench: Bench, action: a.RemoveLink) -> None:
    bench.harness.remove_link(action.a, action.b)


def _wire(bench: Bench, name: str) -> WireState:
    wires = {wire.name: wire for wire in bench.harness.wires()}
    _known("wire", name, wires)
    return wires[name]


def _check_remake(bench: Bench, action: a.RemakeWire) -> None:
    _wire(bench, action.wire)


def _check_part(bench: Bench, action: a.PartWire) -> None:
    if _wire(bench, action.wire).undone:
        raise refused(f"wire '{action.wire}'", "undone already", "a wire that is made")


def _check_move(bench: Bench, action: a.MoveWire) -> None:
    wire = _wire(bench, action.wire)
    _known("end", action.end, ("from", "to"))
    _known("point", action.to, bench.harness.points())
    if action.to == (wire.b if action.end == "from" else wire.a):
        raise refused(
            f"wire '{wire.name}'", f"its other end at {action.to}", "a point away from its other end"
        )


def _part(bench: Bench, action: a.PartWire) -> None:
    bench.harness.part_wire(action.wire)


def _remake(bench: Bench, action: a.RemakeWire) -> None:
    bench.harness.remake_wire(action.wire)


def _move(bench: Bench, action: a.MoveWire) -> None:
    bench.harness.move_wire(action.wire, action.end, action.to)


def _check_swap(bench: Bench, action: a.SwapWires) -> None:
    one, other = _wire(bench, action.a), _wire(bench, action.b)
    if one == other:
        raise refused("swap", f"{action.a} twice", "two different wires")
    if one.b == other.a or other.b == one.a:
        raise refused("swap", f"{action.a} and {action.b} end to end", "two wires side by side")


def _swap(bench: Bench, action: a.SwapWires) -> None:
    bench.harness.swap_wires(action.a, action.b)


def _check_fuse(bench: Bench, action: a.ReplaceFuse) -> None:
    _known("fuse", action.fuse, bench.harness.fuses())


def _replace_fuse(bench: Bench, action: a.ReplaceFuse) -> None:
    bench.harness.replace_fuse(action.fuse)


def _check_probe(bench: Bench, action: a.Probe) -> None:
    _known("instrument", action.instrument, (instrument.value for instrument in Instrument))
    if action.instrument == Instrument.CLAMP.value:
        _wire(bench, action.a)
        return
    for point in (action.a, action.b):
        _known("point", point, bench.harness.points())


def _probe(bench: Bench, action: a.Probe) -> None:
    bench.probe = action


def _put_away(bench: Bench, action: a.PutAway) -> None:
    bench.probe = None


# The trainer, and the end -------------------------------------------------------------------------


def _check_inject(bench: Bench, action: a.Inject) -> None:
    kind = faults.kind_of(action.kind)
    _known("place", action.place, faults.places(bench.harness, kind))


def _inject(bench: Bench, action: a.Inject) -> None:
    bench.marked = False
    faults.inject(bench.harness, faults.Fault(faults.kind_of(action.kind), action.place, action.amount))


def _check_mend(bench: Bench, action: a.Mend) -> None:
    here = {(fault.kind.value, fault.place) for fault in bench.faults()}
    if (action.kind, action.place) not in here:
        allowed = ", ".join(f"{kind} at {place}" for kind, place in sorted(here)) or "nothing: no fault is in"
        raise refused("mend", f"{action.kind} at {action.place}", allowed)


def _mend(bench: Bench, action: a.Mend) -> None:
    bench.marked = False
    for fault in bench.faults():
        if (fault.kind.value, fault.place) == (action.kind, action.place):
            faults.mend(bench.harness, fault)


def _hint(bench: Bench, action: a.TakeHint) -> None:
    bench.hints += 1


def _hand_over(bench: Bench, action: a.HandOver) -> None:
    bench.finished = True


HANDS: dict[type, Hand] = {
    a.PressKey: (_always, _press_key),
    a.Operate: (_check_device, _operate),
    a.Block: (_check_beam, _block),
    a.PlaceBody: (_check_body, _place_body),
    a.RemoveBody: (_check_leaf, _remove_body),
    a.Release: (_check_leaf, _release),
    a.Push: (_check_push, _push),
    a.Mains: (_always, _mains),
    a.Step: (_always, _step_in),
    a.AddLink: (_check_points, _add_link),
    a.RemoveLink: (_check_points, _remove_link),
    a.PartWire: (_check_part, _part),
    a.RemakeWire: (_check_remake, _remake),
    a.MoveWire: (_check_move, _move),
    a.SwapWires: (_check_swap, _swap),
    a.ReplaceFuse: (_check_fuse, _replace_fuse),
    a.Probe: (_check_probe, _probe),
    a.PutAway: (_always, _put_away),
    a.Inject: (_check_inject, _inject),
    a.Mend: (_check_mend, _mend),
    a.TakeHint: (_always, _hint),
    a.HandOver: (_always, _hand_over),
}
