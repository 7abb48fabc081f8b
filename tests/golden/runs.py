"""The golden tapes run again, once for all tests that look at how they end."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from simgate.bench.replay import replay
from simgate.bench.scan import Bench
from simgate.bench.tape import Tape, read_tape
from simgate.practice.job import load_job

TAPES = Path(__file__).parent / "tapes"


def tape_of(name: str) -> Tape:
    """The golden tape of a job."""
    return read_tape(TAPES / f"{name}.tape")


@cache
def replayed(name: str) -> Bench:
    """The bench at the end of a job's tape. Shared: look, do not touch."""
    return replay(tape_of(name), load_job(name).setup())
