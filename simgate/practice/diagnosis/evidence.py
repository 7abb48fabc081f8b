"""What was seen in a finding, as values: each thing with the work that had been done by then.

Whether a set of faults fits is asked of these, one by one, long after they were seen (`inquiry.py`).
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.bench import actions as a
from simgate.practice.diagnosis.costs import Tolerance, costs
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.observation import HOWS
from simgate.practice.diagnosis.worlds import World

Work = a.Action | str  # something that hands did, or what is put right, named as `table.mend` does


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing that was seen after the work in `done`: looks of the table, on a gate on which nothing was
    left undone; else an instrument (None: display and input lamps) on the copper as that work left it.
    """

    done: tuple[Work, ...]
    looks: tuple[int, ...] = ()
    probe: a.Probe | None = None
    mains: bool = True
    worked: tuple[str, ...] = ()


def told(world: World, seen: Seen) -> Reading:
    """What an instrument, or the display, tells in a world as it stands."""
    solution = world.settle(seen.mains, seen.worked)
    return world.shown(solution) if seen.probe is None else world.measured(solution, seen.probe)


def tolerance_in(seen: Seen) -> Tolerance | None:
    """Of that instrument."""
    return None if seen.probe is None else costs().tolerance_of(HOWS[seen.probe.instrument].value)
