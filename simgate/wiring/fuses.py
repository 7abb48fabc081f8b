"""When a fuse blows: what each one carries beside what it is rated for.

A fuse that stood a dead short for ever would teach that a wrong link costs nothing.

Simplification. A fuse blows at once above twice its rating and never below. Real ones take their time, the
less the more the current: gG links (IEC 60269, from memory) stand 1.25 times their rating for an hour and
blow within one at 1.6 times, small ones of a few ampere at 1.9 to 2.1 times; miniature ones (IEC 60127,
from memory) blow at 2.1 times within minutes. An overload between is left out, for no fault here makes
one. Of several fuses in one way only the most overloaded blows, since it is the first to do so (selectivity).

Simplification. What a bridge takes from its supply is the average over a switching period: its duty times
the motor's current. For the rest of the period that current circulates in the lower switches, so a motor
that is braked (duty 0) loads no fuse, however hard a leaf is pushed; one that is driven back feeds the other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from simgate.wiring import build
from simgate.wiring.network import Solution
from simgate.wiring.spec import WiringSpec
from simgate.wiring.tables import board_copper

BLOWS_AT = 2.0  # times the rating


@dataclass(frozen=True, slots=True)
class Fuse:
    """A fuse. rating: A. branches: what it carries of the supply. feeds: it can carry the bridges as well."""

    name: str
    rating: float
    branches: tuple[str, ...]
    feeds: bool


def fuses(spec: WiringSpec) -> tuple[Fuse, ...]:
    """The fuses of a site."""
    return tuple(_fuse(spec, name) for name in names(spec))


def names(spec: WiringSpec) -> tuple[str, ...]:
    """Names of the fuses of a site; one without a battery has none for it."""
    return tuple(name for name in board_copper().fuses if name != "battery" or spec.supply.battery)


def _fuse(spec: WiringSpec, name: str) -> Fuse:
    own, all_of_it = build.fused_parts(0, name), build.fused_parts(spec.leaves, name)
    return Fuse(name, spec.supply.rating(name), own, len(all_of_it) > len(own))


def standing(fuses: Sequence[Fuse], solution: Solution) -> tuple[float, ...]:
    """A through each fuse, what its bridges draw left out."""
    return tuple(math.fsum(abs(solution.current(branch)) for branch in fuse.branches) for fuse in fuses)


def overloaded(
    fuses: Sequence[Fuse], standing: Sequence[float], bridges: Sequence[float], on_mains: bool = True
) -> str:
    """The fuse that blows: the one furthest above BLOWS_AT times its rating; '' for none.

    standing: as `standing` says. bridges: A that each motor bridge takes from its supply, below zero for one
    that feeds back. on_mains: they come from the mains, else from the battery.
    """
    feeding = "mains" if on_mains else "battery"
    name, worst = "", BLOWS_AT
    drawn = abs(math.fsum(bridges))
    for fuse, amps in zip(fuses, standing, strict=True):
        load = (amps + drawn if fuse.feeds and fuse.name == feeding else amps) / fuse.rating
        if load > worst:
            name, worst = fuse.name, load
    return name
