"""Wall time to simulated time."""

from __future__ import annotations

from simgate.tui.pacer import Pacer


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
