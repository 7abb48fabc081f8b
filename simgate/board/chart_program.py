"""A mode's table and the common table as one state machine, and that machine as a look-up.

A cell becomes a transition of the `transitions` library; entering a moving condition asks the permit of
that direction first. The look-up is read off the machine's own transitions and never off the tables, so
that there is one thing that says what happens; a test fires both in every condition. It exists for speed:
the prover fires millions of times, and whatever it proves must be what the bench runs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Any, Protocol

from transitions import Machine

from simgate.board.mode_table import AFTER, STOPPED, WAYS, Row, Table
from simgate.board.modes import common
from simgate.board.stimuli import MODE_STIMULI, Condition, Response, Stimulus, Way


class Hands(Protocol):
    """Who is told of the cell that acts, and who answers for a movement."""

    def ask(self, response: Response) -> None:
        """The cell says `response`."""

    def permitted(self, way: Way, turning: bool) -> bool:
        """Whether the gate may move that way now."""


class Gate:
    """The machine's model. Empty: `transitions` drops a trigger whose name the model already has."""

    state: Condition


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the machine: the response, the condition after it, and what it needs.

    way: the direction that must be permitted, None when the cell needs no permit. turning: it is asked for
    in order to leave the other direction. refused: the condition after it when it is not permitted.
    common: the cell is the common table's and not the mode's.
    """

    response: Response
    after: Condition
    way: Way | None
    turning: bool
    refused: Condition
    common: bool


class Program:
    """One mode with the common table, built once; any number of charts may run it.

    machine: what the tables say. cells: the same machine, looked up.
    """

    def __init__(self, table: Table, shared: Mapping[Condition, Row]) -> None:
        rows = {c: {**table.cells[c], **shared[c]} for c in Condition}
        cells = ((c, stimulus, response) for c, row in rows.items() for stimulus, response in row.items())
        self.gate = Gate()
        self.machine = Machine(
            model=self.gate,
            states=Condition,
            initial=Condition.SHUT,
            transitions=[transition for cell in cells for transition in _transitions(*cell)],
            auto_transitions=False,
        )
        self.cells: Mapping[Condition, Mapping[Stimulus, Cell]] = {
            condition: {stimulus: self._cell(condition, stimulus) for stimulus in Stimulus}
            for condition in Condition
        }

    def trigger(self, condition: Condition, stimulus: Stimulus, hands: Hands) -> Condition:
        """The condition after `stimulus`, by the machine itself. For whoever doubts `cells`."""
        self.machine.set_state(condition)
        self.machine.events[stimulus.value].trigger(self.gate, hands)
        return self.gate.state

    def _cell(self, condition: Condition, stimulus: Stimulus) -> Cell:
        """What the machine's transitions for one trigger in one state come to."""
        transitions: list[Any] = self.machine.events[stimulus.value].transitions[condition.name]
        first, *others = transitions
        (response,) = first.prepare[0].args
        way, turning = first.conditions[0].func.args if first.conditions else (None, False)
        return Cell(
            response=response,
            after=self._after(first, condition),
            way=way,
            turning=turning,
            refused=self._after(others[0], condition) if others else condition,
            common=stimulus not in MODE_STIMULI,
        )

    def _after(self, transition: Any, condition: Condition) -> Condition:
        return Condition[transition.dest] if transition.dest is not None else condition


@lru_cache(maxsize=64)
def program(table: Table, part: bool, uses: tuple[tuple[str, str], ...]) -> Program:
    """A mode with or without part opening, under these choices; one for all boards that make them."""
    return Program(table if part else table.without_part(), common().when(dict(uses)))


def _transitions(condition: Condition, stimulus: Stimulus, response: Response) -> list[dict[str, Any]]:
    """One cell as transitions; the second, if any, is what happens when the first is refused."""
    after = AFTER[response][condition]
    cell: dict[str, Any] = {
        "trigger": stimulus.value,
        "source": condition,
        "dest": None if after is condition else after,
        "prepare": partial(_ask, response),
    }
    if after not in WAYS or after is condition:
        return [cell]
    # who shuts may turn round though a guard forbids to open; who opens or waits sets off anew
    turning = response is Response.REVERSE and condition is Condition.CLOSING
    cell["conditions"] = partial(_permitted, WAYS[after], turning)
    if response is not Response.REVERSE:
        return [cell]
    return [cell, {"trigger": stimulus.value, "source": condition, "dest": STOPPED[condition]}]


def _ask(response: Response, hands: Hands) -> None:
    hands.ask(response)


def _permitted(way: Way, turning: bool, hands: Hands) -> bool:
    return hands.permitted(way, turning)
