"""The proof of each shipped mode: how long it takes, and how many chart events it fires a second.

Run: python tests/benchmarks/bench_prove.py
Printed, never asserted. Times are processor seconds of one core; the best of several runs.
"""

from __future__ import annotations

import time

from simgate.board.modes import shipped_modes
from simgate.board.prove import Proof, prove

REPEATS = 3
WANTED_S, WANTED_RATE = 5.0, 50_000


def best(title: str) -> tuple[float, Proof]:
    """Processor s and proof of the quickest run, with everything set as a board comes."""
    results = []
    for _ in range(REPEATS):
        started = time.process_time()
        proof = prove(shipped_modes()[title])
        results.append((time.process_time() - started, proof))
    return min(results, key=lambda result: result[0])


def main() -> None:
    print(f"wanted: under {WANTED_S:.0f} s for one mode, at least {WANTED_RATE:,} chart events a second")
    for title in shipped_modes():
        spent, proof = best(title)
        print(
            f"{title:<13} {spent:.2f} s, {proof.fired / spent:,.0f} chart events a second "
            f"({proof.states:,} states, {proof.edges:,} edges, {'proven' if proof.proven else 'NOT PROVEN'})"
        )


if __name__ == "__main__":
    main()
