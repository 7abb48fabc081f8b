"""The built machine does what the tables say, cell by cell, and asks before it moves."""

from __future__ import annotations

import pytest

from simgate.board import modes
from simgate.board.chart import Chart
from simgate.board.chart_program import Program
from simgate.board.guards import EDGES
from simgate.board.mode_table import AFTER, STOPPED, WAYS
from simgate.board.stimuli import MODE_STIMULI, Condition, Response, Stimulus, Way

MODES = modes.shipped()
ROWS = [(title, use, c) for title in MODES for use in ("closing", "both") for c in Condition]


def program(title: str, use: str = "closing") -> Program:
    """What a mode with the common table comes to."""
    return Program(MODES[title], modes.common().when({"guard-c-use": use}))


def built(title: str, use: str = "closing", forbidden: str = "") -> Chart:
    """A chart whose permits all answer with `forbidden`."""
    return Chart(program(title, use), lambda *_: forbidden)


CHARTS = {(title, use): built(title, use) for title in MODES for use in ("closing", "both")}


@pytest.mark.parametrize(("title", "use", "condition"), ROWS)
def test_the_machine_answers_every_cell_of_a_row_as_its_table_says(
    title: str, use: str, condition: Condition
) -> None:
    chart = CHARTS[title, use]
    row = {**MODES[title].cells[condition], **modes.common().when({"guard-c-use": use})[condition]}
    assert list(row) == list(Stimulus)
    for stimulus, response in row.items():
        chart.put(condition)
        acted = chart.fire(stimulus, 70)
        assert acted.response is response
        assert acted.after is AFTER[response][condition] is chart.condition
        assert (acted.tick, acted.condition, acted.stimulus, acted.refused) == (70, condition, stimulus, "")
        assert acted.common is (stimulus not in MODE_STIMULI)


@pytest.mark.parametrize("title", sorted(MODES))
def test_a_forbidden_movement_is_refused_with_the_reason_and_changes_nothing(title: str) -> None:
    chart = built(title, forbidden="GUARD-C is open")
    for condition in Condition:
        for stimulus in Stimulus:
            chart.put(condition)
            acted = chart.fire(stimulus, 0)
            wanted = AFTER[acted.response][condition]
            if wanted not in WAYS or wanted is condition:
                assert (acted.after, acted.refused) == (wanted, "")
            elif acted.response is Response.REVERSE:
                assert (acted.after, acted.refused) == (STOPPED[condition], "GUARD-C is open")
            else:
                assert (acted.after, acted.refused) == (condition, "GUARD-C is open")


def test_a_refusal_is_not_remembered_by_the_next_stimulus() -> None:
    reasons = ["STOP is open", ""]
    chart = Chart(program("Latch"), lambda *_: reasons.pop(0))
    assert chart.fire(Stimulus.CALL, 0).refused == "STOP is open"
    assert chart.fire(Stimulus.CALL, 10).refused == ""
    assert chart.condition is Condition.OPENING


def test_the_permit_is_asked_for_the_direction_and_told_when_the_gate_turns_round() -> None:
    asked: list[tuple[Way, bool]] = []
    chart = Chart(
        program("Latch"),
        lambda way, turning: asked.append((way, turning)) or "",  # type: ignore[func-returns-value]
    )
    for stimulus in (Stimulus.CALL, Stimulus.ARRIVED, Stimulus.CALL, Stimulus.GUARD_C_BROKEN):
        chart.fire(stimulus, 0)
    assert asked == [(Way.OPENING, False), (Way.CLOSING, False), (Way.OPENING, True)]


def test_there_is_no_back_door_into_a_condition_and_no_trigger_beside_the_stimuli() -> None:
    built_once = program("Latch")
    gate = built_once.gate
    assert set(built_once.machine.events) == {stimulus.value for stimulus in Stimulus}
    assert not [name for name in dir(gate) if name.startswith("to_")]


def test_every_input_change_has_a_stimulus_and_no_two_share_one() -> None:
    assert len(set(EDGES.values())) == len(EDGES) == 12


class _Asked:
    """Hands of the machine: keeps what it was asked."""

    def __init__(self, forbidden: str) -> None:
        self.forbidden = forbidden
        self.response = Response.IGNORE
        self.permits: list[tuple[Way, bool]] = []

    def ask(self, response: Response) -> None:
        self.response = response

    def permitted(self, way: Way, turning: bool) -> bool:
        self.permits.append((way, turning))
        return not self.forbidden


@pytest.mark.parametrize("part", [True, False])
@pytest.mark.parametrize("edge", ["not fitted", "closing", "opening", "both"])
@pytest.mark.parametrize("title", sorted(MODES))
def test_the_look_up_says_what_the_machine_itself_does_in_every_state_for_every_trigger(
    title: str, edge: str, part: bool
) -> None:
    table = MODES[title] if part else MODES[title].without_part()
    for use in ("closing", "both"):
        one = Program(table, modes.common().when({"guard-c-use": use, "edge-use": edge}))
        for forbidden in ("", "GUARD-C is open"):
            asked: list[tuple[Way, bool]] = []

            def permit(
                way: Way, turning: bool, to: list[tuple[Way, bool]] = asked, why: str = forbidden
            ) -> str:
                to.append((way, turning))
                return why

            chart = Chart(one, permit)
            for condition in Condition:
                for stimulus in Stimulus:
                    hands = _Asked(forbidden)
                    asked.clear()
                    chart.put(condition)
                    acted = chart.fire(stimulus, 0)
                    assert one.trigger(condition, stimulus, hands) is acted.after is chart.condition
                    assert hands.response is acted.response
                    assert hands.permits == asked
                    assert acted.refused == (forbidden if asked else "")
