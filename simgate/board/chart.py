"""The chart: a mode's table and the common table at work, behind one typed door.

A movement that is not permitted is refused, with the reason, and leaves the condition as it was, except
that a reversal which may not happen becomes a stop: the gate was asked to leave its direction.
No other file may change a condition because of a stimulus, and this one drives nothing.
"""

from __future__ import annotations

from collections.abc import Callable

from simgate.board.chart_program import Program
from simgate.board.signals import Acted
from simgate.board.stimuli import Condition, Stimulus, Way

Permit = Callable[[Way, bool], str]


class Chart:
    """One gate under one program. `permit(way, turning)` gives the reason why not, or ''.

    condition: what the gate is doing. calls: how often it was fired, to show that it is not run every
    scan. last: the cell that acted last.
    """

    __slots__ = ("_cells", "_permit", "calls", "condition", "last", "program")

    def __init__(self, program: Program, permit: Permit, at: Condition = Condition.SHUT) -> None:
        self.program = program
        self.condition = at
        self.calls = 0
        self.last: Acted | None = None
        self._cells = program.cells
        self._permit = permit

    def put(self, condition: Condition) -> None:
        """Set the condition outright: power-up, the end of a learn cycle or of a jog."""
        self.condition = condition

    def fire(self, stimulus: Stimulus, tick: int) -> Acted:
        """Let `stimulus` act at `tick` ms; returns the cell that acted and what came of it."""
        self.calls += 1
        before = self.condition
        cell = self._cells[before][stimulus]
        refused = self._permit(cell.way, cell.turning) if cell.way is not None else ""
        self.condition = after = cell.refused if refused else cell.after
        self.last = Acted(tick, before, stimulus, cell.response, after, cell.common, refused)
        return self.last
