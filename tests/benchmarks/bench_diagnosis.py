"""How long the table of faults and looks takes, and par and the next look, beside plain numpy re-solves.

Printed, never asserted. Seconds are of the processor (one core), so that other work here counts little.
're-solved': for each electrical look of a fault one matrix assembled and solved with numpy, nothing kept.
Cores are left on: a matrix for each is a matrix.
'once a state': one matrix for each state of a fault, all of its ohms in one go. Both are run on some of the
faults and their time for one fault is set beside ours.

Run: python tests/benchmarks/bench_diagnosis.py [SITE...]
"""

from __future__ import annotations

import sys
import time
from itertools import groupby

import numpy as np

from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.observation import How, Observation
from simgate.practice.diagnosis.par import fault_set, next_look, par
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import LIFTED, StateKind
from simgate.practice.diagnosis.table import Table, build
from simgate.wiring.faults import Fault, FaultKind, inject, mend
from simgate.wiring.harness import Harness
from simgate.wiring.network import Network

ELECTRICAL = (How.VOLTS, How.OHMS, How.CLAMP)
SOME = 12  # faults that numpy solves
COMPLAINTS = {"farm-double": "stop-feed", "depot-double": "stop-white"}
ISOLATED = (StateKind.DEAD, StateKind.DEAD_SWUNG, StateKind.TUGGED, *LIFTED)
TINY = 1e-12  # S from every node to 0 V, or a floating piece has no solution at all


def assembled(network: Network, word: int) -> tuple[np.ndarray, np.ndarray]:
    """The conductance matrix and what the sources drive, without 0 V."""
    count = len(network.nodes)
    matrix, driven = np.zeros((count, count)), np.zeros(count)
    for part in network.parts.values():
        if part.bit is not None and not word >> part.bit & 1:
            continue
        a, b, g = network.index[part.a], network.index[part.b], part.conductance
        matrix[a, a] += g
        matrix[b, b] += g
        matrix[a, b] -= g
        matrix[b, a] -= g
        driven[a] += g * part.volts
        driven[b] -= g * part.volts
    matrix[np.diag_indices(count)] += TINY
    return matrix[1:, 1:], driven[1:]


def word_of(harness: Harness, look: Observation) -> int:
    dead = look.state.kind in ISOLATED
    return harness.word_dead() if dead else harness.word_at_rest()


def re_solved(harness: Harness, looks: list[Observation]) -> None:
    """Every look a solve of its own."""
    for look in looks:
        matrix, driven = assembled(harness._network, word_of(harness, look))
        if look.how is How.OHMS:
            driven = np.zeros(len(driven))
            for point, sign in ((look.a, 1.0), (look.b, -1.0)):
                node = harness._network.index[point]
                if node:
                    driven[node - 1] += sign
        np.linalg.solve(matrix, driven)


def once_a_state(harness: Harness, looks: list[Observation]) -> None:
    """One matrix for each state; its inverse for the ohms."""
    for state, rows in groupby(looks, key=lambda look: look.state):
        first = next(rows)
        matrix, driven = assembled(harness._network, word_of(harness, first))
        if state.kind in ISOLATED:
            np.linalg.inv(matrix)
        else:
            np.linalg.solve(matrix, driven)


def numpy_seconds(table: Table, faults: list[Fault]) -> tuple[float, float]:
    """Processor seconds for one fault, either way."""
    harness = Harness(table.setup.site.wiring)
    looks = [look for look in table.looks if look.how in ELECTRICAL]
    spent = [0.0, 0.0]
    for fault in faults:
        inject(harness, fault)
        for n, act in enumerate((re_solved, once_a_state)):
            start = time.process_time()
            act(harness, looks)
            spent[n] += time.process_time() - start
        mend(harness, fault)
    return spent[0] / len(faults), spent[1] / len(faults)


def report(name: str) -> None:
    setup = Setup(job=name, site=load_site(name))
    Stand(setup)  # tables read, rooms loaded
    best = float("inf")
    for _ in range(3):
        start = time.process_time()
        table = build(setup)
        best = min(best, time.process_time() - start)
    faults, looks = len(table.faults), len(table.looks)
    print(
        f"{name}: {faults} faults x {looks} looks = {faults * looks:,} readings, "
        f"{len(table.classes)} classes: table in {best:.2f} s ({best / faults * 1e3:.2f} ms a fault)"
    )
    some = list(table.faults[:: -(-faults // SOME)])
    slow, once = numpy_seconds(table, some)
    print(
        f"  numpy, {len(some)} of the faults: re-solved {slow * 1e3:.0f} ms a fault "
        f"({slow * faults / best:.0f} x ours), once a state {once * 1e3:.1f} ms a fault "
        f"({once * faults / best:.1f} x ours; it settles no relay, asks no board, jogs no leaf)"
    )
    suspect = table.suspect(Fault(FaultKind.PARTED_WIRE, COMPLAINTS[name]))
    everything = tuple(range(1, faults + 1))
    for title, suspects in (("STOP is open", fault_set(table, suspect)), ("no complaint at all", everything)):
        start = time.process_time()
        stated = par(table, suspects)
        took = time.process_time() - start
        start = time.process_time()
        next_look(table, suspects)
        hint = time.process_time() - start
        print(
            f"  {title}, {len(suspects)} suspects: par {stated.seconds:.0f} s, "
            f"no plan below {stated.least:.0f} s "
            f"({'the cheapest' if stated.proven else f'within {stated.within:.0%}'}), "
            f"{stated.mending:.0f} s of it mending; found in {took:.2f} s, next look in {hint * 1e3:.0f} ms"
        )


if __name__ == "__main__":
    for site in sys.argv[1:] or COMPLAINTS:
        report(site)
