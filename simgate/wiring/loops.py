"""What the motor bridges see of the copper: the feed of each winding, and where bridge and winding differ.

In sound copper a bridge, its two cores and its winding are one loop with one current, and nobody needs a
network to know what the bridge delivers. A link or a bridged core at a motor's terminals opens another
way: the bridge then delivers what the winding never gets. Taking the winding's current for the bridge's
all the same would let a board drive into a dead short for ever and see nothing of it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from simgate.wiring import build
from simgate.wiring.network import Network
from simgate.wiring.tables import BOARD, LEAF_NAMES

ALIKE = 1e-9  # S; less than this beside the loop is rounding

Row = tuple[float, ...]  # ampere per V: of each bridge's source, of each leaf's back-emf, of the supply


@dataclass(frozen=True, slots=True)
class Shunted:
    """Copper in which a bridge's current is not its winding's. A row of ampere per V for each leaf.

    bridges: what leaves each bridge, in its own polarity. windings: what flows in each winding, terminal 1
    to 2, with its own back-emf's share left out; all zero for a leaf without a motor.
    """

    bridges: tuple[Row, ...]
    windings: tuple[Row, ...]


def feed(network: Network, word: int, leaf: int, motor: str | None) -> tuple[float, float]:
    """(gain, ohms) of what feeds a motor's winding from its leaf's bridge alone; (0, inf) for no way."""
    if motor is None:
        return 0.0, math.inf
    known = network.feeds.get((word, leaf, motor))
    if known is not None:
        return known
    alone = {build.SUPPLY: 0.0, build.BATTERY: 0.0, build.bridge_source(leaf): 1.0}
    found = network.thevenin(word, f"{motor}.1", f"{motor}.2", alone, build.winding(motor))
    gain, ohms = (0.0, math.inf) if found is None else found
    known = network.feeds[word, leaf, motor] = max(-1.0, min(1.0, gain)), ohms
    return known


def shunted(
    network: Network, word: int, leaves: int, motors: Mapping[int, str], supply: str = build.SUPPLY
) -> Shunted | None:
    """None when each bridge carries its winding's current and nothing else; else what each one carries.

    supply: the source that feeds the board.
    """
    around = network.neighbours(word)
    if all(_one_loop(network, around, leaf, motors.get(leaf)) for leaf in range(leaves)):
        return None
    sources = [build.bridge_source(leaf) for leaf in range(leaves)]
    emfs = [build.winding(motors[leaf]) if leaf in motors else "" for leaf in range(leaves)]
    every = [*sources, *emfs, supply]
    silent = dict.fromkeys((name for name in (*every, build.SUPPLY, build.BATTERY) if name), 0.0)
    bridges: list[list[float]] = [[] for _ in range(leaves)]
    windings: list[list[float]] = [[] for _ in range(leaves)]
    for name in every:
        solved = network.solve_with(word, silent | {name: 1.0}) if name else None
        for leaf in range(leaves):
            bridges[leaf].append(-solved.current(sources[leaf]) if solved else 0.0)
            drawn = solved.current(emfs[leaf]) if solved and emfs[leaf] else 0.0
            windings[leaf].append(0.0 if name == emfs[leaf] else drawn)
    if all(_alike(bridges[leaf], windings[leaf], leaf, leaves) for leaf in range(leaves)):
        return None
    return Shunted(tuple(map(tuple, bridges)), tuple(map(tuple, windings)))


def _one_loop(network: Network, around: list[list[tuple[int, str]]], leaf: int, motor: str | None) -> bool:
    """Whether the way from a bridge's plus leads through its own winding to its minus and nowhere else.

    A way that ends in the air is one too: nothing flows, in bridge or winding.
    """
    start = network.index[f"{BOARD}.bridge-{LEAF_NAMES[leaf]}"]
    goal = network.index[f"{BOARD}.MOTOR-{LEAF_NAMES[leaf]}-"]
    node, came, met = start, build.bridge_source(leaf), set[str]()
    while node != goal:
        onward = [(far, part) for far, part in around[node] if part != came]
        if len(onward) != 1:
            return not onward
        node, came = onward[0]
        met.add(came)
    return motor is not None and build.winding(motor) in met


def _alike(bridge: list[float], winding: list[float], leaf: int, leaves: int) -> bool:
    """Whether a bridge's row is its winding's, either way round; its own back-emf is not compared."""
    sign = 1.0 if winding[leaf] >= 0.0 else -1.0
    own = leaves + leaf
    pairs = enumerate(zip(bridge, winding, strict=True))
    return all(abs(one - sign * other) < ALIKE for number, (one, other) in pairs if number != own)
