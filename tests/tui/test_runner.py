"""Presses that let go by themselves."""

from __future__ import annotations

import pytest

from simgate.bench.actions import Action, Operate, PressKey, Release
from simgate.board.stimuli import Key
from simgate.files import UserError
from simgate.tui.runner import Runner
from tests.tui.made import CardboardBench

DOWN, UP = PressKey(Key.KEEP, True), PressKey(Key.KEEP, False)


class Noting(CardboardBench):
    """Notes the tick of each action."""

    def __init__(self) -> None:
        super().__init__()
        self.when: list[tuple[int, Action]] = []

    def act(self, action: Action) -> None:
        super().act(action)
        self.when.append((self.tick, action))


def test_a_touch_lasts_two_tenths_of_simulated_time() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.run(50)
    runner.touch(DOWN)
    runner.run(1000)
    assert bench.when == [(50, DOWN), (250, UP)]


def test_a_hold_lasts_until_it_is_let_go() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.act(DOWN)
    runner.run(2000)
    runner.act(UP)
    assert bench.when == [(0, DOWN), (2000, UP)]


def test_a_short_click_is_made_as_long_as_a_touch() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.act(DOWN)
    runner.run(40)
    runner.act(UP)
    runner.run(500)
    assert bench.when == [(0, DOWN), (200, UP)]


def test_two_touches_in_quick_succession_are_two_presses() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.touch(DOWN)
    runner.run(100)
    runner.touch(DOWN)
    runner.run(1000)
    assert bench.when == [(0, DOWN), (100, UP), (160, DOWN), (360, UP)]


def test_a_key_that_the_terminal_repeats_becomes_presses_that_a_finger_could_make() -> None:
    bench = Noting()
    runner = Runner(bench)
    for _ in range(30):
        runner.touch(DOWN)
        runner.run(30)
    runner.run(1000)
    downs = [tick for tick, action in bench.when if action == DOWN]
    assert 5 <= len(downs) <= 8
    assert [action for _, action in bench.when] == [DOWN, UP] * len(downs)
    assert runner.run(1000) == []


def test_a_hold_takes_over_from_a_touch() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.touch(DOWN)
    runner.act(DOWN)
    runner.run(2000)
    assert (2000, UP) not in bench.when
    runner.act(UP)
    assert bench.when[-1] == (2000, UP)


def test_touches_of_two_buttons_do_not_mix() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.touch(Operate("call-button", True))
    runner.touch(Operate("stop-button", True))
    runner.run(300)
    assert [action for _, action in bench.when[2:]] == [
        Operate("call-button", False),
        Operate("stop-button", False),
    ]


def test_on_to_the_next_thing_does_not_run_past_letting_go() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.touch(DOWN)
    for _ in range(3):
        runner.run_to_next()
    assert (200, UP) in bench.when


def test_a_refused_press_is_not_let_go_later() -> None:
    class Refusing(Noting):
        def act(self, action: Action) -> None:
            if action == DOWN:
                raise UserError(())
            super().act(action)

    bench = Refusing()
    runner = Runner(bench)
    with pytest.raises(UserError):
        runner.touch(DOWN)
    runner.run(1000)
    assert bench.when == []


def test_other_actions_go_straight_through() -> None:
    bench = Noting()
    Runner(bench).act(Release("A", True))
    assert bench.when == [(0, Release("A", True))]
