"""Faults of devices: what wears out, sticks, slips, gets dirty or was the wrong part from the start.

Each changes the state of a device (`fitting.py`) and nothing else; whoever renews the device ends it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from simgate.wiring.fault_kind import Kind
from simgate.wiring.fitting import FOOT, FOOT_OHMS, Fitting
from simgate.wiring.harness import Harness
from simgate.wiring.spec import DeviceKind as D
from simgate.wiring.spec import Fault, FaultKind

BUTTONS = (D.BUTTON_NC, D.BUTTON_NO, D.KEY)
ENDS = (D.END_NC, D.END_NO)
LOOPS = (D.LOOP_NO, D.LOOP_NC)
EDGES = (D.EDGE, D.EDGE_THROUGH)
ENCODERS = (D.ENCODER, D.PLACE_ENCODER)
SHORT = 0.5  # ohm of a strand across two screws
CHAIN = (("3", "1"), ("4", "2"))  # screws by which one edge goes on to the next


def _of(kinds: tuple[D, ...]) -> Callable[[Harness], Iterator[str]]:
    def places(harness: Harness) -> Iterator[str]:
        return (device.name for device in harness.spec.devices if device.kind in kinds)

    return places


def _kind(
    kinds: tuple[D, ...],
    put: Callable[[Fitting, float], None],
    undo: Callable[[Fitting], None],
    present: Callable[[Fitting], bool],
) -> Kind:
    return Kind(
        _of(kinds),
        lambda harness, fault: put(harness.fitting(fault.place), fault.amount),
        lambda harness, fault: undo(harness.fitting(fault.place)),
        lambda harness, fault: present(harness.fitting(fault.place)),
    )


def _flag(kinds: tuple[D, ...], name: str) -> Kind:
    """A fault that is a yes or no of the device."""
    return _kind(
        kinds,
        lambda fitting, _: setattr(fitting, name, True),
        lambda fitting: setattr(fitting, name, False),
        lambda fitting: bool(getattr(fitting, name)),
    )


def _amount(kinds: tuple[D, ...], name: str, scale: float = 1.0) -> Kind:
    """A fault that is a number of the device, 0 when it is sound."""
    return _kind(
        kinds,
        lambda fitting, amount: setattr(fitting, name, amount * scale),
        lambda fitting: setattr(fitting, name, 0.0),
        lambda fitting: bool(getattr(fitting, name)),
    )


def _dead(kinds: tuple[D, ...], part: str) -> Kind:
    """A part of the device that is open."""
    return _kind(
        kinds,
        lambda fitting, _: fitting.kill(part, on=True),
        lambda fitting: fitting.kill(part, on=False),
        lambda fitting: part in fitting.dead,
    )


def _wear(fitting: Fitting, amount: float) -> None:
    fitting.ohms["winding"] = (fitting.spec.winding or 0.0) + amount


def _swap_resistor(fitting: Fitting, amount: float) -> None:
    fitting.ohms["resistor"] = amount


def _short_resistor(fitting: Fitting, _: float) -> None:
    fitting.ohms["resistor"] = SHORT


def _unset(part: str) -> Callable[[Fitting], None]:
    return lambda fitting: (fitting.ohms.pop(part, None), None)[1]


# Edges side by side -------------------------------------------------------------------------------


def _chain(harness: Harness, place: str) -> list[str]:
    """The wires by which one edge goes on to another, as meant; none where it does not."""
    one, _, other = place.partition("|")
    found = []
    for here, there in CHAIN:
        ends = {f"{one}.{here}", f"{other}.{there}"}
        found += [wire.name for wire in harness.spec.wires if {wire.a, wire.b} == ends]
    return found if len(found) == len(CHAIN) else []


def _parallel_places(harness: Harness) -> Iterator[str]:
    edges = [device.name for device in harness.spec.devices if device.kind is D.EDGE_THROUGH]
    for one in edges:
        for other in edges:
            if one != other and _chain(harness, f"{one}|{other}"):
                yield f"{one}|{other}"


def _chained(harness: Harness, place: str) -> str:
    """The place with the edge that comes first in front."""
    one, _, other = place.partition("|")
    return place if _chain(harness, place) else f"{other}|{one}"


def _put_parallel(harness: Harness, fault: Fault) -> None:
    place = _chained(harness, fault.place)
    one = place.partition("|")[0]
    for name, (_, screw) in zip(_chain(harness, place), CHAIN, strict=True):
        wire = harness.wire(name)
        wire.put("from" if wire.spec.a.startswith(f"{one}.") else "to", f"{one}.{screw}")
    harness.fitting(one).ohms[FOOT] = FOOT_OHMS


def _end_parallel(harness: Harness, fault: Fault) -> None:
    place = _chained(harness, fault.place)
    for name in _chain(harness, place):
        wire = harness.wire(name)
        wire.a, wire.b = wire.spec.a, wire.spec.b
    harness.fitting(place.partition("|")[0]).ohms.pop(FOOT, None)


def _is_parallel(harness: Harness, fault: Fault) -> bool:
    """While the first edge has the resistor, or one of the cores that go on from it is still side by side."""
    place = _chained(harness, fault.place)
    one = place.partition("|")[0]
    beside = any(
        f"{one}.{screw}" in (harness.wire(name).a, harness.wire(name).b)
        for name, (_, screw) in zip(_chain(harness, place), CHAIN, strict=True)
    )
    return beside or FOOT in harness.fitting(one).ohms


DEVICE_KINDS: dict[FaultKind, Kind] = {
    FaultKind.WELDED_CONTACT: _flag((D.BUTTON_NC, D.BUTTON_NO, *ENDS), "welded"),
    FaultKind.STUCK_RELAY: _flag((D.BEAM, *LOOPS), "welded"),
    FaultKind.WRONG_CONTACT: _flag((D.BUTTON_NC, D.BUTTON_NO, *ENDS, D.BEAM, *LOOPS), "wrong"),
    FaultKind.BURNT_CONTACT: _dead((*BUTTONS, *ENDS, D.BEAM, *LOOPS), "contact"),
    FaultKind.JAMMED_KEY: _flag((D.BUTTON_NO, D.KEY), "held"),
    FaultKind.CRUSHED_EDGE: _flag(EDGES, "held"),
    FaultKind.MISSING_RESISTOR: _dead((D.EDGE, D.RESISTOR), "resistor"),
    FaultKind.WRONG_RESISTOR: _kind(
        (D.EDGE, D.RESISTOR),
        _swap_resistor,
        _unset("resistor"),
        lambda fitting: fitting.ohms.get("resistor", SHORT) != SHORT,
    ),
    FaultKind.SHORTED_RESISTOR: _kind(
        (D.EDGE, D.RESISTOR),
        _short_resistor,
        _unset("resistor"),
        lambda fitting: fitting.ohms.get("resistor") == SHORT,
    ),
    FaultKind.OPEN_SCREEN: _amount((D.ENCODER,), "stray"),
    FaultKind.EDGES_IN_PARALLEL: Kind(_parallel_places, _put_parallel, _end_parallel, _is_parallel),
    FaultKind.SLIPPED_END: _amount(ENDS, "slip", 0.01),
    FaultKind.DEAD_SENDER: _dead((D.BEAM,), "sender"),
    FaultKind.DEAD_RECEIVER: _dead((D.BEAM,), "receiver"),
    FaultKind.DEAD_DETECTOR: _dead(LOOPS, "detector"),
    FaultKind.DEAD_ENCODER: _dead(ENCODERS, "electronics"),
    FaultKind.WORN_BRUSHES: _kind(
        (D.MOTOR,), _wear, _unset("winding"), lambda fitting: "winding" in fitting.ohms
    ),
    FaultKind.OPEN_COIL: _dead((D.LOCK,), "coil"),
    FaultKind.DEAD_LAMP: _dead((D.LAMP, D.LIGHT), "filament"),
    FaultKind.DIRTY_LENS: _amount((D.BEAM,), "dirt"),
    FaultKind.BEAM_OFF_AIM: _amount((D.BEAM,), "aim"),
}
