"""Resistances of a whole network in one go: from every node to the reference, and across every part.

Column by column it takes one solution for each node. But the inverse is wanted only where the network has
parts, and there it follows from itself: taking nodes back in the reverse order of their elimination, the
row of node k is the mean of its neighbours' rows, weighted by f_ki = g_ki / s_k, and its own entry is that
and 1 / s_k more (Takahashi, Fagan and Chin 1973, from memory). Everything added is above zero, so nothing
cancels.

As with a solver the text depends on the topology alone and is compiled once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

from simgate.wiring.elimination import Edge, Pair, _eliminate, _pairs, _switches, _unpack, order

Inverse = Callable[[int, Sequence[float]], tuple[float, ...]]


@lru_cache(maxsize=64)
def inverse(nodes: int, edges: tuple[Edge, ...]) -> tuple[Inverse, dict[Pair, int]]:
    """The inverse of one topology where it has parts: (word, S per edge) -> ohms, and where each pair stands.

    (k, k) is the resistance from k to the reference; between a and b it is (a, a) + (b, b) - 2 (a, b), the
    lower node first. Within a floating piece everything is to its pinned node.
    """
    space: dict[str, Inverse] = {}
    wanted = [(node, node) for node in range(1, nodes)]
    wanted += [pair for pair in _pairs(edges) if pair[0]]
    lines = ["def invert(w, G):", *_body(nodes, edges)]
    lines.append(f"return ({''.join(f'z{a}_{b},' for a, b in wanted)})")
    exec(compile("\n    ".join(lines), f"<inverse of {nodes} nodes>", "exec"), {}, space)
    return space["invert"], {pair: number for number, pair in enumerate(wanted)}


def _body(nodes: int, edges: Sequence[Edge]) -> Iterator[str]:
    steps = order(nodes, edges)
    yield from _unpack("g", range(len(edges)), "G")
    yield from _switches(edges)
    pairs = _pairs(edges)
    for (a, b), numbers in pairs.items():
        yield f"c{a}_{b} = {' + '.join(f'g{number}' for number in numbers)}"
    known = set(pairs)
    for node, neighbours in steps:
        yield from _eliminate(node, neighbours, known, set(), inside=False)
    for node, neighbours in reversed(steps):
        yield from _row(node, neighbours)


def _row(node: int, neighbours: Sequence[int]) -> Iterator[str]:
    """The entries of a node beside those of its neighbours, all of which are known by now."""
    live = [other for other in neighbours if other]
    if not neighbours:
        yield f"z{node}_{node} = 0.0"
    elif len(neighbours) == 1:  # a dead end, or hanging on nothing at this word
        for other in live:
            yield f"{_entry(node, other)} = z{other}_{other} if r{node} else 0.0"
        yield f"z{node}_{node} = {' + '.join([f'r{node}', *(_entry(node, other) for other in live)])}"
    else:
        for other in live:
            terms = [f"f{node}_{via} * {_entry(via, other)}" for via in live]
            yield f"{_entry(node, other)} = {' + '.join(terms)}"
        own = [f"f{node}_{via} * {_entry(node, via)}" for via in live]
        yield f"z{node}_{node} = {' + '.join([f'r{node}', *own])}"


def _entry(a: int, b: int) -> str:
    return f"z{min(a, b)}_{max(a, b)}"
