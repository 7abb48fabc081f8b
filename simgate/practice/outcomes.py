"""What came of the questions of a round, at one interface: a keeper in memory now, a logbook later.

A round knows nothing of where its outcomes go; whoever keeps them says what a learner has shown to know.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from simgate.board.stimuli import Response
from simgate.practice.moves import Cell


@dataclass(frozen=True, slots=True)
class Outcome:
    """One answer. mode: title. answer: what was picked. response: what the gate did. tick: ms."""

    mode: str
    cell: Cell
    answer: Response
    response: Response
    right: bool
    tick: int


class Outcomes(Protocol):
    """Where outcomes go, and what is known of a mode's card so far."""

    def add(self, outcome: Outcome) -> None:
        """Keep one more."""

    def last(self, mode: str) -> dict[Cell, Outcome]:
        """The last outcome of each cell that was asked."""


class Memory:
    """Keeps outcomes for as long as the program runs."""

    def __init__(self) -> None:
        self.all: list[Outcome] = []

    def add(self, outcome: Outcome) -> None:
        """Keep one more."""
        self.all.append(outcome)

    def last(self, mode: str) -> dict[Cell, Outcome]:
        """The last outcome of each cell that was asked."""
        return {outcome.cell: outcome for outcome in self.all if outcome.mode == mode}
