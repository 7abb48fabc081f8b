"""The diode test: what the meter's small current makes of the copper, rectifiers taken for what they are.

The network of a site is one of resistors, for with its supply on every rectifier conducts. The meter drives
2.5 V behind 2.5 kohm, less than most of them need: here those that would not conduct are left out, one that
would is taken at its drop, until every one of them agrees with the volts across it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simgate.wiring.network import Network, Part
from simgate.wiring.tables import devices

if TYPE_CHECKING:
    from simgate.wiring.harness import Harness

TEST_VOLTS, TEST_OHMS = 2.5, 2500.0  # about 1 mA, as usual for such a test (from memory)
MOST_VOLTS = 2.0  # the display goes no further
DROP = 1.2  # V of the two diodes of a bridge that conduct, at 1 mA (from memory: 0.6 V each, silicon)
DROP_OHMS = 10.0
_METER = "meter"


def drop(harness: Harness, word: int, a: str, b: str) -> float:
    """V at the probes, red on `a`. Motors are taken to stand."""
    known = harness.diodes.get((word, a, b))
    if known is None:
        known = harness.diodes[word, a, b] = _drop(harness, word, a, b)
    return known


def _drop(harness: Harness, word: int, a: str, b: str) -> float:
    base = harness.network
    bridges = [name for name in _rectified(harness) if base.parts[name].conductance]
    sound = [part for name, part in base.parts.items() if name not in bridges]
    sound.append(Part(_METER, a, b, 1.0 / TEST_OHMS, TEST_VOLTS))
    way = dict.fromkeys(bridges, 0)  # by rectifier: 1 or -1 for how it conducts, 0 for not
    solved = Network(base.nodes, sound).solve(word)
    for _ in range(len(bridges) + 1):
        over = {name: solved.volts(base.parts[name].a, base.parts[name].b) or 0.0 for name in bridges}
        fresh = [name for name in bridges if not way[name] and abs(over[name]) > DROP]
        if not fresh:
            break
        first = max(fresh, key=lambda name: abs(over[name]))
        way[first] = 1 if over[first] > 0.0 else -1
        taken = [
            Part(name, base.parts[name].a, base.parts[name].b, 1.0 / DROP_OHMS, DROP * sign)
            for name, sign in way.items()
            if sign
        ]
        solved = Network(base.nodes, [*sound, *taken]).solve(word)
    volts = solved.volts(a, b)
    return TEST_VOLTS if volts is None else volts


def _rectified(harness: Harness) -> list[str]:
    return [
        f"{device.name}/{row.name}"
        for device in harness.spec.devices
        for row in devices()[device.kind.value].part
        if row.rectified and f"{device.name}/{row.name}" in harness.network.parts
    ]
