"""What hands may do to the copper now, and doing it: links, wires, fuses and the instrument's probes.

As in hands.py each kind of action has a check that changes nothing, so that it can be on the tape before
the copper changes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simgate.bench import actions as a
from simgate.bench.refusal import Hand, always, known, refused
from simgate.wiring.mains import POINTS as MAINS_POINTS
from simgate.wiring.meter import Instrument
from simgate.wiring.spec import WireState

if TYPE_CHECKING:
    from simgate.bench.scan import Bench


def _check_points(bench: Bench, action: a.AddLink | a.RemoveLink) -> None:
    for point in (action.a, action.b):
        known("point", point, bench.harness.points())
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
    known("wire", name, wires)
    return wires[name]


def _check_remake(bench: Bench, action: a.RemakeWire) -> None:
    _wire(bench, action.wire)


def _check_part(bench: Bench, action: a.PartWire) -> None:
    if _wire(bench, action.wire).undone:
        raise refused(f"wire '{action.wire}'", "undone already", "a wire that is made")


def _check_move(bench: Bench, action: a.MoveWire) -> None:
    wire = _wire(bench, action.wire)
    known("end", action.end, ("from", "to"))
    known("point", action.to, bench.harness.points())
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
    known("fuse", action.fuse, bench.harness.fuses())


def _replace_fuse(bench: Bench, action: a.ReplaceFuse) -> None:
    bench.harness.replace_fuse(action.fuse)


def _check_resistor(bench: Bench, action: a.EndResistor) -> None:
    ends = bench.harness.edge_ends()
    known("edge", action.edge, ends)
    if ends[action.edge] is action.fitted:
        found = "a resistor across its far screws" if action.fitted else "no resistor across its far screws"
        allowed = "an edge without one" if action.fitted else "an edge with one"
        raise refused(f"edge '{action.edge}'", found, allowed)


def _resistor(bench: Bench, action: a.EndResistor) -> None:
    bench.harness.end_edge(action.edge, action.fitted)


def _check_renew(bench: Bench, action: a.Renew) -> None:
    known("device", action.device, bench.harness.renewable())


def _renew(bench: Bench, action: a.Renew) -> None:
    bench.harness.renew_device(action.device)


def _check_probe(bench: Bench, action: a.Probe) -> None:
    known("instrument", action.instrument, (instrument.value for instrument in Instrument))
    if action.instrument == Instrument.CLAMP.value:
        _wire(bench, action.a)
        return
    points = MAINS_POINTS if action.instrument == Instrument.VOLTS_AC.value else bench.harness.points()
    for point in (action.a, action.b):
        known("point", point, points)
    if action.instrument == Instrument.DIODE.value and action.a == action.b:
        raise refused("probe", f"{action.a} twice", "two different points")


def _probe(bench: Bench, action: a.Probe) -> None:
    bench.probe = action


def _put_away(bench: Bench, action: a.PutAway) -> None:
    bench.probe = None


def _check_plug(bench: Bench, action: a.TestPlug) -> None:
    for point in (action.a, action.b):
        known("point", point, bench.harness.points())
    if action.a == action.b:
        raise refused("test plug", f"{action.a} twice", "two different points")
    plug = bench.harness.plug
    there = plug is not None and _pair(*plug) == _pair(action.a, action.b)
    if there is action.fitted:
        found = "the plug there already" if there else "no plug there"
        where = "elsewhere" if plug is None else " and ".join(plug)
        raise refused("test plug", found, "two other points" if there else where)


def _plug(bench: Bench, action: a.TestPlug) -> None:
    bench.harness.put_plug((action.a, action.b) if action.fitted else None)


def _check_spare(bench: Bench, action: a.SpareBeam) -> None:
    known("beam", action.relay_beam, bench.harness.beams())
    if (action.relay_beam in bench.harness.spares()) is action.connected:
        found = "a spare in its place already" if action.connected else "no spare in its place"
        raise refused(f"beam '{action.relay_beam}'", found, "a change")


def _spare(bench: Bench, action: a.SpareBeam) -> None:
    bench.harness.connect_spare(action.relay_beam, action.connected)


def _check_battery(bench: Bench, action: a.TakeBattery) -> None:
    if bench.harness.battery is None:
        raise refused("battery", "a site without one", "a site with a battery")
    if bench.harness.battery_off is action.off:
        found = "off its screws already" if action.off else "on its screws already"
        raise refused("battery", found, "a change")


def _battery(bench: Bench, action: a.TakeBattery) -> None:
    bench.harness.take_battery(action.off)


COPPER: dict[type, Hand] = {
    a.AddLink: (_check_points, _add_link),
    a.RemoveLink: (_check_points, _remove_link),
    a.PartWire: (_check_part, _part),
    a.RemakeWire: (_check_remake, _remake),
    a.MoveWire: (_check_move, _move),
    a.SwapWires: (_check_swap, _swap),
    a.ReplaceFuse: (_check_fuse, _replace_fuse),
    a.EndResistor: (_check_resistor, _resistor),
    a.Renew: (_check_renew, _renew),
    a.TestPlug: (_check_plug, _plug),
    a.SpareBeam: (_check_spare, _spare),
    a.TakeBattery: (_check_battery, _battery),
    a.Probe: (_check_probe, _probe),
    a.PutAway: (always, _put_away),
}
