"""Wall time to simulated time."""

from __future__ import annotations

from simgate.tui.pacer import FARTHEST_AHEAD, Pacer


class Wall:
    """A wall clock that is set by hand."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def test_simulated_time_keeps_up_with_the_wall_in_whole_scans() -> None:
    wall = Wall()
    pacer = Pacer(wall)
    total = 0
    for _ in range(300):
        wall.now += 1 / 30
        due = pacer.due()
        assert due % 10 == 0
        total += due
    assert 9990 <= total <= 10_000


def test_faster_goes_by_four_to_sixteen_and_no_further() -> None:
    wall = Wall()
    pacer = Pacer(wall)
    seen = [pacer.speed]
    for _ in range(3):
        pacer.change(1)
        seen.append(pacer.speed)
    assert seen == [1, 4, 16, 16]
    wall.now += 0.125
    assert pacer.due() == 2000
    for _ in range(3):
        pacer.change(-1)
    assert pacer.speed == 1


def test_nothing_is_owed_for_a_pause() -> None:
    wall = Wall()
    pacer = Pacer(wall)
    pacer.paused = True
    wall.now += 5
    assert pacer.due() == 0
    assert pacer.caption == "paused"
    pacer.paused = False
    wall.now += 0.03125
    assert pacer.due() == 30


def test_a_machine_that_slept_does_not_leap() -> None:
    wall = Wall()
    pacer = Pacer(wall)
    wall.now += 3600
    assert pacer.due() == 250


def test_a_hand_is_answered_ahead_of_the_wall_and_time_keeps_its_pace() -> None:
    wall = Wall()
    pacer = Pacer(wall)
    total = 0
    for frame in range(300):
        wall.now += 1 / 30
        total += pacer.due()
        if frame % 3 == 0:
            total += pacer.ahead()
    wall.now += FARTHEST_AHEAD / 1000
    total += pacer.due()
    assert 10_000 <= total <= 10_000 + FARTHEST_AHEAD


def test_a_storm_of_keys_does_not_run_away_from_the_wall() -> None:
    pacer = Pacer(Wall())
    assert sum(pacer.ahead() for _ in range(1000)) == FARTHEST_AHEAD


def test_while_time_is_paused_nothing_runs_ahead() -> None:
    pacer = Pacer(Wall())
    pacer.paused = True
    assert pacer.ahead() == 0
