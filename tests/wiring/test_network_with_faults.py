"""2,000 random networks with faults, and a sample of them, against formulations that are not ours.

The whole tableau of each network (branch laws and currents of every node, no elimination of anything, no
conductances) by LAPACK: 250 networks, each sound and with seven sets of faults. And by a general circuit
library: lcapy 1.26, which assembles modified nodal equations of its own from a netlist and solves them in
rational numbers.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from simgate.wiring.network import Network, Part, resistor, source, switch
from tests.wiring.test_network_against_others import GROUND, closed, pieces

NETWORKS, VARIATIONS = 250, 8
RELATIVE = 1e-9


def drawn(chance: random.Random, most: int = 16) -> list[Part]:
    """A sound network, with a place for a leak at every node: a part that does not conduct yet."""
    nodes = [GROUND, *(f"n{n}" for n in range(chance.randrange(4, most)))]
    parts: list[Part] = []
    for number in range(chance.randrange(len(nodes), 3 * len(nodes))):
        a, b = chance.sample(nodes, 2)
        ohms = round(10.0 ** chance.uniform(-1.0, 4.0), 3)
        if number < 3:
            parts.append(source(f"s{number}", a, b, float(chance.randrange(5, 30)), ohms))
        elif chance.random() < 0.3:
            parts.append(switch(f"p{number}", a, b, number, ohms))
        else:
            parts.append(resistor(f"p{number}", a, b, ohms))
    return [*parts, *(Part(f"leak-{node}", node, GROUND, 0.0) for node in nodes[1:])]


def harmed(parts: list[Part], chance: random.Random) -> list[Part]:
    """The same network with one to five faults: open, short, leak to earth, high joint."""
    found = list(parts)
    for _ in range(chance.randrange(1, 6)):
        at = chance.randrange(len(found))
        part = found[at]
        if part.name.startswith("leak"):
            found[at] = replace(part, conductance=1.0 / 10.0 ** chance.uniform(3.0, 6.0))
            continue
        kind = chance.choice(("open", "short", "high joint"))
        if kind == "open" or not part.conductance:
            siemens = 0.0
        elif kind == "short":
            siemens = 1.0 / 0.01
        else:
            siemens = 1.0 / (1.0 / part.conductance + chance.uniform(0.5, 5000.0))
        found[at] = replace(part, conductance=siemens)
    return found


def conducting(network: Network, word: int) -> list[Part]:
    """What carries current at a word."""
    return [part for part in closed(network, word) if part.conductance]


def tableau(network: Network, word: int) -> tuple[dict[str, float], dict[str, float], list[list[str]]]:
    """Volts of every node, ampere of every part, and the pieces; the first node of each piece at 0 V.

    Unknown are currents i and volts v. Each part: v_a - v_b - r i = its source; each node: its currents come
    to nothing; each piece: its first node is at nothing, in the place of that node's currents.
    """
    parts = conducting(network, word)
    found = pieces(Network(network.nodes, parts, GROUND), word)
    at = {node: number for number, node in enumerate(network.nodes)}
    size = len(parts) + len(at)
    matrix, drive = np.zeros((size, size)), np.zeros(size)
    for number, part in enumerate(parts):
        a, b = len(parts) + at[part.a], len(parts) + at[part.b]
        matrix[number, [number, a, b]] = -1.0 / part.conductance, 1.0, -1.0
        drive[number] = part.volts
        matrix[a, number] += 1.0
        matrix[b, number] -= 1.0
    for piece in found:
        pinned = len(parts) + at[piece[0]]
        matrix[pinned] = 0.0
        matrix[pinned, pinned] = 1.0
    solved = np.linalg.solve(matrix, drive)
    volts = {node: float(solved[len(parts) + number]) for node, number in at.items()}
    amps = {part.name: float(solved[number]) for number, part in enumerate(parts)}
    return volts, amps, found


def variations(first: int, count: int) -> list[tuple[int, Network, int]]:
    """Networks by seed: each sound, then with faults; one compiled solver does for all of a seed."""
    found = []
    for seed in range(first, first + count):
        chance = random.Random(f"faults {seed}")
        parts = drawn(chance)
        nodes = sorted({GROUND} | {end for part in parts for end in (part.a, part.b)})
        for number in range(VARIATIONS):
            these = harmed(parts, chance) if number else parts
            found.append((seed, Network(nodes, these, GROUND), chance.getrandbits(100)))
    return found


@pytest.mark.parametrize("first", range(0, NETWORKS, 50))
def test_the_whole_tableau_agrees_on_four_hundred_networks_each(first: int) -> None:
    floating = alone = 0
    for seed, network, word in variations(first, 50):
        solution = network.solve(word)
        volts, amps, found = tableau(network, word)
        for number, piece in enumerate(found):
            scale = max(abs(volts[node]) for node in piece)
            zeros = 0
            for node in piece:
                told = solution.volts(node, piece[0])
                assert told is not None
                assert abs(told - volts[node]) <= RELATIVE * scale, (seed, node)
                assert solution.floating(node) is (number > 0)
                zeros += solution.potential(node) == 0.0
            if number:  # a floating piece: nothing fixes it to the reference, and one of its nodes reads 0 V
                assert zeros
                assert all(solution.volts(node, GROUND) is None for node in piece)
                floating, alone = floating + 1, alone + (len(piece) == 1)
        for part in network.parts.values():
            most = part.conductance * max(map(abs, (*volts.values(), part.volts)))
            assert abs(solution.current(part.name) - amps.get(part.name, 0.0)) <= RELATIVE * most
    assert floating > 100
    assert alone > 50


def test_a_node_alone_reads_exactly_nothing_and_a_floating_piece_without_a_source_too() -> None:
    for _, network, word in variations(1000, 40):
        solution = network.solve(word)
        driven = {end for part in conducting(network, word) if part.volts for end in (part.a, part.b)}
        for piece in pieces(Network(network.nodes, conducting(network, word), GROUND), word)[1:]:
            if driven.isdisjoint(piece):
                assert [solution.potential(node) for node in piece] == [0.0] * len(piece)


def test_what_a_meter_meets_between_two_nodes_agrees_with_the_tableau() -> None:
    """Volts and ohms of `thevenin` against two solutions of the tableau, the second with an ampere put in."""
    met = nothing = 0
    for seed, network, word in variations(2000, 40):
        chance = random.Random(seed)
        a, b = chance.sample(list(network.nodes), 2)
        found = network.thevenin(word, a, b)
        volts, _, groups = tableau(network, word)
        if not any(a in piece and b in piece for piece in groups):
            assert found is None
            nothing += 1
            continue
        assert found is not None
        probe = [replace(part, volts=0.0) for part in conducting(network, word)]
        probe.append(source("probe", a, b, 1.0, 1.0))
        _, amps, _ = tableau(Network(network.nodes, probe, GROUND), word)
        ohms = 1.0 / -amps["probe"] - 1.0
        scale = max(abs(volts[node]) for node in network.nodes)
        assert abs(found[0] - (volts[a] - volts[b])) <= RELATIVE * scale
        assert found[1] == pytest.approx(ohms, rel=1e-7, abs=1e-9)  # 1 ohm is taken off again: digits lost
        met += 1
    assert met > 100
    assert nothing > 20


def netlist(parts: list[Part], at: dict[str, int]) -> str:
    """The network as lcapy reads it, a source with its resistance as two parts; every number a fraction."""
    lines = []
    for number, part in enumerate(parts):
        a, b = at[part.a], at[part.b]
        ohms = Fraction(1.0 / part.conductance).limit_denominator(10**9)
        if part.volts:
            middle = len(at) + number
            lines.append(f"V{number} {a} {middle} {Fraction(part.volts)}")
            a = middle
        lines.append(f"R{number} {a} {b} {{{ohms}}}")
    return "\n".join(lines)


def test_a_general_circuit_library_agrees_on_a_sample() -> None:
    """lcapy 1.26; it refuses what floats, so it is given the piece of the reference."""
    from lcapy import Circuit  # about a second, for which whoever only collects the tests need not wait

    checked = 0
    for seed in range(40):
        chance = random.Random(f"library {seed}")
        parts = drawn(chance, most=7)
        nodes = sorted({GROUND} | {end for part in parts for end in (part.a, part.b)})
        network = Network(nodes, harmed(parts, chance), GROUND)
        word = chance.getrandbits(100)
        solution = network.solve(word)
        piece = pieces(Network(nodes, conducting(network, word), GROUND), word)[0]
        inside = [part for part in conducting(network, word) if part.a in piece]
        if not any(part.volts for part in inside):
            assert all(solution.potential(node) == 0.0 for node in piece)
            continue
        at = {node: number for number, node in enumerate(piece)}
        circuit = Circuit(netlist(inside, at))
        expected = {node: float(circuit[at[node]].V.dc.expr) for node in piece[1:]}
        scale = max(map(abs, expected.values()))
        for node, volts in expected.items():
            assert math.isclose(solution.potential(node), volts, rel_tol=0.0, abs_tol=RELATIVE * scale)
            checked += 1
    assert checked > 60
