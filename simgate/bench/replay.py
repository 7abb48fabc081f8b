"""Running a tape again: the same setup and the same actions at the same ticks end in the same digest.

Replay, re-marking and a resumed run are this one function; anything else that rebuilt a run would
drift from it.
"""

from __future__ import annotations

from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.tape import Tape, TapeWriter
from simgate.files import Problem, UserError


def replay(tape: Tape, setup: Setup, onto: TapeWriter | None = None) -> Bench:
    """The bench as the tape left it. `onto` is where a resumed run writes what comes after.

    Raises UserError when the tape was made on another setup, or holds what hands could not do.
    """
    if tape.head.setup != setup.fingerprint():
        found = f"a tape of another version of the job '{tape.head.job}' ({tape.head.setup})"
        raise UserError(
            Problem("tape", "setup", found, f"the job or site as it is now ({setup.fingerprint()})")
        )
    bench = Bench(setup)
    for tick, action in tape.actions:
        bench.run(tick - bench.tick)
        bench.act(action)
    bench.run(tape.last - bench.tick)
    bench.tape = onto
    return bench
