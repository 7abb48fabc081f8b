"""What a real board makes of its terminals: the words it shows, whether it jogs, and what it drives then.

One board is switched off and on again for each new picture at its terminals. Pictures that it takes for the
same (same inputs made, same supply, same line) are asked once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from simgate.bench.setup import Setup
from simgate.board.board import Board
from simgate.board.inputs import Band, level
from simgate.board.line import Enrolled, LineHeard
from simgate.board.modes import facts
from simgate.board.settings import Settings
from simgate.board.signals import LEAVES
from simgate.board.stimuli import INPUTS, Input, Relay, Way
from simgate.board.tuning import RATED_AMPERES
from simgate.wiring.harness import Solution

SETTLE, DRIVE, SCAN = 400, 1500, 10  # ms: to settle after power-on, to come to speed, one scan


@dataclass(frozen=True, slots=True)
class Driven:
    """A jog as the board does it. refused: its words, '' when it goes. relays: made meanwhile."""

    refused: str
    duty: float = 0.0
    limit: float = 0.0
    relays: int = 0


@dataclass(frozen=True, slots=True)
class Shown:
    """What the board shows: its two lines, the inputs that it takes as made, and its jogs by leaf."""

    display: tuple[str, str]
    made: tuple[bool, ...]
    jogs: tuple[Driven, ...]


DARK = Shown(("", ""), (False,) * len(INPUTS), ())


class Wits:
    """The board of a setup, not yet learned: it names what it misses all the same."""

    def __init__(self, setup: Setup, enrolled: Enrolled) -> None:
        modes = setup.modes()
        self._board = Board(Settings(facts(modes), dict(setup.settings)), modes)
        self._board.line.enrolled = enrolled
        self._leaves = len(setup.site.plant.leaves)
        self._band = Band.of(self._board.settings)
        self._tick = 0
        self._known: dict[object, Shown] = {}

    def shown(self, solution: Solution, line: LineHeard) -> Shown:
        """What it shows with the copper as solved."""
        if not solution.powered:
            return DARK
        key = (
            tuple(level(volts, False) for volts in solution.inputs),
            self._band.healthy(solution.inputs[INPUTS.index(Input.EDGE)]),
            self._band.pressed(solution.inputs[INPUTS.index(Input.EDGE)]),
            solution.on_mains,
            line,
        )
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._ask(solution, line)
        return found

    @property
    def soft_start(self) -> int:
        """Scans in which it brings a leaf to speed."""
        return round(self._board.settings.number("soft-start") * 1000.0) // SCAN

    def at_most(self, jog: Driven, leaf: int) -> Driven:
        """What it drives that way, its place not known, with slow speed and force set to their most."""
        name = LEAVES[leaf].lower()
        slow, force = (
            float(self._board.settings.setting(key).options[-1]) / 100.0
            for key in (f"slow-speed-{name}", f"force-opening-{name}")
        )
        return replace(jog, duty=math.copysign(slow, jog.duty), limit=force * RATED_AMPERES)

    def _ask(self, solution: Solution, line: LineHeard) -> Shown:
        jogs = []
        display, made = ("", ""), (False,) * len(INPUTS)
        for leaf in range(self._leaves):
            self._restart(solution, line)
            display, made = self._board.display, tuple(self._board.made)
            jogs.append(self._jog(leaf))
        return Shown(display, made, tuple(jogs))

    def _restart(self, solution: Solution, line: LineHeard) -> None:
        board, signals = self._board, self._board.signals
        signals.powered = False
        signals.volts = (0.0,) * len(INPUTS)
        self._run(SCAN)
        signals.volts, signals.powered, signals.line = solution.inputs, True, line
        signals.supply, signals.on_mains = solution.supply, solution.on_mains
        self._run(SETTLE)
        board.happened.clear()

    def _jog(self, leaf: int) -> Driven:
        board = self._board
        refused = board.work.jog(leaf, Way.OPENING, self._tick)
        duty = limit = 0.0
        relays = 0
        if not refused:
            for _ in range(DRIVE // SCAN):
                self._run(SCAN)
                outputs = board.outputs
                relays |= outputs.relays
                if outputs.duty[leaf]:
                    duty, limit = outputs.duty[leaf], outputs.limits[leaf]
            board.work.jog(leaf, None, self._tick)
            if not duty:
                refused = board.display[1]
        board.happened.clear()
        return Driven(refused, duty, limit, relays & ~Relay.TEST.value)

    def _run(self, ms: int) -> None:
        for _ in range(ms // SCAN):
            self._tick += SCAN
            self._board.scan(self._tick)
