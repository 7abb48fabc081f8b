"""The state that hands have brought a gate into: at rest, dead, or with a core off, a link, water, a plug.

What hands undid or put in makes of the copper something else than was found. Where that is just what a look
of the table asks for, what is measured then is that look; with anything more undone it is none.
"""

from __future__ import annotations

from collections.abc import Sequence

from simgate.bench import actions as a
from simgate.practice.diagnosis.states import EDGE, LIFTED, LINKABLE, State, StateKind, cores_at
from simgate.practice.diagnosis.worlds import World, Worlds
from simgate.wiring.harness import Harness
from simgate.wiring.spec import WiringSpec
from simgate.wiring.tables import BOARD, COM, ZERO

POURED = 1.0  # of rain


def work(spec: WiringSpec, state: State) -> tuple[a.Action, ...]:
    """What hands do to the copper to bring a gate that is as it was found into a state."""
    kind = state.kind
    wet = (a.Rain(100.0),) if kind in (StateKind.WET, StateKind.WET_CORE_OFF) else ()
    if kind in LIFTED:
        return (*wet, a.PartWire(state.of))
    if kind is StateKind.LINKED:
        return (a.AddLink(COM, f"{BOARD}.{state.of}"),)
    if kind is StateKind.PLUGGED:
        return (*(a.PartWire(core) for core in cores_at(spec, EDGE)), a.TestPlug(EDGE, ZERO, True))
    return (a.SpareBeam(state.of, True),) if kind is StateKind.SPARE else wet


def reached(worlds: Worlds, mains: bool, worked: Sequence[str]) -> State | None:
    """The state of the gate as it is, its leaves shut; None for one that the planner does not know."""
    now = worlds.true.harness
    wet = now.rain == POURED != worlds.rain
    state = _meant(now, mains, worked, wet)
    if state is None or now.rain not in (worlds.rain, POURED):
        return None
    if worlds.as_found:
        return state
    again = worlds.again()
    for action in work(now.spec, state):
        again.do(action)
    if now.battery_off and not mains:
        again.do(a.TakeBattery(True))
    return state if _alike(again, worlds.true) else None


def _alike(one: World, other: World) -> bool:
    """Whether two gates are in one state, fuses that have blown in either blown in both."""
    for world in (one, other):
        world.settle(True, ())
    return one.harness.state() == other.harness.state()


def _meant(now: Harness, mains: bool, worked: Sequence[str], wet: bool) -> State | None:
    """The state that this looks like: the core that is off, the link that is in. wet: by hand."""
    off = tuple(wire.name for wire in now.wires() if wire.undone)
    put_in = [*_inputs(now), *now.spares()] + (["plug"] if now.plug else [])
    if len(put_in) > 1 or (worked and (not mains or off or put_in or wet)):
        return None
    if mains:
        return _fed(now, off, put_in, worked, wet)
    if put_in or len(off) > 1:
        return None
    if now.battery is not None and not now.battery_off:
        return None if off or wet else State(StateKind.ON_BATTERY)
    if off:
        return State(StateKind.WET_CORE_OFF if wet else StateKind.CORE_OFF, off[0])
    return None if wet else State(StateKind.DEAD)


def _fed(
    now: Harness, off: Sequence[str], put_in: Sequence[str], worked: Sequence[str], wet: bool
) -> State | None:
    """With the mains on."""
    if now.plug:
        return State(StateKind.PLUGGED)
    if off or (put_in and wet):
        return None
    if wet:
        return State(StateKind.WET)
    if put_in:
        kind = StateKind.SPARE if now.spares() else StateKind.LINKED
        return State(kind, put_in[0])
    if worked:
        return State(StateKind.WORKED, worked[0]) if len(worked) == 1 else None
    return State(StateKind.REST)


def _inputs(now: Harness) -> list[str]:
    """The inputs with a link from COM that is not meant to be there."""
    links = [{*link} for link in now.links() if link not in now.spec.links]
    return [name for name in LINKABLE if {COM, f"{BOARD}.{name}"} in links]
