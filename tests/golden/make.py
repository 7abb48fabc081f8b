"""Makes the golden tapes anew: `python -m tests.golden.make` from the repository's root.

Only after a change that is meant to alter runs; the tests replay what stands here, so a tape made anew
without a reason would hide that a run came out differently.
"""

from __future__ import annotations

from pathlib import Path

from simgate.bench.actions import HandOver
from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter
from simgate.practice.job import load_job
from simgate.practice.marks import mark
from tests.golden.hands import Person
from tests.golden.runs import TAPES
from tests.golden.scripts import SCRIPTS


def record(name: str, path: Path) -> Bench:
    """Work through the job by its script, writing the tape at `path`."""
    job = load_job(name)
    bench = job.bench(TapeWriter(path, job.setup()))
    SCRIPTS[name](Person(bench))
    bench.act(HandOver())
    return bench


def main() -> None:
    """Write every tape and print what its run is worth."""
    for name in SCRIPTS:
        path = TAPES / f"{name}.tape"
        path.unlink(missing_ok=True)
        bench = record(name, path)
        print(f"{name:<22} {mark(load_job(name), bench).total} marks, {bench.tick} ms, {bench.digest()}")


if __name__ == "__main__":
    main()
