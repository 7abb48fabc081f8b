"""Running a tape again: the same setup and the same actions at the same ticks end in the same digest.

Replay, re-marking and going on with a run left open are this one function; anything else that rebuilt a run
would drift from it.
"""

from __future__ import annotations

from pathlib import Path

from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.tape import Tape, TapeWriter
from simgate.files import Problem, UserError


def replay(tape: Tape, setup: Setup) -> Bench:
    """The bench as the tape left it.

    Raises UserError when the tape was made on another setup, begins before a run does, or holds what
    hands could not do, naming the line.
    """
    same_job(tape, setup)
    bench = Bench(setup)
    if tape.actions and tape.actions[0][0] < bench.tick:
        found = f"an action at {tape.actions[0][0]} ms"
        raise UserError(Problem("tape", "t", found, f"{bench.tick} ms, when a run begins, or later", 2))
    lines = tape.lines or range(2, 2 + len(tape.actions))
    for line, (tick, action) in zip(lines, tape.actions, strict=True):
        bench.run(tick - bench.tick)
        try:
            bench.act(action)
        except UserError as error:
            problems = [Problem("tape", one.where, one.found, one.allowed, line) for one in error.problems]
            raise UserError(problems) from None
    bench.run(tape.last - bench.tick)
    return bench


def same_job(tape: Tape, setup: Setup) -> None:
    """Raises UserError when the tape was made on another setup: its job or site was edited since."""
    if tape.head.setup != setup.fingerprint():
        found = f"a tape of another version of the job '{tape.head.job}' ({tape.head.setup})"
        raise UserError(
            Problem("tape", "setup", found, f"the job or site as it is now ({setup.fingerprint()})", 1)
        )


def go_on(path: Path, tape: Tape, setup: Setup) -> Bench:
    """The bench as `tape`, read from `path`, left it, writing on to the same file.

    A run that was handed over but could not write its end is ended now. Raises UserError as `replay` does,
    and when the run is over, goes on in another window, or the file cannot be written.
    """
    writer = TapeWriter.going_on(path, tape)
    try:
        bench = replay(tape, setup)
    except UserError:
        writer.close()
        raise
    bench.tape = writer
    if bench.finished:
        writer.end(bench.tick, bench.digest())
    return bench
