"""The chart: a mode's table and the common table as one state machine, behind one typed door.

A cell becomes a transition; entering a moving condition asks the permit of that direction first. A
movement that is not permitted is refused, with the reason, and leaves the condition as it was, except
that a reversal which may not happen becomes a stop: the gate was asked to leave its direction.
No other file may change a condition because of a stimulus, and this one drives nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from transitions import Machine

from simgate.board.modes import AFTER, STOPPED, WAYS, Row, Table
from simgate.board.signals import Acted
from simgate.board.stimuli import MODE_STIMULI, Condition, Response, Stimulus, Way

Permit = Callable[[Way, bool], str]


class _Gate:
    """The machine's model. Empty: `transitions` drops a trigger whose name the model already has."""

    state: Condition


class Chart:
    """One mode with the common table. `permit(way, turning)` gives the reason why not, or ''.

    calls: how often it was fired, to show that it is not run every scan. last: the cell that acted last.
    """

    def __init__(
        self, table: Table, common: Mapping[Condition, Row], permit: Permit, at: Condition = Condition.SHUT
    ) -> None:
        self.calls = 0
        self.last: Acted | None = None
        self._permit = permit
        self._asked = Response.IGNORE
        self._refused = ""
        self._gate = _Gate()
        rows = {c: {**table.cells[c], **common[c]} for c in Condition}
        cells = ((c, stimulus, response) for c, row in rows.items() for stimulus, response in row.items())
        self._machine = Machine(
            model=self._gate,
            states=Condition,
            initial=at,
            transitions=[transition for cell in cells for transition in self._transitions(*cell)],
            auto_transitions=False,
        )

    @property
    def condition(self) -> Condition:
        """What the gate is doing."""
        return self._gate.state

    def put(self, condition: Condition) -> None:
        """Set the condition outright: power-up, the end of a learn cycle or of a jog."""
        self._machine.set_state(condition)

    def fire(self, stimulus: Stimulus, tick: int) -> Acted:
        """Let `stimulus` act at `tick` ms; returns the cell that acted and what came of it."""
        self.calls += 1
        self._refused = ""
        before = self._gate.state
        self._machine.events[stimulus.value].trigger(self._gate)
        common = stimulus not in MODE_STIMULI
        self.last = Acted(tick, before, stimulus, self._asked, self._gate.state, common, self._refused)
        return self.last

    def _transitions(
        self, condition: Condition, stimulus: Stimulus, response: Response
    ) -> list[dict[str, Any]]:
        """One cell as transitions; the second, if any, is what happens when the first is refused."""
        after = AFTER[response][condition]
        cell: dict[str, Any] = {
            "trigger": stimulus.value,
            "source": condition,
            "dest": None if after is condition else after,
            "prepare": partial(self._ask, response),
        }
        if after not in WAYS or after is condition:
            return [cell]
        turning = response is Response.REVERSE
        cell["conditions"] = partial(self._permitted, WAYS[after], turning)
        if not turning:
            return [cell]
        return [cell, {"trigger": stimulus.value, "source": condition, "dest": STOPPED[condition]}]

    def _ask(self, response: Response) -> None:
        self._asked = response

    def _permitted(self, way: Way, turning: bool) -> bool:
        self._refused = self._permit(way, turning)
        return not self._refused
