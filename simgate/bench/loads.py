"""Whether lamp, courtesy light and lock coil have what they need: seen at the device, not at the relay."""

from __future__ import annotations

from simgate.wiring.harness import Harness, Solution
from simgate.wiring.spec import DeviceKind
from simgate.wiring.tables import devices


def fed(harness: Harness, solution: Solution, kind: DeviceKind) -> bool:
    """Whether any device of that kind is whole and has its voltage, whichever way round it is wired."""
    table = devices()[kind.value]
    return any(
        not harness.fitting(device.name).dead
        and all(
            abs(solution.potential(f"{device.name}.{a}") - solution.potential(f"{device.name}.{b}"))
            >= table.needs_volts
            for a, b in table.supplies
        )
        for device in harness.spec.devices
        if device.kind is kind
    )
