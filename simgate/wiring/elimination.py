"""Star-mesh elimination of a resistor network, written out once per topology as straight-line Python.

Taking a node k out of a network leaves, between each two of its neighbours, the conductance
g_ik * g_kj / s_k (s_k: the sum at k), and hands its current on as J_k * g_ik / s_k. Conductances are
only ever added and never below zero, so nothing cancels: a 0.01 ohm joint beside a 10 Mohm meter
costs no digits, where Gaussian elimination on the assembled matrix loses eight of them in the
diagonal, and updating an old inverse goes plainly wrong. A part that hangs on nothing ends in a node
whose s_k is exactly 0.0; it is pinned at 0 V instead of dividing.

The order (fewest neighbours first) and the source depend on the topology alone, so a changed value,
an opened switch or a parted wire never compiles anything.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

# One part: node, node, bit of the switch word (-1: not switched). Node 0 is the reference.
Edge = tuple[int, int, int]
Solver = Callable[[int, Sequence[float], Sequence[float]], tuple[float, ...]]


@lru_cache(maxsize=256)
def solver(nodes: int, edges: tuple[Edge, ...]) -> Solver:
    """The solver of one topology: (word, S per edge, A per node) -> volts per node.

    The current of a node is what flows into it from sources; that of node 0 is not read. Volts are to
    node 0, or to the pinned node within a floating piece.
    """
    space: dict[str, Solver] = {}
    text = "\n    ".join(["def solve(w, G, J):", *_body(nodes, edges)])
    exec(compile(text, f"<network of {nodes} nodes, {len(edges)} parts>", "exec"), {}, space)
    return space["solve"]


def order(nodes: int, edges: Sequence[Edge]) -> list[tuple[int, list[int]]]:
    """Nodes in the order they are eliminated, each with its neighbours at that moment (sorted).

    Fewest neighbours first, the lower number on a tie. The reference is never eliminated and its
    links are not counted: they cause no fill.
    """
    around: list[set[int]] = [set() for _ in range(nodes)]
    for a, b, _ in edges:
        if a != b:
            around[a].add(b)
            around[b].add(a)
    left = list(range(1, nodes))
    steps: list[tuple[int, list[int]]] = []
    while left:
        node = min(left, key=lambda k: (len(around[k] - {0}), k))
        left.remove(node)
        neighbours = sorted(around[node])
        for i in neighbours:
            around[i].discard(node)
            around[i].update(j for j in neighbours if j != i)
        steps.append((node, neighbours))
    return steps


def _body(nodes: int, edges: Sequence[Edge]) -> Iterator[str]:
    steps = order(nodes, edges)
    if edges:
        yield f"({''.join(f'g{n},' for n in range(len(edges)))}) = G"
    yield f"({''.join(f'j{n},' for n in range(nodes))}) = J"
    yield from _switches(edges)
    pairs = _pairs(edges)
    for name, terms in pairs.items():
        yield f"{name} = {' + '.join(terms)}"
    known = set(pairs)
    for node, neighbours in steps:
        yield from _eliminate(node, neighbours, known)
    for node, neighbours in reversed(steps):
        yield _substitute(node, neighbours)
    yield f"return ({'0.0,' + ''.join(f'v{n},' for n in range(1, nodes))})"


def _switches(edges: Sequence[Edge]) -> Iterator[str]:
    """An open switch is a conductance of exactly zero."""
    by_bit: dict[int, list[str]] = {}
    for number, (_, _, bit) in enumerate(edges):
        if bit >= 0:
            by_bit.setdefault(bit, []).append(f"g{number} = ")
    for bit, targets in by_bit.items():
        yield f"if not w & {1 << bit}: {''.join(targets)}0.0"


def _pairs(edges: Sequence[Edge]) -> dict[str, list[str]]:
    """Parts side by side become one conductance per pair of nodes: its name -> the parts in it."""
    pairs: dict[str, list[str]] = {}
    for number, (a, b, _) in enumerate(edges):
        if a != b:
            pairs.setdefault(_pair(a, b), []).append(f"g{number}")
    return pairs


def _eliminate(node: int, neighbours: Sequence[int], known: set[str]) -> Iterator[str]:
    if not neighbours:
        return
    live = [i for i in neighbours if i]
    yield f"s = {' + '.join(_pair(node, i) for i in neighbours)}"
    yield f"r{node} = 1.0 / s if s else 0.0"
    if len(neighbours) == 1:  # a dead end hands its current on whole
        for i in live:
            yield f"if s: j{i} += j{node}"
        return
    for i in live:
        yield f"f{node}_{i} = {_pair(node, i)} * r{node}"
        yield f"j{i} += f{node}_{i} * j{node}"
    for position, i in enumerate(live):
        for other in [*live[position + 1 :], *([0] if 0 in neighbours else [])]:
            name = _pair(i, other)
            yield f"{name} {'+=' if name in known else '='} f{node}_{i} * {_pair(node, other)}"
            known.add(name)


def _substitute(node: int, neighbours: Sequence[int]) -> str:
    """Volts of a node from those of the neighbours it had; all of them are known by now."""
    if not neighbours:
        return f"v{node} = 0.0"
    if len(neighbours) == 1:
        far = "" if neighbours == [0] else f"v{neighbours[0]} + "
        return f"v{node} = {far}j{node} * r{node} if r{node} else 0.0"
    terms = "".join(f" + f{node}_{i} * v{i}" for i in neighbours if i)
    return f"v{node} = j{node} * r{node}{terms}"


def _pair(a: int, b: int) -> str:
    return f"c{a}_{b}" if a < b else f"c{b}_{a}"
