"""Star-mesh elimination of a resistor network, written out once per topology as straight-line Python.

Taking a node k out of a network leaves, between each two of its neighbours, the conductance
g_ik * g_kj / s_k (s_k: the sum at k). Conductances are only ever added and never below zero, so
nothing cancels: a 0.01 ohm joint beside a 10 Mohm meter costs no digits, where Gaussian elimination
on the assembled matrix loses eight of them in the diagonal, and updating an old inverse goes plainly
wrong. A part that hangs on nothing ends in a node whose s_k is exactly 0.0; it is pinned at 0 V
instead of dividing.

A source stays with its pair of nodes as q = g * volts while nodes go: k leaves f_i * q_kj - f_j * q_ki
between i and j, with f_i = g_ik / s_k. Handing its current to the two nodes would be shorter, but then
100 A that circle in one loop are added to the microampere of the next, and taken off again with the
microampere's digits lost. What a source drives through a dead end is nothing, exactly.

The order (fewest neighbours first) and the text depend on the topology alone, so a changed value,
an opened switch or a parted wire never compiles anything.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import combinations

# One part: node, node, bit of the switch word (-1: not switched). Node 0 is the reference.
Edge = tuple[int, int, int]
Pair = tuple[int, int]  # two nodes, the lower first
Solver = Callable[[int, Sequence[float], Sequence[float]], tuple[float, ...]]


@lru_cache(maxsize=512)
def solver(nodes: int, edges: tuple[Edge, ...], sources: tuple[int, ...] | None) -> Solver:
    """The solver of one topology: (word, S per edge, drive) -> volts per node.

    sources: numbers of the edges that hold a source; drive is the volts of each, its first node positive.
    None: no sources, and drive is the ampere put into each node from outside. Volts are to node 0, or to
    the pinned node within a floating piece.
    """
    space: dict[str, Solver] = {}
    text = "\n    ".join(["def solve(w, G, D):", *_body(nodes, edges, sources)])
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


def _body(nodes: int, edges: Sequence[Edge], sources: Sequence[int] | None) -> Iterator[str]:
    steps = order(nodes, edges)
    yield from _unpack("g", range(len(edges)), "G")
    if sources is None:
        yield from _unpack("j", range(nodes), "D")
    else:
        yield from _unpack("e", sources, "D")
    yield from _switches(edges)
    pairs = _pairs(edges)
    for (a, b), numbers in pairs.items():
        yield f"c{a}_{b} = {' + '.join(f'g{number}' for number in numbers)}"
    driven: set[Pair] = set()
    for number in sources or ():
        a, b, _ = edges[number]
        if a != b:
            yield _add("q", _pair(a, b), driven, f"{'' if a < b else '-'}g{number} * e{number}")
    known = set(pairs)
    inside = sources is None
    for node, neighbours in steps:
        yield from _eliminate(node, neighbours, known, driven, inside)
    for node, neighbours in reversed(steps):
        yield _substitute(node, neighbours, driven, inside)
    yield f"return ({'0.0,' + ''.join(f'v{n},' for n in range(1, nodes))})"


def _unpack(letter: str, numbers: Sequence[int], argument: str) -> Iterator[str]:
    if numbers:
        yield f"({''.join(f'{letter}{number},' for number in numbers)}) = {argument}"


def _switches(edges: Sequence[Edge]) -> Iterator[str]:
    """An open switch is a conductance of exactly zero."""
    by_bit: dict[int, list[str]] = {}
    for number, (_, _, bit) in enumerate(edges):
        if bit >= 0:
            by_bit.setdefault(bit, []).append(f"g{number} = ")
    for bit, targets in by_bit.items():
        yield f"if not w & {1 << bit}: {''.join(targets)}0.0"


def _pairs(edges: Sequence[Edge]) -> dict[Pair, list[int]]:
    """Parts side by side become one conductance per pair of nodes."""
    pairs: dict[Pair, list[int]] = {}
    for number, (a, b, _) in enumerate(edges):
        if a != b:
            pairs.setdefault(_pair(a, b), []).append(number)
    return pairs


def _eliminate(
    node: int, neighbours: Sequence[int], known: set[Pair], driven: set[Pair], inside: bool
) -> Iterator[str]:
    """Take `node` out: its sum, its share of each neighbour, and what it leaves between each two of them."""
    if not neighbours:
        return
    yield f"s = {' + '.join(_conductance(node, i) for i in neighbours)}"
    yield f"r{node} = 1.0 / s if s else 0.0"
    live = [i for i in neighbours if i]
    if len(neighbours) == 1:  # a dead end hands on whole what is put into it, and nothing of a source
        if inside and live:
            yield f"if s: j{live[0]} += j{node}"
        return
    drives = [i for i in neighbours if _pair(node, i) in driven]
    for i in neighbours if set(drives) - {0} else live:
        yield f"f{node}_{i} = {_conductance(node, i)} * r{node}"
    if inside:
        for i in live:
            yield f"j{i} += f{node}_{i} * j{node}"
    for i, other in combinations(neighbours, 2):
        end = other if i == 0 else i
        far = i if i == 0 else other
        yield _add("c", (i, other), known, f"f{node}_{end} * {_conductance(node, far)}")
        if i in drives or other in drives:
            terms = [f"f{node}_{i} * {_drive(node, other)}"] if other in drives else []
            terms += [f"-f{node}_{other} * {_drive(node, i)}"] if i in drives else []
            yield _add("q", (i, other), driven, " + ".join(terms))


def _substitute(node: int, neighbours: Sequence[int], driven: set[Pair], inside: bool) -> str:
    """Volts of a node from those of the neighbours it had; all of them are known by now."""
    if not neighbours:
        return f"v{node} = 0.0"
    sum_in = [_drive(node, i) for i in neighbours if _pair(node, i) in driven] + [f"j{node}"] * inside
    terms = [f"r{node} * ({' + '.join(sum_in)})"] if sum_in else []
    if len(neighbours) == 1:
        terms += [f"v{i}" for i in neighbours if i]
        return f"v{node} = {' + '.join(terms) or '0.0'} if r{node} else 0.0"
    terms += [f"f{node}_{i} * v{i}" for i in neighbours if i]
    return f"v{node} = {' + '.join(terms)}"


def _add(letter: str, pair: Pair, there: set[Pair], value: str) -> str:
    """A statement that adds to what a pair has, or begins it."""
    sign = "+=" if pair in there else "="
    there.add(pair)
    return f"{letter}{pair[0]}_{pair[1]} {sign} {value}"


def _conductance(a: int, b: int) -> str:
    return f"c{min(a, b)}_{max(a, b)}"


def _drive(a: int, b: int) -> str:
    """The source between two nodes as `a` sees it; kept with its lower node positive."""
    return f"q{a}_{b}" if a < b else f"-q{b}_{a}"


def _pair(a: int, b: int) -> Pair:
    return (a, b) if a < b else (b, a)
