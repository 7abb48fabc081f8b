"""An electric lock: a bolt behind which one leaf stands when shut, and the coil that draws it.

Theory. The bolt is a wall a little open of shut. A leaf that presses on it with F makes friction mu F on its
side; the coil pulls with k u^2 (a magnet that is far from saturation: force goes with the square of the
current, and so of the volts), against a spring. It draws when k u^2 >= spring + mu F. So a leaf that wind or
a sprung stop holds against the bolt keeps it in, and a short push shut lets it come free. Let go, the bolt
falls in behind a leaf that stands shut; its bevel lets a leaf that shuts pass under it.

Figures are of an invented lock; friction of dry steel on steel is 0.2 to 0.6 (handbooks, from memory).
"""

from __future__ import annotations

from simgate.plant.leaf import Leaf
from simgate.plant.spec import LockSpec


class Lock:
    """The bolt and its coil. volts: across the coil, writable between steps. holds: the bolt is in."""

    __slots__ = ("_leaf", "_place", "_spec", "holds", "volts")

    def __init__(self, spec: LockSpec, leaf: Leaf, lever: float) -> None:
        self._spec = spec
        self._leaf = leaf
        self._place = spec.play / lever
        self.volts = 0.0
        self.holds = False
        self.step()

    def take_stand(self) -> None:
        """The leaf was put somewhere: the bolt is behind it only if it stands shut there."""
        self.holds = False
        self._leaf.bolt_at(None)
        self.step()

    def step(self) -> None:
        """Draw the bolt or let it fall in, as coil, spring and the load on its side have it."""
        holds = self._wanted()
        if holds is not self.holds:
            self.holds = holds
            self._leaf.bolt_at(self._place if holds else None)

    def settled(self) -> bool:
        """Whether another step would change nothing while leaf and coil stay as they are."""
        return self._wanted() is self.holds

    def most_side_load(self) -> float:
        """N on the bolt at which the coil, as it is fed, can still draw it; below 0 it never can."""
        spec = self._spec
        free = self._pull() - spec.spring
        return free / spec.friction if spec.friction else (0.0 if free < 0.0 else float("inf"))

    def state(self) -> tuple[float, ...]:
        """Everything that the future depends on."""
        return (self.volts, float(self.holds))

    def _pull(self) -> float:
        share = self.volts / self._spec.volts
        return self._spec.pull * share * share

    def _wanted(self) -> bool:
        spec = self._spec
        if self.holds:
            return self._pull() < spec.spring + spec.friction * self._leaf.bolt_force
        return self._pull() < spec.spring and self._leaf.place <= self._place
