"""What wear and careless hands have done to the iron, as numbers that stand beside the copper.

The copper knows no leaf; whoever couples iron and copper takes these over into it. They are kept here so
that a stiff hinge goes in, shows and is put right in the same way as a parted core.
"""

from __future__ import annotations

from simgate.wiring.tables import LEAF_NAMES

LEAF = "leaf-"


class Iron:
    """Per leaf. friction: N m (N for a slide) more than it should be. stop: share of the travel by which the
    open stop stands too near. sag: N m with which a sagged leaf drags on its shut stop. play: m of slack
    between drive and leaf, at the edge. relief: share by which a relief valve opens too early, below
    0 too late.

    wind: m/s more than that of the day, for all leaves.
    """

    __slots__ = ("friction", "play", "relief", "sag", "stop", "wind")

    def __init__(self) -> None:
        self.friction, self.stop, self.sag, self.play, self.relief = (
            [0.0 for _ in LEAF_NAMES] for _ in range(5)
        )
        self.wind = 0.0

    def renew(self, leaf: int) -> None:
        """Hinges free, leaf hung level, stop where it was meant, linkage tight, relief valve set."""
        self.friction[leaf] = self.stop[leaf] = self.sag[leaf] = self.play[leaf] = self.relief[leaf] = 0.0

    def state(self) -> tuple[float, ...]:
        """Everything above."""
        return (*self.friction, *self.stop, *self.sag, *self.play, *self.relief, self.wind)


def places(leaves: int) -> tuple[str, ...]:
    """Names of the leaves as places of a fault."""
    return tuple(place(leaf) for leaf in range(leaves))


def place(leaf: int) -> str:
    """The name of one leaf as such a place."""
    return f"{LEAF}{LEAF_NAMES[leaf]}"


def leaf_of(place: str) -> int:
    """Number of the leaf at such a place."""
    return LEAF_NAMES.index(place.removeprefix(LEAF))
