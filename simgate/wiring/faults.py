"""Faults: each kind is one small change to the copper and the change that undoes it.

Nothing tells board or meter that a fault is there; they meet the changed copper. So a fault is over
when the copper no longer deviates as it made it, whoever put that right and however: `present` looks
at the copper, not at a list. Words, weights and times are in faults.toml.

Faults of wires, links, motors and fuses are here, those of devices in device_faults.py, those of cables,
supply, battery and iron in site_faults.py, cores on each other's screws in changed_over.py. A new kind: a
member of `FaultKind`, a table in faults.toml, a row in one of the registries.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from simgate.files import UserError, nearest, shown
from simgate.wiring.build import Wire, touching
from simgate.wiring.changed_over import CHANGED_KINDS
from simgate.wiring.check import problem
from simgate.wiring.device_faults import DEVICE_KINDS
from simgate.wiring.fault_kind import Kind
from simgate.wiring.fault_table import FaultRow, kind_of, row
from simgate.wiring.harness import Harness
from simgate.wiring.head_faults import ARTICLE_KINDS
from simgate.wiring.site_faults import SITE_KINDS, may_touch
from simgate.wiring.spec import DeviceKind, Fault, FaultKind
from simgate.wiring.tables import BOARD, COM, LEAF_NAMES

__all__ = [
    "Fault",
    "FaultKind",
    "FaultRow",
    "inject",
    "kind_of",
    "mend",
    "outstanding",
    "places",
    "present",
    "row",
]

INPUTS_TO_LINK = ("STOP", "GUARD-O", "GUARD-C")
CONTACTS_TO_LINK = {DeviceKind.BUTTON_NC: ("1", "2"), DeviceKind.BEAM: ("nc1", "nc2")}


def places(harness: Harness, kind: FaultKind) -> tuple[str, ...]:
    """Where a fault of that kind can be put in as the copper stands now."""
    return tuple(_KINDS[kind].places(harness))


def check(harness: Harness, fault: Fault) -> None:
    """Raise UserError when a fault is there already, or for a place or amount that its kind has not."""
    here = fault.where
    if present(harness, fault):
        raise UserError(
            problem(fault.kind.value, f"{fault.place}, there already", "a fault that is not in yet")
        )
    known = places(harness, fault.kind)
    if not any(Fault(fault.kind, place).where == here for place in known):
        raise UserError(problem(fault.kind.value, shown(fault.place), nearest(fault.place, known)))
    kind = row(fault.kind)
    if not kind.least <= fault.amount <= kind.most:
        allowed = f"{kind.least:g} to {kind.most:g} {kind.unit}" if kind.most else "no amount"
        raise UserError(problem(fault.kind.value, f"an amount of {fault.amount:g}", allowed))


def inject(harness: Harness, fault: Fault) -> None:
    """Put a fault in. Raises UserError, with nothing changed, where `check` does."""
    check(harness, fault)
    here = fault.where
    _KINDS[fault.kind].put(harness, fault)
    harness.changed()
    harness.injected = [*(old for old in harness.injected if old.where != here), fault]


def mend(harness: Harness, fault: Fault) -> None:
    """Take a fault out again. Nothing happens to the copper when hands have put it right already.

    Raises UserError for a fault that nobody put in.
    """
    here = fault.where
    if here not in [old.where for old in harness.injected]:
        there = ", ".join(f"{old.kind.value} at {old.place}" for old in harness.injected) or "no fault is in"
        raise UserError(problem(fault.kind.value, shown(fault.place), there))
    if present(harness, fault):
        _KINDS[fault.kind].undo(harness, fault)
        harness.changed()
    harness.injected = [old for old in harness.injected if old.where != here]


def present(harness: Harness, fault: Fault) -> bool:
    """Whether the copper deviates now in the way that this fault makes it."""
    try:
        return _KINDS[fault.kind].present(harness, fault)
    except (UserError, ValueError):  # its place does not exist on this site
        return False


def outstanding(harness: Harness) -> tuple[Fault, ...]:
    """The faults that were put in and are still there, in the order they came."""
    return tuple(fault for fault in harness.injected if present(harness, fault))


def _two(place: str) -> tuple[str, str]:
    one, _, other = place.partition("|")
    return one, other


# Wires --------------------------------------------------------------------------------------------


def _wire_places(harness: Harness) -> Iterator[str]:
    return (wire.name for wire in harness.wires())


def _part(harness: Harness, fault: Fault) -> None:
    harness.wire(fault.place).parted = True


def _unpart(harness: Harness, fault: Fault) -> None:
    harness.wire(fault.place).parted = False


def _is_parted(harness: Harness, fault: Fault) -> bool:
    return harness.wire(fault.place).parted


def _tire(harness: Harness, fault: Fault) -> None:
    harness.wire(fault.place).added = fault.amount


def _tighten(harness: Harness, fault: Fault) -> None:
    harness.wire(fault.place).added = 0.0


def _is_tired(harness: Harness, fault: Fault) -> bool:
    return harness.wire(fault.place).added > 0.0


def _bridge_places(harness: Harness) -> Iterator[str]:
    """Cores of one cable, or where a site names none, of one place; on screws of their own."""
    for one, other in combinations((harness.wire(wire.name) for wire in harness.spec.wires), 2):
        a, b = touching(one, other)
        if a != b and may_touch(one, other):
            yield f"{one.spec.name}|{other.spec.name}"


def _bridge(harness: Harness, fault: Fault) -> None:
    harness.bridge(*_two(fault.place), on=True)


def _unbridge(harness: Harness, fault: Fault) -> None:
    harness.bridge(*_two(fault.place), on=False)


def _is_bridged(harness: Harness, fault: Fault) -> bool:
    return harness.bridged(*_two(fault.place))


# Links --------------------------------------------------------------------------------------------


def _meant(harness: Harness) -> list[frozenset[str]]:
    return [frozenset(link) for link in harness.spec.links]


def _links_there(harness: Harness) -> Iterator[str]:
    meant = _meant(harness)
    return (f"{a}|{b}" for a, b in harness.links() if frozenset((a, b)) in meant)


def _links_to_forget(harness: Harness) -> Iterator[str]:
    """Where a link is put in for testing: COM to a guard, or across a normally closed contact."""
    taken = [*_meant(harness), *(frozenset(link) for link in harness.links())]
    pairs = [(COM, f"{BOARD}.{name}") for name in INPUTS_TO_LINK]
    for device in harness.spec.devices:
        if device.kind in CONTACTS_TO_LINK:
            one, other = CONTACTS_TO_LINK[device.kind]
            pairs.append((f"{device.name}.{one}", f"{device.name}.{other}"))
    return (f"{a}|{b}" for a, b in pairs if frozenset((a, b)) not in taken)


def _link(harness: Harness, fault: Fault) -> None:
    harness.add_link(*_two(fault.place))


def _unlink(harness: Harness, fault: Fault) -> None:
    harness.remove_link(*_two(fault.place))


def _is_linked(harness: Harness, fault: Fault) -> bool:
    return frozenset(_two(fault.place)) in [frozenset(link) for link in harness.links()]


def _is_unlinked(harness: Harness, fault: Fault) -> bool:
    return frozenset(_two(fault.place)) in _meant(harness) and not _is_linked(harness, fault)


# Motors and fuses ---------------------------------------------------------------------------------


def _motor_pair(harness: Harness, motor: str) -> tuple[Wire, Wire] | None:
    """The wires meant for the two motor screws of its leaf, plus first; None unless each has one."""
    leaves = [d.leaf for d in harness.spec.devices if d.name == motor and d.kind is DeviceKind.MOTOR]
    if not leaves or leaves[0] is None:
        return None
    leaf = LEAF_NAMES[leaves[0]]
    found = [
        [wire.name for wire in harness.spec.wires if f"{BOARD}.MOTOR-{leaf}{sign}" in (wire.a, wire.b)]
        for sign in "+-"
    ]
    if [len(names) for names in found] != [1, 1]:
        return None
    return harness.wire(found[0][0]), harness.wire(found[1][0])


def _motor_places(harness: Harness) -> Iterator[str]:
    return (d.name for d in harness.spec.devices if _motor_pair(harness, d.name) is not None)


def _change_over(harness: Harness, fault: Fault) -> None:
    pair = _motor_pair(harness, fault.place)
    assert pair is not None  # `inject` has looked at `places`
    one, other = pair
    here, there = one.end(_board_end(one)), other.end(_board_end(other))
    one.put(_board_end(one), there)
    other.put(_board_end(other), here)


def _change_back(harness: Harness, fault: Fault) -> None:
    """Both wires as meant: after hands moved one end only, a second swap would not restore them."""
    for wire in _motor_pair(harness, fault.place) or ():
        wire.a, wire.b = wire.spec.a, wire.spec.b


def _is_changed_over(harness: Harness, fault: Fault) -> bool:
    """Whether a core still joins a motor screw to the far end of the other one, as only a swap does.

    Changing over the far ends as well makes the motor run right again, so that counts as put right.
    """
    pair = _motor_pair(harness, fault.place)
    if pair is None:
        return False
    boards = [wire.spec.a if _board_end(wire) == "from" else wire.spec.b for wire in pair]
    fars = [wire.spec.b if _board_end(wire) == "from" else wire.spec.a for wire in pair]
    crossed = [{boards[0], fars[1]}, {boards[1], fars[0]}]
    return any({wire.a, wire.b} in crossed for wire in pair)


def _board_end(wire: Wire) -> str:
    return "from" if wire.spec.a.startswith(f"{BOARD}.MOTOR-") else "to"


def _blow(harness: Harness, fault: Fault) -> None:
    harness.blow(fault.place)


def _fit(harness: Harness, fault: Fault) -> None:
    harness.blow(fault.place, on=False)


# The registry -------------------------------------------------------------------------------------


_KINDS: dict[FaultKind, Kind] = {
    FaultKind.PARTED_WIRE: Kind(_wire_places, _part, _unpart, _is_parted),
    FaultKind.MISSING_LINK: Kind(_links_there, _unlink, _link, _is_unlinked),
    FaultKind.FORGOTTEN_LINK: Kind(_links_to_forget, _link, _unlink, _is_linked),
    FaultKind.TIRED_JOINT: Kind(_wire_places, _tire, _tighten, _is_tired),
    FaultKind.BRIDGED_PAIR: Kind(_bridge_places, _bridge, _unbridge, _is_bridged),
    FaultKind.SWAPPED_PAIR: Kind(_motor_places, _change_over, _change_back, _is_changed_over),
    FaultKind.BLOWN_FUSE: Kind(
        lambda harness: iter(harness.fuses()), _blow, _fit, lambda harness, fault: harness.blown(fault.place)
    ),
    **CHANGED_KINDS,
    **SITE_KINDS,
    **DEVICE_KINDS,
    **ARTICLE_KINDS,
}
