"""What eyes see at the screws of each place: the cores and links that are there.

All places are gone through once for each copper: going through every wire for each look at a strip was a
tenth of a whole table of faults.
"""

from __future__ import annotations

from simgate.wiring.harness import Harness


class Strips:
    """The strips of a harness as they stand when they are asked for."""

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self._version = -1  # of the copper that `_rows` was made from
        self._rows: dict[str, list[tuple[object, ...]]] = {}

    def at(self, name: str) -> tuple[tuple[object, ...], ...]:
        """The cores and then the links at the screws of one place."""
        harness = self._harness
        if self._version != harness.version:
            self._version, self._rows = harness.version, {}
            for wire in harness.wires():
                self._put(wire.a, wire.b, (wire.name, wire.a, wire.b, wire.undone))
            for a, b in harness.links():
                self._put(a, b, (a, b))
        return tuple(self._rows.get(name, ()))

    def _put(self, a: str, b: str, row: tuple[object, ...]) -> None:
        one, other = a.rpartition(".")[0], b.rpartition(".")[0]
        self._rows.setdefault(one, []).append(row)
        if other != one:
            self._rows.setdefault(other, []).append(row)
