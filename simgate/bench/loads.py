"""What stands at the end of the wires: what lamps and lock coil get there, and where a wire goes on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from simgate.wiring.harness import Harness, Solution
from simgate.wiring.spec import DeviceKind
from simgate.wiring.tables import through

LOCK = "lock"  # the one device of its kind


def fed(harness: Harness, solution: Solution, kind: DeviceKind) -> bool:
    """Whether any device of that kind is whole and has its voltage, whichever way round it is wired."""
    return any(
        harness.works(solution, device.name, either_way=True)
        for device in harness.spec.devices
        if device.kind is kind
    )


def coil_volts(harness: Harness, solution: Solution) -> float:
    """V across the coil of the lock, either way round; one that is burnt out pulls nothing."""
    if harness.fitting(LOCK).dead:
        return 0.0
    return abs(solution.potential(f"{LOCK}.1") - solution.potential(f"{LOCK}.2"))


def sides(harness: Harness) -> Mapping[str, str]:
    """Point -> the point on the other side of its device, for whoever follows a wire."""
    return MappingProxyType(
        {
            f"{device.name}.{a}": f"{device.name}.{b}"
            for device in harness.spec.devices
            for a, b in through(device.kind.value).items()
        }
    )
