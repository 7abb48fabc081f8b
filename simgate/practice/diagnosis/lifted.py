"""What an ohmmeter reads with one core off its screw: the core's own end, and what it left behind.

With a core on both its screws a leak hides behind whatever else joins it to 0 V: a winding, a common return.
With it off, what is left at its far end is the core's own, and its device's. So every core is taken off once,
at its first end: the board's, or that of the joint it comes from.

Not looked at: ohms between a core that is off and its neighbours, which tell no two faults apart that ohms to
0 V and the looks at rest do not (tried at three double gates and a slide). Nor ohms along a core that is off:
its free end is no point for a probe, and with both ends on it reads the same where no other way runs beside
it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from simgate.bench.contacts import Contacts
from simgate.practice.diagnosis.brought import brought
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.states import State, StateKind
from simgate.wiring.harness import Solution
from simgate.wiring.spec import WireSpec
from simgate.wiring.tables import BOARD, ZERO
from simgate.wiring.trial import TrialHarness
from simgate.wiring.varied import Varied

Off = tuple[str, str, str]  # a core, and the two points between which ohms are read with it off
Ohms = Callable[[str, str, str], Reading]


def measured(wire: WireSpec) -> Iterator[tuple[str, str]]:
    """Between which points ohms are read with that core off: its far end and 0 V, the joint or device that it
    left and 0 V.
    """
    if wire.b != ZERO:
        yield wire.b, ZERO
    if not wire.a.startswith(f"{BOARD}."):
        yield wire.a, ZERO


class LiftedCores:
    """The copper of a harness with a core off, as it stands after `forget`."""

    def __init__(self, harness: TrialHarness, contacts: Contacts) -> None:
        self._harness, self._contacts = harness, contacts
        self._index = harness.network.index
        self._known: dict[object, dict[Off, Reading]] = {}
        self._reach: dict[tuple[Off, int], frozenset[int]] = {}
        self._now: dict[StateKind, Ohms] = {}

    def forget(self) -> None:
        """Another fault is in now."""
        self._now.clear()

    def at(self, kind: StateKind, dead: Callable[[], Solution]) -> Ohms:
        """Ohms between two points with a core off: (core, point, point); None for no way. dead: isolated."""
        found = self._now.get(kind)
        if found is None:
            word = dead().word
            wet = StateKind.WET if kind is StateKind.WET_CORE_OFF else StateKind.REST
            with brought(self._harness, self._contacts, State(wet)):
                found = self._now[kind] = self._of(self._harness.network, word)
        return found

    def _of(self, network: Varied, word: int) -> Ohms:
        """What differs from sound copper where no current of the meter comes changes nothing, and is not
        solved.
        """
        index = self._index
        differs = network.differs(word)
        known = self._known.setdefault((differs, word), {})
        sound = self._known.get((frozenset(), word), {})
        touched = {node for _, *ends, _ in differs for node in ends if node}

        def ohms(core: str, a: str, b: str) -> Reading:
            key = core, a, b
            if key not in known:
                if key in sound and touched.isdisjoint(self._reach[key, word]):
                    known[key] = sound[key]
                else:
                    known[key] = network.ohms_without(core, word)(index[a], index[b])
                if not differs:
                    self._reach[key, word] = _reached(network, core, word, index[a], index[b])
            return known[key]

        return ohms


def _reached(network: Varied, core: str, word: int, *ends: int) -> frozenset[int]:
    """Where a meter's current between these points can come, 0 V itself left out: what lies beyond 0 V
    carries none of it.
    """
    around = network.neighbours(word)
    found, waiting = set(ends) - {0}, [node for node in ends if node]
    while waiting:
        for far, part in around[waiting.pop()]:
            if far and far not in found and part != core:
                found.add(far)
                waiting.append(far)
    return frozenset(found)
