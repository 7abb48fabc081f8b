"""Counting pulses that carry no direction, and the due ticks of the board."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from simgate.board.position import COAST_MS, STRAY, Position
from simgate.board.timers import Timer, Timers
from simgate.board.travel import BUCKETS, bucket, smoothed


def test_pulses_count_in_the_direction_that_is_driven() -> None:
    position = Position()
    position.refer(0)
    position.drive(1)
    position.take(100, 1_000)
    position.drive(-1)
    position.take(130, 2_000)
    assert position.count == 70


def test_coasting_counts_for_as_long_as_pulses_keep_coming() -> None:
    position = Position()
    position.drive(1)
    position.let_go(1_000)
    for raw, tick in ((1, 1_100), (2, 1_300), (3, 1_600)):
        position.take(raw, tick)
    assert position.count == 3


def test_a_leaf_that_moves_long_after_the_drive_let_go_is_no_longer_known() -> None:
    position = Position()
    position.refer(50)
    position.drive(1)
    position.let_go(1_000)
    known = []
    for raw, tick in ((STRAY, 1_001 + COAST_MS), (STRAY + 1, 9_000)):
        position.take(raw, tick)
        known.append(position.known)
    assert known == [True, False]
    assert position.count == 50


def test_opened_since_the_place_was_lost_is_away_from_shut() -> None:
    position = Position()
    position.lose(500)
    assert not position.away(8)
    position.drive(1)
    position.take(520, 100)
    assert position.away(8)
    position.drive(-1)
    position.take(560, 200)  # further back than it came: this may well be shut
    assert not position.away(8)


def test_each_end_of_the_travel_falls_into_an_outer_bucket() -> None:
    assert [bucket(count, 960) for count in (-5, 0, 19, 20, 959, 960, 2_000)] == [
        0, 0, 0, 1, BUCKETS - 1, BUCKETS - 1, BUCKETS - 1,
    ]  # fmt: skip


def test_a_profile_is_never_below_what_was_measured_beside_and_has_no_gaps() -> None:
    assert smoothed([0.0, 1.0, 3.0, 0.0, 2.0]) == (1.0, 3.0, 3.0, 3.0, 3.0)


@given(st.lists(st.floats(0.0, 20.0), min_size=1, max_size=60))
def test_smoothing_only_ever_raises(recorded: list[float]) -> None:
    assert all(after >= before for before, after in zip(recorded, smoothed(recorded), strict=True))


def test_timers_come_due_once_and_earliest_first() -> None:
    timers = Timers()
    timers.set(Timer.PAUSE, 500)
    timers.set(Timer.LAMP, 300)
    assert timers.next() == 300
    assert timers.take(299) == []
    assert timers.take(600) == [Timer.LAMP, Timer.PAUSE]
    assert timers.next() is None


def test_a_timer_that_is_set_again_is_due_only_at_its_new_tick() -> None:
    timers = Timers()
    timers.set(Timer.PAUSE, 500)
    timers.set(Timer.PAUSE, 900)
    assert timers.take(600) == []
    assert timers.due(Timer.PAUSE) == 900
    timers.drop(Timer.PAUSE)
    assert timers.due(Timer.PAUSE) is None
