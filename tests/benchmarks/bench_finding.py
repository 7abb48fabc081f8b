"""What somebody waits for who asks a good hand, and for the debrief's fault-finding, on the golden tapes.

Printed, never asserted. Seconds are of the processor (one core). 'first' builds the table of the job's
suspects, 'again' has it; 'after looks' is asked where the tape's looks are done. The debrief has the table.

Run: python tests/benchmarks/bench_finding.py [JOB...]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

from simgate.bench.replay import replay
from simgate.bench.tape import read_tape
from simgate.files import shipped
from simgate.practice.advice import advice
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import asks_for, followed
from simgate.practice.finding_told import told
from simgate.practice.job import load_job

TAPES = Path(__file__).parent.parent / "golden" / "tapes"
JOBS = tuple(name for name in shipped("jobs") if asks_for(load_job(name)))


def ms(work: Callable[[], object]) -> float:
    """Processor time of some work."""
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1e3


def report(name: str) -> None:
    """One job."""
    job = load_job(name)
    setup = job.setup()
    ending = Ending.of(replay(read_tape(TAPES / f"{name}.tape"), setup))
    Stand(setup)  # tables read, rooms loaded
    first = ms(lambda: advice(job, setup, ()))
    again = ms(lambda: advice(job, setup, ()))
    measured = followed(setup, job.complaint, ending.records)
    assert measured is not None
    until = measured.trail.mended or 0
    looked = [record for record in ending.records if record.tick < until]
    after = ms(lambda: advice(job, setup, looked))
    stated = ms(lambda: measured.pars)
    debrief = ms(lambda: told(measured))
    count = len(measured.suspects.first)
    print(
        f"{name:<15} {count:>3} suspects: asked first {first:5.0f} ms, again {again:4.0f} ms, "
        f"after looks {after:4.0f} ms; par {stated:4.0f} ms, the debrief's section {debrief:4.0f} ms"
    )


if __name__ == "__main__":
    for played in sys.argv[1:] or JOBS:
        report(played)
