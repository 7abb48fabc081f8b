"""How many network solutions a second: on a miss (elimination) and on a hit (memo). Printed, never asserted.

Run: python tests/benchmarks/bench_network.py
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable

from simgate.bench.site import load_site
from simgate.files import shipped
from simgate.wiring.harness import Harness
from simgate.wiring.network import Network, Part, resistor, source, switch

NODES, PARTS, SWITCHES = 40, 80, 24


def cabinet() -> Network:
    """A network shaped like a board and its cables: a bus, chains of contacts out and back, loads to 0 V."""
    nodes = ["board.0V", *(f"n{n}" for n in range(1, NODES))]
    chance = random.Random(7)
    parts: list[Part] = [source("supply", "n1", "board.0V", 24.0, 0.5)]
    for n in range(2, NODES):  # eight chains leave the bus
        before = 1 if n % 5 == 2 else n - 1
        name = f"chain{n}"
        if len(parts) <= SWITCHES:
            parts.append(switch(name, nodes[before], nodes[n], len(parts) - 1, 0.05))
        else:
            parts.append(resistor(name, nodes[before], nodes[n], 0.3))
    while len(parts) < PARTS:  # loads to 0 V, and neighbours joined across
        n = chance.randrange(2, NODES)
        far = 0 if len(parts) % 2 else max(1, n - 5)
        ohms = chance.choice([100.0, 800.0, 4700.0])
        parts.append(resistor(f"load{len(parts)}", nodes[n], nodes[far], ohms))
    return Network(nodes, parts)


def tangle() -> Network:
    """The worst case: the same counts joined at random."""
    nodes = ["board.0V", *(f"n{n}" for n in range(1, NODES))]
    chance = random.Random(11)
    parts: list[Part] = [source("supply", "n1", "board.0V", 24.0, 0.5)]
    while len(parts) < PARTS:
        a, b = chance.sample(nodes, 2)
        name = f"part{len(parts)}"
        if len(parts) <= SWITCHES:
            parts.append(switch(name, a, b, len(parts) - 1))
        else:
            parts.append(resistor(name, a, b, 10.0 ** chance.uniform(-1, 4)))
    return Network(nodes, parts)


def rate(act: Callable[[int], object], words: list[int]) -> float:
    """Best of five: calls in a second of the processor over all words."""
    best = 0.0
    for _ in range(5):
        start = time.process_time()
        for word in words:
            act(word)
        best = max(best, len(words) / (time.process_time() - start))
    return best


def sites(chance: random.Random) -> None:
    """The copper of shipped sites, as the bench solves it: also inputs, fuses and supply are worked out."""
    for name in shipped("sites"):
        start = time.process_time()
        harness = Harness(load_site(name).wiring)
        built = time.process_time() - start
        words = [chance.getrandbits(len(harness.contacts)) for _ in range(2000)]

        def miss(word: int, harness: Harness = harness) -> object:
            harness._memo.clear()
            return harness.solve(word)

        misses, hits = rate(miss, words), rate(harness.solve, [words[0]] * 100_000)
        print(
            f"{name} ({len(harness.points())} points, {len(harness.contacts)} contacts): built in "
            f"{built * 1e3:.1f} ms, misses {misses:,.0f}/s, hits {hits:,.0f}/s, {hits / misses:.0f} x"
        )


def main() -> None:
    chance = random.Random(3)
    sites(chance)
    words = [chance.getrandbits(SWITCHES) for _ in range(5000)]
    for title, build in (("like a cabinet", cabinet), ("joined at random", tangle)):
        start = time.perf_counter()
        network = build()
        compiled = time.perf_counter() - start
        counts = f"{len(network.nodes)} nodes, {len(network.parts)} parts, {SWITCHES} switches"

        def miss(word: int, network: Network = network) -> object:
            network._memo.clear()
            return network.solve(word)

        misses = rate(miss, words)
        word = words[0]
        first = network.solve(word)
        hits = rate(network.solve, [word] * 200_000)
        assert network.solve(word) is first
        print(
            f"{title} ({counts}): built and compiled in {compiled * 1e3:.1f} ms, "
            f"misses {misses:,.0f}/s, hits {hits:,.0f}/s, {hits / misses:.0f} x"
        )


if __name__ == "__main__":
    main()
