"""What a person's hands may do at this bench now, and doing it.

One entry per kind of action: `check` refuses what real hands could not do (press a button that is not
there, push a leaf that is not released), `do` does it. Checks change nothing, so that an action can be
written to the tape between the two.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import msgspec

from simgate.bench import actions as a
from simgate.bench.copper import COPPER
from simgate.bench.device_hands import DEVICES
from simgate.bench.looks import LOOKS
from simgate.bench.passer_kinds import kinds
from simgate.bench.passers import MOST, WAYS
from simgate.bench.refusal import Hand, always, known, refused
from simgate.board.signals import LEAVES
from simgate.board.stimuli import Key
from simgate.files import shown
from simgate.plant.spec import LeafKind
from simgate.wiring import faults

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

# N, a strong person for a moment; from memory, EN 12604 wants a gate to need no more than 150 to 260 N.
PUSH_LIMIT = 400.0
KEY_BIT = {key: 1 << n for n, key in enumerate(Key)}


def check(bench: Bench, action: a.Action) -> None:
    """Raise UserError when `action` is not possible now, or is no action at all. Changes nothing."""
    if bench.finished:
        raise refused("hand-over", "a run that is finished", "a new run")
    _check_kind(action)
    HANDS[type(action)][0](bench, action)


def _check_kind(action: a.Action) -> None:
    """A script may build an action with anything in it; one that no tape could spell is refused here."""
    try:
        again = msgspec.convert(msgspec.to_builtins(action), a.Action)
    except (msgspec.ValidationError, TypeError) as error:
        raise refused("action", shown(action), str(error)) from None
    if again != action or type(again) is not type(action):
        raise refused("action", shown(action), "an action with values of its own kinds")


def do(bench: Bench, action: a.Action) -> None:
    """Do a checked action."""
    HANDS[type(action)][1](bench, action)


def _leaf(bench: Bench, name: str) -> int:
    known("leaf", name, LEAVES[: len(bench.plant.leaves)])
    return LEAVES.index(name)


# Keys and devices ---------------------------------------------------------------------------------


def _press_key(bench: Bench, action: a.PressKey) -> None:
    bit = KEY_BIT[action.key]
    signals = bench.board.signals
    signals.keys = signals.keys | bit if action.down else signals.keys & ~bit


def _check_device(bench: Bench, action: a.Operate) -> None:
    known("device", action.device, bench.contacts.down)


def _operate(bench: Bench, action: a.Operate) -> None:
    bench.contacts.operate(action.device, action.down)


def _check_beam(bench: Bench, action: a.Block) -> None:
    known("beam", action.beam, bench.contacts.blocked)


def _block(bench: Bench, action: a.Block) -> None:
    bench.contacts.blocked[action.beam] = action.blocked


def _mains(bench: Bench, action: a.Mains) -> None:
    bench.contacts.mains = action.on


# Leaves -------------------------------------------------------------------------------------------


def _check_body(bench: Bench, action: a.PlaceBody) -> None:
    n = _leaf(bench, action.leaf)
    if bench.passers.here:
        raise refused("body", "somebody on the drive", "a drive that is clear: let them pass first")
    leaf, _ = bench.setup.site.plant.leaves[n]
    if leaf.kind is LeafKind.SLIDES:
        _check_body_on_track(action, leaf.reach)
        return
    if action.place_m:
        raise refused("body", f"{action.place_m} m from shut", "an angle: this leaf swings")
    if not 0.1 <= action.radius_m <= leaf.width:
        raise refused("body", f"{action.radius_m} m from the hinge", f"0.1 to {leaf.width} m")
    if not 0 < math.radians(action.angle_deg) < leaf.reach:
        raise refused("body", f"{action.angle_deg} deg", f"between 0 and {math.degrees(leaf.reach):.0f} deg")


def _check_body_on_track(action: a.PlaceBody, travel: float) -> None:
    if action.radius_m or action.angle_deg:
        found = f"{action.radius_m} m from a hinge, {action.angle_deg} deg"
        raise refused("body", found, "a place on the track: this leaf slides")
    if not 0 < action.place_m < travel:
        raise refused("body", f"{action.place_m} m from shut", f"between 0 and {travel:g} m")


def _place_body(bench: Bench, action: a.PlaceBody) -> None:
    n = _leaf(bench, action.leaf)
    leaf = bench.plant.leaves[n]
    body = (action.radius_m, math.radians(action.angle_deg))
    if leaf.kind is LeafKind.SLIDES:
        body = (1.0, action.place_m)  # its edge meets it, whatever the radius
    bench.passers.put_body(n, body)


def _check_leaf(bench: Bench, action: a.RemoveBody | a.Release) -> None:
    _leaf(bench, action.leaf)


def _remove_body(bench: Bench, action: a.RemoveBody) -> None:
    n = _leaf(bench, action.leaf)
    if bench.passers.bodies[n] is not None:  # else what stands there went there by itself
        bench.passers.put_body(n, None)


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


def _check_step(bench: Bench, action: a.Step) -> None:
    if action.inside and any(one.in_swing for one in bench.passers.views()):
        raise refused("inside", "somebody who goes through", "a way that is clear: let them pass first")


def _step_in(bench: Bench, action: a.Step) -> None:
    bench.inside = action.inside
    bench.passers.step_in(action.inside)


def _check_send(bench: Bench, action: a.Send) -> None:
    known("kind", action.kind, kinds())
    known("way", action.way, WAYS)
    if any(bench.passers.bodies):
        raise refused("send", "a test body in the way", "a way that is clear: take the body away first")
    needs, opening = kinds()[action.kind].needs, bench.passers.opening
    if needs > opening:
        raise refused("send", f"a {action.kind}, which wants {needs:.1f} m", f"what fits {opening:.1f} m")
    if len(bench.passers.here) >= MOST:
        raise refused("send", f"{MOST} on the drive", "a place free: let them pass first")


def _send(bench: Bench, action: a.Send) -> None:
    bench.passers.send(kinds()[action.kind], WAYS[action.way])


def _clear_way(bench: Bench, action: a.ClearWay) -> None:
    bench.passers.clear()


# The trainer, and the end -------------------------------------------------------------------------


def _fault(action: a.Inject) -> faults.Fault:
    return faults.Fault(faults.kind_of(action.kind), action.place, action.amount)


def _open_drawer(bench: Bench, action: a.OpenDrawer) -> None:
    bench.marked = False


def _check_inject(bench: Bench, action: a.Inject) -> None:
    faults.check(bench.harness, _fault(action))


def _inject(bench: Bench, action: a.Inject) -> None:
    bench.marked = False
    faults.inject(bench.harness, _fault(action))


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


def _check_ask(bench: Bench, action: a.AskNext) -> None:
    if bench.setup.exam:
        raise refused("ask", "an exam", "practice: in an exam nobody is asked what to look at next")


def _hand_over(bench: Bench, action: a.HandOver) -> None:
    bench.finished = True


HANDS: dict[type, Hand] = {
    **COPPER,
    **DEVICES,
    **LOOKS,
    a.PressKey: (always, _press_key),
    a.Operate: (_check_device, _operate),
    a.Block: (_check_beam, _block),
    a.PlaceBody: (_check_body, _place_body),
    a.RemoveBody: (_check_leaf, _remove_body),
    a.Release: (_check_leaf, _release),
    a.Push: (_check_push, _push),
    a.Mains: (always, _mains),
    a.Step: (_check_step, _step_in),
    a.Send: (_check_send, _send),
    a.ClearWay: (always, _clear_way),
    a.OpenDrawer: (always, _open_drawer),
    a.Inject: (_check_inject, _inject),
    a.Mend: (_check_mend, _mend),
    a.TakeHint: (always, _hint),
    a.AskNext: (_check_ask, _hint),
    a.HandOver: (always, _hand_over),
}
