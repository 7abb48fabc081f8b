"""Habits by which a search stays a search: supply off before hands go inside, one change at a time, and
what was moved put back.

All of these read only what hands did and how they left the place. Each yields (tick, what was seen), for the
watchers in conduct.py.

A repair is a core made good, a fuse, or a device put right or fitted new. Cores moved on purpose are work of
another kind, which takes several moves, and so are links, which are tools.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from simgate.bench import actions as a
from simgate.bench.radio import OWN
from simgate.practice.ending import Ending
from simgate.practice.names import plain, point

Seen = tuple[int, str]

# What a repair is made to, by kind of action.
_REPAIRS: Mapping[type, Callable[[Any], str]] = {
    a.RemakeWire: lambda action: action.wire,
    a.ReplaceFuse: lambda action: f"{action.fuse} fuse",
    a.Renew: lambda action: action.device,
    a.FitHead: lambda action: action.head if action.fitted else "",
    a.CleanLens: lambda action: action.head,
    a.FreshBattery: lambda action: action.remote,
}
# What shows whether a change helped: a look, a measurement, or the gate tried.
_LOOKS = (
    a.Probe, a.Inspect, a.Operate, a.Block, a.PressKey, a.RemoteKey, a.Push, a.SpareBeam, a.TestPlug,
)  # fmt: skip
_OPENED: Mapping[type, Callable[[Any], str]] = {
    a.FitHead: lambda action: f"{plain(action.head)} was {'fitted' if action.fitted else 'taken away'}",
    a.FitLens: lambda action: f"{plain(action.head)} was opened for its lens",
    a.SetSwitches: lambda action: f"{plain(action.head)} was opened for its switches",
    a.SpareBeam: lambda action: f"the cores of {plain(action.relay_beam)} were moved to another beam",
    a.Renew: lambda action: f"{plain(action.device)} was worked on",
}
_WIRED: Mapping[type, str] = {
    a.MoveWire: "a wire was moved",
    a.SwapWires: "wires were changed over",
    a.PartWire: "a wire was undone",
    a.RemakeWire: "a wire was made good",
    a.ReplaceFuse: "a fuse was fitted",
    a.EndResistor: "an end resistor was fitted or taken out",
    a.AddLink: "a link was put in",
    a.RemoveLink: "a link was taken out",
    a.TestPlug: "the test plug was put in or taken out",
}
GLANCE = 1000  # ms that the mains are on for somebody to see what display and lamps show after the work
_OUTSIDE = ("wind", "mains")  # nothing of the gate is opened; the mains are isolated at the house


def wires_live(ending: Ending) -> Iterator[Seen]:
    """Wires, links or fuses worked on while anything fed the gate."""
    for tick, action, source in ending.fed_at_work(*_WIRED):
        if source:
            yield tick, f"{_WIRED[type(action)]} with {source}"


def opened_live(ending: Ending) -> Iterator[Seen]:
    """A device opened, fitted or worked on while anything fed it: the mains, or a battery."""
    remotes = {remote.name for remote in ending.setup.site.wiring.remotes}
    for tick, action, source in ending.fed_at_work(*_OPENED):
        if isinstance(action, a.Renew) and (action.device in _OUTSIDE or action.device in remotes):
            continue
        if source:
            yield tick, f"{_OPENED[type(action)](action)} with {source}"


def changes_together(ending: Ending) -> Iterator[Seen]:
    """Two repairs of different things with nothing between that could show which of them helped.

    Only where a fault is searched for; a new gate is put together in any order. Who switches the mains on
    again and waits a moment looks at display and lamps.
    """
    if not ending.setup.faults:
        return
    last, on = "", 0 if ending.setup.mains else None
    for tick, action in ending.actions():
        if isinstance(action, _LOOKS):
            last = ""
        elif isinstance(action, a.Mains):
            if on is not None and not action.on and tick - on >= GLANCE:
                last = ""
            on = tick if action.on else None
        made = _REPAIRS.get(type(action))
        to = made(action) if made is not None else ""
        if to:
            if last and to != last and not _neighbours(ending, last, to):
                yield tick, f"{plain(to)} was put right straight after {plain(last)}, with no look between"
            last = to


def _neighbours(ending: Ending, one: str, other: str) -> bool:
    """Cores of one cable, or such as hands had undone, made good together: that is one change."""
    ends = {
        wire.name: {wire.a.rpartition(".")[0], wire.b.rpartition(".")[0]}
        for wire in ending.setup.site.wiring.wires
    }
    if one in ends and ends[one] == ends.get(other):
        return True
    undone = {action.wire for _, action in ending.actions(a.PartWire) if isinstance(action, a.PartWire)}
    return one in undone and other in undone


def not_put_back(ending: Ending) -> Iterator[Seen]:
    """What hands moved, took or added for the search and left so."""
    snapshot, tick = ending.snapshot, ending.snapshot.tick
    if snapshot.plug is not None:
        yield tick, f"the test plug was left across {point(snapshot.plug[0])} and {point(snapshot.plug[1])}"
    for beam in snapshot.spares:
        yield tick, f"the spare beam was left in place of {plain(beam)}"
    if any(serial == OWN.serial for serial, _, _ in snapshot.taught):
        yield tick, "your own remote was left taught, and opens this gate from now on"
    if snapshot.battery is False:
        yield tick, "the battery was left off its screws"
    if not ending.defeated:  # a guard linked out is told of by itself
        for one, other in _links_left(ending):
            yield tick, f"a link was left between {point(one)} and {point(other)}"
        for wire in _cores_left(ending):
            yield tick, f"{plain(wire)} was left on another screw than its own"
    for head in snapshot.heads:
        took = [action for _, action in ending.actions(a.FitHead, a.FitLens) if _head(action) == head.name]
        lens = [action for action in took if isinstance(action, a.FitLens)]
        if lens and not lens[-1].fitted and head.fitted and not head.lens:
            yield tick, f"the lens of {plain(head.name)} was left out"
        if took and not head.fitted:
            yield tick, f"{plain(head.name)} was taken away and none is in its place"


def _head(action: a.Action) -> str:
    return action.head if isinstance(action, a.FitHead | a.FitLens) else ""


def _links_left(ending: Ending) -> list[tuple[str, str]]:
    meant = {frozenset(link) for link in ending.setup.site.wiring.links}
    by_hand = {
        frozenset((action.a, action.b))
        for _, action in ending.actions(a.AddLink)
        if isinstance(action, a.AddLink)
    }
    return [link for link in ending.snapshot.links if frozenset(link) in by_hand - meant]


def _cores_left(ending: Ending) -> list[str]:
    """Cores that hands moved and that end elsewhere than meant, unless others took their places in turn.

    A motor that is turned round has both its cores moved, and both its screws in use as before.
    """
    moved: list[str] = []
    for _, action in ending.actions(a.MoveWire, a.SwapWires):
        moved += [action.wire] if isinstance(action, a.MoveWire) else []
        moved += [action.a, action.b] if isinstance(action, a.SwapWires) else []
    meant = {wire.name: (wire.a, wire.b) for wire in ending.setup.site.wiring.wires}
    now = {wire.name: (wire.a, wire.b) for wire in ending.snapshot.wires}
    astray = [name for name in dict.fromkeys(moved) if frozenset(now[name]) != frozenset(meant[name])]
    screws_now = sorted(point for name in astray for point in now[name])
    screws_meant = sorted(point for name in astray for point in meant[name])
    return [] if screws_now == screws_meant else astray
