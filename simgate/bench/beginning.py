"""How a run begins: the fresh bench brought to where its setup says that it stands.

A board that has learned its gate has really done so: a learn cycle was run on the healthy gate, once for all
runs that begin like it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from simgate.bench.setup import Setup
from simgate.board.board import Board
from simgate.board.learn import Learned
from simgate.board.modes import facts
from simgate.board.radio import Frame, Use
from simgate.board.settings import Settings
from simgate.files import Problem, UserError
from simgate.wiring import faults

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

CAN_LEARN = "a site and settings that can (leaves and sensing as it is fitted out)"
LEARN_LIMIT = 10 * 60_000  # ms; a healthy gate that has not learned by then never will
OF_A_MODE = ("mode", "pause")  # settings that a learn cycle does not meet


def put(bench: Bench, another: Callable[[Setup], Bench]) -> None:
    """Bring the fresh bench to where its setup says that the run begins; `another` learns for it."""
    if bench.setup.learned:
        learned = _learned(another, _healthy(bench.setup))
        bench.board.adopt(replace(learned, settings=tuple(bench.board.settings.values().items())))
    if bench.setup.learned or bench.setup.roll_call:
        bench.board.line.enrolled = bench.line.enrolled(bench.setup.strangers)
    for name, key, use in bench.setup.taught:
        remote = bench.harness.remotes[name]
        spec = remote.spec
        bench.board.radio.teach(Frame(spec.family, spec.serial, key, remote.counter), Use(use))
    for name, stands in bench.setup.heads:
        bench.harness.heads[name].start(stands)
    bench.harness.let_rain(bench.setup.rain)
    for fault in bench.setup.faults:
        faults.inject(bench.harness, fault)
    for leaf, place in zip(bench.plant.leaves, bench.setup.places, strict=False):
        leaf.put(place)
    if bench.plant.lock is not None:
        bench.plant.lock.take_stand()
    bench.take_iron()
    bench.contacts.feel(bench.plant.leaves)


def board(setup: Setup) -> Board:
    """The board of a run, as it comes from the box with what is set before the run."""
    modes = setup.modes()
    return Board(Settings(facts(modes), dict(setup.settings)), modes)


def _healthy(setup: Setup) -> Setup:
    """Jobs on a site share it, whatever their mode: no mode is at work while a board learns."""
    site = setup.site
    settings = tuple((key, value) for key, value in setup.settings if key not in OF_A_MODE)
    return Setup(job=site.name, site=site, settings=settings, roll_call=True)


@lru_cache(maxsize=64)
def _learned(made: Callable[[Setup], Bench], setup: Setup) -> Learned:
    """What the board knows after a real learn cycle on the healthy gate of `setup`, run here and now."""
    bench = made(setup)
    bench.run(1000)
    bench.board.start_learn(bench.tick)
    while not bench.board.learned and bench.tick < LEARN_LIMIT:
        bench.run(1000)
    data = bench.board.learned_data()
    if data is None:
        words = " / ".join(line for line in bench.board.display if line)
        raise UserError(Problem(setup.job, "learned", f"a gate that cannot learn ({words})", CAN_LEARN))
    return data
