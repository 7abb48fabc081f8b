"""What wear and careless hands have done to the iron, as numbers that stand beside the copper.

The copper knows no leaf; whoever couples iron and copper takes these over into it. They are kept here so
that a stiff hinge goes in, shows and is put right in the same way as a parted core.
"""

from __future__ import annotations

from simgate.wiring.tables import LEAF_NAMES

LEAF = "leaf-"


class Iron:
    """Per leaf. friction: N m (N for a slide) more than it should be. stop: share of the travel by which the
    open stop stands too near.
    """

    __slots__ = ("friction", "stop")

    def __init__(self) -> None:
        self.friction = [0.0 for _ in LEAF_NAMES]
        self.stop = [0.0 for _ in LEAF_NAMES]

    def renew(self, leaf: int) -> None:
        """Hinges free, stop where it was meant."""
        self.friction[leaf] = self.stop[leaf] = 0.0

    def state(self) -> tuple[float, ...]:
        """Everything above."""
        return (*self.friction, *self.stop)


def places(leaves: int) -> tuple[str, ...]:
    """Names of the leaves as places of a fault."""
    return tuple(f"{LEAF}{name}" for name in LEAF_NAMES[:leaves])


def leaf_of(place: str) -> int:
    """Number of the leaf at such a place."""
    return LEAF_NAMES.index(place.removeprefix(LEAF))
