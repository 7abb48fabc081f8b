"""Faults of cables, supply, battery and iron: what is wrong with the place rather than with a device."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations

from simgate.wiring import iron
from simgate.wiring.build import Wire
from simgate.wiring.fault_kind import Kind
from simgate.wiring.harness import Harness
from simgate.wiring.mains import CORES
from simgate.wiring.spec import Fault, FaultKind
from simgate.wiring.tables import BOARD, ZERO

SUPPLY, BATTERY, WIND = "supply", "battery", "wind"


# Cables -------------------------------------------------------------------------------------------


def _wires(harness: Harness) -> Iterator[str]:
    return (wire.name for wire in harness.wires())


def _leak_places(harness: Harness) -> Iterator[str]:
    """Cores that do not end at 0 V themselves."""
    return (wire.name for wire in harness.wires() if wire.b != ZERO)


def _wire_amount(places: Callable[[Harness], Iterator[str]], name: str) -> Kind:
    """A fault that is a number of one core, 0 when it is sound."""
    return Kind(
        places,
        lambda harness, fault: setattr(harness.wire(fault.place), name, fault.amount),
        lambda harness, fault: setattr(harness.wire(fault.place), name, 0.0),
        lambda harness, fault: bool(getattr(harness.wire(fault.place), name)),
    )


def may_touch(one: Wire, other: Wire) -> bool:
    """Whether two cores lie side by side: in one cable, or, where a site does not say, up to one place."""
    if one.spec.cable and other.spec.cable:
        return one.spec.cable == other.spec.cable
    return one.b.rpartition(".")[0] == other.b.rpartition(".")[0]


def _cables(harness: Harness) -> Iterator[str]:
    """Two cores from one owner to one other, not of two cables that the site tells apart."""
    for one, other in combinations(harness.spec.wires, 2):
        ends = [{point.rpartition(".")[0] for point in (wire.a, wire.b)} for wire in (one, other)]
        apart = one.cable and other.cable and one.cable != other.cable
        if ends[0] == ends[1] and len(ends[0]) > 1 and not apart:
            yield f"{one.name}|{other.name}"


def _set_thin(harness: Harness, place: str, ohms: float) -> None:
    for name in place.split("|"):
        harness.wire(name).thin = ohms


def _astray_places(harness: Harness) -> Iterator[str]:
    """A core on one screw of the board and a screw beside it on the same strip."""
    screws = [point for point in harness.points() if point.startswith(f"{BOARD}.")]
    for wire in harness.spec.wires:
        if wire.a not in screws or wire.b in screws:
            continue
        at = screws.index(wire.a)
        for beside in (at - 1, at + 1):
            if 0 <= beside < len(screws):
                yield f"{wire.name}|{screws[beside]}"


def _astray(harness: Harness, fault: Fault) -> None:
    name, screw = _wire_and_screw(fault.place)
    harness.wire(name).put("from", screw)


def _home(harness: Harness, fault: Fault) -> None:
    wire = harness.wire(_wire_and_screw(fault.place)[0])
    wire.a = wire.spec.a


def _is_astray(harness: Harness, fault: Fault) -> bool:
    name, screw = _wire_and_screw(fault.place)
    return harness.wire(name).a == screw


def _wire_and_screw(place: str) -> tuple[str, str]:
    one, _, other = place.partition("|")
    return (other, one) if one.startswith(f"{BOARD}.") else (one, other)


# Supply and battery -------------------------------------------------------------------------------


def _age(harness: Harness, share: float) -> None:
    if harness.battery is not None:
        harness.battery.age(share)


def _battery_places(harness: Harness) -> Iterator[str]:
    return iter([BATTERY] if harness.battery is not None else [])


# Iron ---------------------------------------------------------------------------------------------


Places = Callable[[Harness], Iterator[str]]


def _leaves(harness: Harness) -> Iterator[str]:
    return iter(iron.places(harness.spec.leaves))


def _swinging(harness: Harness) -> Iterator[str]:
    return (iron.place(leaf) for leaf in harness.spec.swinging)


def _oiled(harness: Harness) -> Iterator[str]:
    return (iron.place(leaf) for leaf in harness.spec.oil)


def _blow(harness: Harness, metres_per_second: float) -> None:
    harness.iron.wind = metres_per_second


def _iron(name: str, scale: float = 1.0, leaves: Places = _leaves) -> Kind:
    """A number of one leaf's iron, 0 when sound; scale makes an amount such a number, of either sign."""

    def put(harness: Harness, place: str, amount: float) -> None:
        getattr(harness.iron, name)[iron.leaf_of(place)] = amount

    return Kind(
        leaves,
        lambda harness, fault: put(harness, fault.place, fault.amount * scale),
        lambda harness, fault: put(harness, fault.place, 0.0),
        lambda harness, fault: (
            fault.place in leaves(harness)
            and getattr(harness.iron, name)[iron.leaf_of(fault.place)] * scale > 0.0
        ),
    )


SITE_KINDS: dict[FaultKind, Kind] = {
    FaultKind.EARTH_LEAK: _wire_amount(_leak_places, "leak"),
    FaultKind.FLICKER: _wire_amount(_wires, "flicker"),
    FaultKind.WET_CABLE: _wire_amount(_leak_places, "wet"),
    FaultKind.LOOSE_CORE: _wire_amount(_wires, "chatter"),
    FaultKind.THIN_CABLE: Kind(
        _cables,
        lambda harness, fault: _set_thin(harness, fault.place, fault.amount),
        lambda harness, fault: _set_thin(harness, fault.place, 0.0),
        lambda harness, fault: any(harness.wire(name).thin for name in fault.place.split("|")),
    ),
    FaultKind.WRONG_TERMINAL: Kind(_astray_places, _astray, _home, _is_astray),
    FaultKind.WEAK_SUPPLY: Kind(
        lambda harness: iter([SUPPLY]),
        lambda harness, fault: harness.weaken(fault.amount),
        lambda harness, fault: harness.weaken(0.0),
        lambda harness, fault: harness.supply_volts != harness.spec.supply.volts,
    ),
    FaultKind.WORN_BATTERY: Kind(
        _battery_places,
        lambda harness, fault: _age(harness, 1.0 - fault.amount / 100.0),
        lambda harness, fault: _age(harness, 1.0),
        lambda harness, fault: harness.battery is not None and harness.battery.worn != 1.0,
    ),
    FaultKind.STIFF_HINGE: _iron("friction"),
    FaultKind.MOVED_STOP: _iron("stop", 0.01),
    FaultKind.SAGGED_LEAF: _iron("sag", leaves=_swinging),
    FaultKind.SLACK_LINKAGE: _iron("play", 0.001),
    FaultKind.RELIEF_VALVE: _iron("relief", 0.01, _oiled),
    FaultKind.LATE_RELIEF_VALVE: _iron("relief", -0.01, _oiled),
    FaultKind.PARTED_MAINS: Kind(
        lambda harness: iter(CORES),
        lambda harness, fault: harness.mains.part(fault.place, True),
        lambda harness, fault: harness.mains.part(fault.place, False),
        lambda harness, fault: fault.place in harness.mains.open,
    ),
    FaultKind.STRONG_WIND: Kind(
        lambda harness: iter([WIND]),
        lambda harness, fault: _blow(harness, fault.amount),
        lambda harness, fault: _blow(harness, 0.0),
        lambda harness, fault: harness.iron.wind > 0.0,
    ),
}
