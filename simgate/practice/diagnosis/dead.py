"""What an ohmmeter reads in the dead copper, for every pair of points and hundreds of faults.

A dead network is one matrix for each copper and word. Its inverse is kept, so that a look at ohms is a few
numbers of it and not a solution of its own.
"""

from __future__ import annotations

from collections.abc import Callable

from simgate.wiring.tables import COM, ZERO
from simgate.wiring.trial import TrialHarness

Reading = float | str | tuple[object, ...] | None  # None: 'OL'


class DeadCopper:
    """The copper of a harness as an ohmmeter meets it, as it stands when it is asked."""

    def __init__(self, harness: TrialHarness) -> None:
        self._harness = harness
        self._index = harness.network.index
        self._zero, self._com = self._index[ZERO], self._index[COM]
        self._inverses: dict[object, dict[tuple[int, int], float] | None] = {}

    def at(self, word: int) -> Callable[[str, str], Reading]:
        """What an ohmmeter reads between two points at `word`, as the copper stands now; None for no way."""
        network, index, zero, com = self._harness.network, self._index, self._zero, self._com
        pieces = network.groups(word)
        key = (network.copper, word)
        if key not in self._inverses:
            self._inverses[key] = network.resistances(word)
        found = self._inverses[key]

        def ohms(a: str, b: str) -> Reading:
            i, j = index[a], index[b]
            if i == zero:
                i, j = j, i
            if pieces[i] != pieces[j]:
                return None
            if pieces[i]:
                volts = network.driven(word, {i: 1.0, j: -1.0})
                return volts[i] - volts[j]
            if found is not None and j in (zero, com):
                if j == zero:
                    return found[i, i]
                return found[i, i] + found[com, com] - 2.0 * self._column(word, com)[i]
            if found is not None and (pair := (min(i, j), max(i, j))) in found:
                return found[i, i] + found[j, j] - 2.0 * found[pair]
            one = self._column(word, i)
            if j == zero:
                return one[i]
            other = self._column(word, j)
            return one[i] + other[j] - one[j] - other[i]

        return ohms

    def _column(self, word: int, node: int) -> tuple[float, ...]:
        """Volts everywhere with one ampere put in at a node."""
        return self._harness.network.driven(word, {node: 1.0})
