"""The elimination against two other ways of solving the same networks.

numpy's dense solver on the grounded part (LAPACK, partial pivoting) at 500 seeded networks to 1e-9;
and exact rational arithmetic where conductances reach over nine decades, where numpy itself is no
judge: rounding in the assembled diagonal alone costs it eight digits there.
"""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np
import pytest

from simgate.wiring.network import Network, Part, resistor, source, switch

GROUND = "0"


def drawn(seed: int, low: float, high: float, sources: int) -> tuple[Network, int]:
    """A network in one or several pieces, with ohms between 10^low and 10^high, and a switch word."""
    chance = random.Random(seed)
    nodes = [GROUND, *(f"n{n}" for n in range(chance.randrange(3, 25)))]
    parts: list[Part] = []
    for number in range(chance.randrange(len(nodes), 3 * len(nodes))):
        a, b = chance.sample(nodes, 2)
        ohms = 10.0 ** chance.uniform(low, high)
        name = f"p{number}"
        if len(parts) < sources:
            parts.append(source(name, a, b, chance.uniform(1.0, 30.0), ohms))
        elif chance.random() < 0.4:
            parts.append(switch(name, a, b, number, ohms))
        else:
            parts.append(resistor(name, a, b, ohms))
    return Network(nodes, parts, GROUND), chance.getrandbits(100)


def closed(network: Network, word: int) -> list[Part]:
    """Parts that conduct."""
    return [part for part in network.parts.values() if part.bit is None or word >> part.bit & 1]


def pieces(network: Network, word: int) -> list[list[str]]:
    """Nodes joined by conducting parts, the reference's piece first; found by walking, not by merging."""
    around: dict[str, list[str]] = {node: [] for node in network.nodes}
    for part in closed(network, word):
        around[part.a].append(part.b)
        around[part.b].append(part.a)
    left, found = list(network.nodes), []
    while left:
        piece, edge = [left[0]], [left[0]]
        while edge:
            for node in around[edge.pop()]:
                if node not in piece:
                    piece.append(node)
                    edge.append(node)
        left = [node for node in left if node not in piece]
        found.append(piece)
    return found


def dense(network: Network, word: int, piece: list[str]) -> dict[str, float]:
    """Nodal analysis of one piece with its first node at 0 V."""
    at = {node: number for number, node in enumerate(piece)}
    matrix, currents = np.zeros((len(piece), len(piece))), np.zeros(len(piece))
    for part in closed(network, word):
        if part.a in at and part.b in at:
            a, b = at[part.a], at[part.b]
            matrix[[a, b], [a, b]] += part.conductance
            matrix[[a, b], [b, a]] -= part.conductance
            currents[a] += part.conductance * part.volts
            currents[b] -= part.conductance * part.volts
    volts = np.linalg.solve(matrix[1:, 1:], currents[1:]) if len(piece) > 1 else np.zeros(0)
    return dict(zip(piece, [0.0, *(float(v) for v in volts)], strict=True))


@pytest.mark.parametrize("first", range(0, 500, 50))
def test_numpy_agrees_on_fifty_networks_each(first: int) -> None:
    floating = 0
    for seed in range(first, first + 50):
        network, word = drawn(seed, -1.0, 4.5, sources=3)
        solution = network.solve(word)
        for number, piece in enumerate(pieces(network, word)):
            expected = dense(network, word, piece)
            scale = max(abs(volts) for volts in expected.values())
            for node in piece:
                assert solution.floating(node) == (number > 0)
                found = solution.volts(node, piece[0])
                assert found is not None
                assert abs(found - expected[node]) <= 1e-9 * scale, (seed, node)
            if number:
                floating += 1
                assert solution.volts(piece[0], GROUND) is None
    assert floating > 0  # the seeds do reach networks in pieces


def exact(network: Network, word: int, piece: list[str]) -> dict[str, Fraction]:
    """The same by Gaussian elimination in rational numbers: no rounding at all."""
    at = {node: number for number, node in enumerate(piece[1:])}
    size = len(at)
    rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for part in closed(network, word):
        conductance = Fraction(part.conductance)
        for here, there, sign in ((part.a, part.b, 1), (part.b, part.a, -1)):
            if here in at:
                row = rows[at[here]]
                row[at[here]] += conductance
                row[size] += sign * conductance * Fraction(part.volts)
                if there in at:
                    row[at[there]] -= conductance
    for k in range(size):
        pivot = rows[k][k]
        rows[k] = [value / pivot for value in rows[k]]
        for i in range(size):
            if i != k and rows[i][k]:
                factor = rows[i][k]
                rows[i] = [value - factor * base for value, base in zip(rows[i], rows[k], strict=True)]
    return {piece[0]: Fraction(0)} | {node: rows[number][size] for node, number in at.items()}


def test_exact_arithmetic_agrees_where_several_sources_work_against_each_other() -> None:
    """0.01 ohm to 10 Mohm, five sources: every potential right to 1e-12 of the greatest source."""
    for seed in range(40):
        network, word = drawn(2000 + seed, -2.0, 7.0, sources=5)
        solution = network.solve(word)
        scale = Fraction(max(abs(part.volts) for part in network.parts.values()))
        for piece in pieces(network, word):
            for node, volts in exact(network, word, piece).items():
                found = solution.volts(node, piece[0])
                assert found is not None
                assert abs(Fraction(found) - volts) <= Fraction(1e-12) * scale, (seed, node)


def test_exact_arithmetic_agrees_from_a_joint_to_a_meter() -> None:
    """0.01 ohm to 10 Mohm in one network: every potential right to 1e-12 of itself."""
    checked = 0
    for seed in range(40):
        network, word = drawn(1000 + seed, -2.0, 7.0, sources=1)
        feed = next(iter(network.parts.values()))
        feed = source(feed.name, "n0", GROUND, 24.0, 0.5)
        network = Network(network.nodes, [feed, *list(network.parts.values())[1:]], GROUND)
        solution = network.solve(word)
        for node, volts in exact(network, word, pieces(network, word)[0]).items():
            assert abs(Fraction(solution.potential(node)) - volts) <= Fraction(1e-12) * abs(volts)
            checked += volts != 0
    assert checked > 100
