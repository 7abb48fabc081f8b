"""A round of the mode card: what will the gate do? Asked before each cell acts; then the gate does it.

It covers every cell that the learner has not yet shown to know and that hands can bring about, the nearest
first. It only asks, proposes moves and reads records; whoever runs it does the moves at the bench, as actions
on the tape like any other, so that a rehearsal with a round in it replays like one without.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum

from simgate.bench.record import ScanRecord, Snapshot
from simgate.board.signals import Acted
from simgate.board.stimuli import Response
from simgate.practice.moves import Cell, Move
from simgate.practice.outcomes import Outcome, Outcomes
from simgate.practice.round_words import Question, alike, explained, question
from simgate.practice.ways import Ways

TRIES = 3  # ways to a cell that came to nothing, after which it is left out


class Mark(Enum):
    """How a cell stands on the map."""

    KNOWN = "known"
    MISSED = "answered wrongly"
    UNKNOWN = "not asked yet"
    NOT_ASKED = "not to be brought about here"


@dataclass(frozen=True, slots=True)
class Proposal:
    """What is to be done next. asked: the question to put first; None when the move is only on the way."""

    move: Move
    asked: Question | None
    target: Cell


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of an answer. words: the cell as it is. Without an outcome it did not come to it."""

    outcome: Outcome | None
    words: str

    @property
    def right(self) -> bool:
        """Whether it counts as known."""
        return self.outcome is not None and self.outcome.right


class Round:
    """One learner at one gate. `next` proposes, `answer` takes what was picked, `see` judges."""

    def __init__(self, shot: Snapshot, outcomes: Outcomes) -> None:
        self._ways = Ways(shot)
        self._outcomes = outcomes
        self.mode = self._ways.table.title
        self.cells = self._ways.reach(self._ways.stand(shot))
        self._asked: set[Cell] = set()
        self._tries: dict[Cell, int] = {}
        self._pending: tuple[Question, Response] | None = None

    # Which cell -----------------------------------------------------------------------------------

    def marks(self) -> Mapping[Cell, Mark]:
        """How each cell of the card stands."""
        last = self._outcomes.last(self.mode)
        marks = {}
        for condition, row in self._ways.cells.items():
            for stimulus in row:
                cell = Cell(condition, stimulus)
                if cell in last:
                    marks[cell] = Mark.KNOWN if last[cell].right else Mark.MISSED
                else:
                    marks[cell] = Mark.UNKNOWN if cell in self.cells else Mark.NOT_ASKED
        return marks

    def known(self) -> int:
        """How many of the cells of the round are known."""
        marks = self.marks()
        return len([cell for cell in self.cells if marks[cell] is Mark.KNOWN])

    def next(self, shot: Snapshot) -> Proposal | None:
        """The move towards the nearest cell that is not known; None when there is none left.

        What was answered wrongly comes again when everything else has been asked.
        """
        marks = self.marks()
        open_cells = {
            cell for cell in self.cells if marks[cell] is not Mark.KNOWN and self._tries.get(cell, 0) < TRIES
        }
        stand = self._ways.stand(shot)
        for wanted in (open_cells - self._asked, open_cells):
            route = self._ways.find(stand, wanted.__contains__) if wanted else None
            if route is not None:
                last = len(route.moves) == 1
                return Proposal(route.moves[0], question(route.cell) if last else None, route.cell)
        return None

    def question_for(self, move: Move, shot: Snapshot) -> Question | None:
        """What to ask before a move of the learner's own: its first cell that is not known."""
        marks = self.marks()
        for step in self._ways.steps(self._ways.stand(shot), move):
            if not step.refused and marks[step.cell] is not Mark.KNOWN and step.cell in self.cells:
                return question(step.cell)
        return None

    @property
    def ways(self) -> Ways:
        """The table that is walked, and the hands."""
        return self._ways

    # Answers --------------------------------------------------------------------------------------

    def answer(self, asked: Question, choice: Response) -> None:
        """Take an answer; it is judged when the cell has acted."""
        self._pending = (asked, choice)
        self._asked.add(asked.cell)

    @property
    def waiting(self) -> Cell | None:
        """The cell whose answer is not judged yet."""
        return self._pending[0].cell if self._pending else None

    def see(self, records: Iterable[ScanRecord]) -> Verdict | None:
        """Judge what waits, when its cell is among what acted; void when the gate went another way."""
        if self._pending is None:
            return None
        asked, choice = self._pending
        for acted in (acted for record in records for acted in record.acted):
            if Cell(acted.condition, acted.stimulus) == asked.cell:
                self._pending = None
                return self._judged(asked, choice, acted)
            if acted.stimulus is asked.cell.stimulus or acted.after is not asked.cell.condition:
                return self.give_up()
        return None

    def give_up(self) -> Verdict | None:
        """What was asked has not come: nothing is counted, and it may be asked again."""
        if self._pending is None:
            return None
        cell = self._pending[0].cell
        self._pending = None
        self.failed(cell)
        return Verdict(None, "It came otherwise: the gate was no longer there. Not counted.")

    def failed(self, cell: Cell) -> None:
        """A way to `cell` came to nothing."""
        self._tries[cell] = self._tries.get(cell, 0) + 1
        self._asked.discard(cell)

    def _judged(self, asked: Question, choice: Response, acted: Acted) -> Verdict:
        cell = asked.cell
        if acted.refused:
            self.failed(cell)
            return Verdict(None, f"Refused: {acted.refused}. Not counted.")
        right = alike(cell, choice) is alike(cell, acted.response)
        outcome = Outcome(self.mode, cell, choice, acted.response, right, acted.tick)
        self._outcomes.add(outcome)
        return Verdict(outcome, explained(self._ways.table, cell, acted.response))
