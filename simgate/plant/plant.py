"""The whole iron: one or two leaves in a wind, stepped by the scan.

Leaves know nothing of each other; what they do to each other is `Overlap`. The bench writes motor
voltages and what hands do, calls `step` once per scan, and reads angles, currents, turns and forces.
A plant that is `still` may be left alone for any time with the same result, bit for bit.
"""

from __future__ import annotations

from simgate.plant.leaf import Leaf
from simgate.plant.lock import Lock
from simgate.plant.overlap import Overlap
from simgate.plant.spec import PlantSpec


class Plant:
    """One or two leaves, A first. wind: m/s, settable, positive blows the leaves open."""

    __slots__ = ("_overlap", "leaves", "lock", "wind")

    def __init__(self, spec: PlantSpec) -> None:
        self.leaves: tuple[Leaf, ...] = tuple(
            Leaf(leaf, drive, spec.force_coefficient) for leaf, drive in spec.leaves
        )
        self.wind = spec.wind
        self._overlap = Overlap(spec, *self.leaves) if spec.overlap > 0.0 else None
        self.lock: Lock | None = None
        if spec.lock is not None:
            held, _ = spec.leaves[spec.lock.leaf]
            self.lock = Lock(spec.lock, self.leaves[spec.lock.leaf], held.lever)

    def step(self) -> None:
        """Advance exactly 10 ms."""
        overlap = self._overlap
        if overlap is not None and overlap.near():
            overlap.step(self.wind)
        else:
            for leaf in self.leaves:
                leaf.step(self.wind)
        if self.lock is not None:
            self.lock.step()

    def still(self) -> bool:
        """True when another step would change nothing: the last one did not, and nothing was touched."""
        wind = self.wind
        for leaf in self.leaves:
            if not leaf.idle(wind):
                return False
        return self.lock is None or self.lock.settled()

    def overlap_force(self) -> float:
        """Force, N, between the two leaves at A's strip; 0 with one leaf or apart."""
        return 0.0 if self._overlap is None else self._overlap.force

    def clash(self) -> float:
        """The part of it, N, with which B lies on A's strip from the wrong side: they shut in wrong order."""
        overlap = self._overlap
        return overlap.force if overlap is not None and overlap.side < 0.0 else 0.0

    def state(self) -> tuple[float, ...]:
        """Every float that the future depends on or that can be read, in a fixed order."""
        floats = [self.wind]
        for leaf in self.leaves:
            floats.extend(leaf.state())
        if self.lock is not None:
            floats.extend((*self.lock.state(), *(leaf.bolt_force for leaf in self.leaves)))
        if self._overlap is not None:
            floats.extend((self._overlap.side, self._overlap.slack, self._overlap.force))
        return tuple(floats)
