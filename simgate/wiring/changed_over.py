"""Two cores changed over at the board: each on the screw of the other, both screws in use as they should be.

Only where it matters. A contact, a lamp, a coil and the line are as good either way round, so their two cores
are no place for this fault; a motor's pair is a kind of its own, for a motor turns the wrong way.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from simgate.wiring.fault_kind import Kind
from simgate.wiring.harness import Harness
from simgate.wiring.site_faults import may_touch
from simgate.wiring.spec import Fault, FaultKind, WireSpec
from simgate.wiring.tables import BOARD, COM, LEAF_NAMES

# Pairs of screws whose cores are as good either way round, or turn a motor round.
EITHER_WAY = ("LAMP", "LOCK", "LIGHT", *(f"MOTOR-{leaf}" for leaf in LEAF_NAMES))
LINE = frozenset({f"{BOARD}.LINE-1", f"{BOARD}.LINE-2"})
# The two END switches of a drive come in one lead (common practice), whatever a site says of it.
ENDS = tuple(frozenset({f"{BOARD}.END-O-{leaf}", f"{BOARD}.END-C-{leaf}"}) for leaf in LEAF_NAMES)


def _places(harness: Harness) -> Iterator[str]:
    """Cores that lie side by side and end on two neighbouring screws of the board."""
    screws = [point for point in harness.points() if point.startswith(f"{BOARD}.")]
    beside = {frozenset(two) for two in pairwise(screws) if _matters(*two)}
    wires = [wire for wire in harness.spec.wires if wire.a in screws and wire.b not in screws]
    for number, one in enumerate(wires):
        for other in wires[number + 1 :]:
            pair = frozenset((one.a, other.a))
            if pair in beside and one.b != other.b and _lie_together(harness, one, other):
                yield f"{one.name}|{other.name}"


def _matters(one: str, other: str) -> bool:
    pair = frozenset((one, other))
    same = any(pair == {f"{BOARD}.{name}+", f"{BOARD}.{name}-"} for name in EITHER_WAY)
    # of a contact's two cores one comes from COM
    return COM not in pair and pair != LINE and not same


def _lie_together(harness: Harness, one: WireSpec, other: WireSpec) -> bool:
    return {one.a, other.a} in ENDS or may_touch(harness.wire(one.name), harness.wire(other.name))


def _two(harness: Harness, place: str) -> tuple[WireSpec, WireSpec]:
    one, _, other = place.partition("|")
    return harness.wire(one).spec, harness.wire(other).spec


def _put(harness: Harness, fault: Fault) -> None:
    one, other = _two(harness, fault.place)
    harness.wire(one.name).a, harness.wire(other.name).a = other.a, one.a


def _undo(harness: Harness, fault: Fault) -> None:
    for spec in _two(harness, fault.place):
        harness.wire(spec.name).a = spec.a


def _present(harness: Harness, fault: Fault) -> bool:
    """Whether either core is still on the screw of the other: half put right is not right."""
    one, other = _two(harness, fault.place)
    return harness.wire(one.name).a == other.a or harness.wire(other.name).a == one.a


CHANGED_KINDS: dict[FaultKind, Kind] = {FaultKind.SWAPPED_CORES: Kind(_places, _put, _undo, _present)}
