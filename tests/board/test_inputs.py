"""Thresholds, filter and bounce at the board's input terminals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.board.guards import Guards, Uses
from simgate.board.inputs import Inputs, level
from simgate.board.stimuli import INPUTS, Input, Way

HEALTHY = (24.0, 24.0, 24.0, 0.0, 0.0)
CALLED = (24.0, 24.0, 24.0, 24.0, 0.0)


def started(volts: tuple[float, ...] = HEALTHY) -> Inputs:
    inputs = Inputs()
    inputs.start(volts)
    return inputs


@pytest.mark.parametrize(("volts", "was_off", "was_on"), [
    (24.0, True, True), (15.0, True, True), (14.9, False, True),
    (5.1, False, True), (5.0, False, False), (0.0, False, False),
])  # fmt: skip
def test_thresholds_are_those_of_iec_61131_2_type_1(volts: float, was_off: bool, was_on: bool) -> None:
    """On from 15 V, off up to 5 V, between them as before. Source: IEC 61131-2 type 1, from memory."""
    assert level(volts, False) is was_off
    assert level(volts, True) is was_on


def test_a_change_counts_once_it_has_lasted_the_filter_time() -> None:
    inputs = started()
    assert inputs.read(CALLED, 100, 40) == []
    assert inputs.due == 140
    assert inputs.read(CALLED, 130, 40) == []
    assert inputs.read(CALLED, 140, 40) == [(Input.CALL, True)]
    assert inputs.made == (True, True, True, True, False)
    assert inputs.due is None


def test_a_bouncing_contact_is_one_call() -> None:
    inputs = started()
    changes = [
        change
        for tick in range(100, 300, 10)
        for change in inputs.read(CALLED if tick > 150 or tick % 20 else HEALTHY, tick, 40)
    ]
    assert changes == [(Input.CALL, True)]


def test_a_parted_stop_wire_reads_as_open() -> None:
    inputs = started()
    inputs.read((0.0, *HEALTHY[1:]), 100, 20)
    assert inputs.read((0.0, *HEALTHY[1:]), 120, 20) == [(Input.STOP, False)]


def test_a_call_that_is_made_when_power_comes_is_no_call() -> None:
    inputs = started(CALLED)
    assert inputs.made[3]
    assert inputs.read(CALLED, 1000, 40) == []


def test_two_inputs_that_change_together_are_reported_in_the_order_of_the_terminals() -> None:
    inputs = started()
    inputs.read((0.0, 24.0, 0.0, 24.0, 0.0), 0, 10)
    changes = inputs.read((0.0, 24.0, 0.0, 24.0, 0.0), 10, 10)
    assert changes == [(Input.STOP, False), (Input.GUARD_C, False), (Input.CALL, True)]


@given(
    st.lists(st.tuples(*[st.sampled_from([0.0, 4.0, 10.0, 16.0, 24.0])] * 5), min_size=1, max_size=60),
    st.integers(1, 6),
)
def test_no_input_changes_before_the_filter_time_has_passed_since_it_last_changed(
    history: list[tuple[float, ...]], scans: int
) -> None:
    inputs = started()
    raw = [True, True, True, False, False]
    since = [0] * 5
    for scan, volts in enumerate(history, 1):
        tick = scan * 10
        for index, volt in enumerate(volts):
            now = level(volt, raw[index])
            if now is not raw[index]:
                raw[index], since[index] = now, tick
        for one, now in inputs.read(volts, tick, scans * 10):
            index = INPUTS.index(one)
            assert raw[index] is now
            assert tick - since[index] >= scans * 10


@pytest.mark.parametrize(("use", "made", "opening", "closing"), [
    ("closing", (True, True, True), "", ""),
    ("closing", (False, False, False), "STOP is open", "STOP is open"),
    ("closing", (True, False, True), "GUARD-O is open", ""),
    ("closing", (True, True, False), "", "GUARD-C is open"),
    ("both", (True, True, False), "GUARD-C is open", "GUARD-C is open"),
    ("both", (True, False, False), "GUARD-O is open", "GUARD-C is open"),
])  # fmt: skip
def test_a_permit_names_the_terminal_that_forbids_the_direction(
    use: str, made: tuple[bool, ...], opening: str, closing: str
) -> None:
    guards = Guards()
    guards.look((*made, False, False), Uses(use))
    assert (guards.permit(Way.OPENING), guards.permit(Way.CLOSING)) == (opening, closing)


def test_before_the_first_look_nothing_is_permitted() -> None:
    assert all(Guards().permit(way) for way in Way)
