"""The proof of each shipped mode: how long it takes, and how many chart events it goes through a second.

Run: python tests/benchmarks/bench_prove.py
Printed, never asserted. Times are processor seconds of one core; the best of several runs. Events are those
of all edges; the board fires each only once for the states that differ in nothing that it looks at, and the
second figure counts only what it fired.
"""

from __future__ import annotations

import time
from collections.abc import Mapping

from simgate.board.modes import shipped_modes
from simgate.board.prove import Proof, prove
from simgate.board.settings_table import Value

REPEATS = 2
WANTED_S, WANTED_RATE = 5.0, 50_000

SET_UPS: Mapping[str, Mapping[str, Value]] = {
    "as it comes": {},
    "wide": {
        "guard-test": "GUARD-C", "pre-warning": 3.0, "lock-use": "stroke and pulse", "edge-use": "closing",
    },
}  # fmt: skip


def best(title: str, given: Mapping[str, Value]) -> tuple[float, Proof]:
    """Processor s and proof of the quickest run."""
    results = []
    for _ in range(REPEATS):
        started = time.process_time()
        proof = prove(shipped_modes()[title], given)
        results.append((time.process_time() - started, proof))
    return min(results, key=lambda result: result[0])


def main() -> None:
    print(f"wanted: under {WANTED_S:.0f} s for one mode, at least {WANTED_RATE:,} chart events a second")
    for name, given in SET_UPS.items():
        for title in shipped_modes():
            spent, proof = best(title, given)
            print(
                f"{title:<13} {name:<12} {spent:.2f} s, {proof.events / spent:,.0f} chart events a second "
                f"({proof.fired / spent:,.0f} fired) ({proof.states:,} states, {proof.edges:,} edges, "
                f"{proof.scans:,} scans, {'proven' if proof.proven else 'NOT PROVEN'})"
            )


if __name__ == "__main__":
    main()
