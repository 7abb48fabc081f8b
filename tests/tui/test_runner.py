"""Presses that let go by themselves."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench.actions import Action, Operate, PressKey, Release
from simgate.board.stimuli import Key, Task
from simgate.files import UserError
from simgate.tui.runner import WAITING, Runner
from tests.tui.made import CardboardBench, busy, made

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
    assert bench.when == [(0, DOWN), (100, UP), (140, DOWN), (340, UP)]


@pytest.mark.parametrize("pause", [200, 210, 220, 230])
def test_a_touch_right_after_the_end_of_another_waits_until_the_key_was_up_for_a_moment(pause: int) -> None:
    """Five presses a second: up for less than the board's filter, two of them would be one."""
    bench = Noting()
    runner = Runner(bench)
    for _ in range(4):
        runner.touch(DOWN)
        runner.run(pause)
    runner.run(1000)
    ticks = [tick for tick, action in bench.when if action == DOWN]
    ends = [tick for tick, action in bench.when if action == UP]
    assert len(ticks) == len(ends) == 4
    assert all(later - end >= 40 for end, later in zip(ends, ticks[1:], strict=False))


def test_a_key_that_the_terminal_repeats_becomes_presses_that_a_finger_could_make() -> None:
    bench = Noting()
    runner = Runner(bench)
    for _ in range(30):
        runner.touch(DOWN)
        runner.run(30)
    runner.run(1000)
    downs = [tick for tick, action in bench.when if action == DOWN]
    assert 9 <= len(downs) <= 900 // 100 + 1 + WAITING
    assert min(after - before for before, after in pairwise(downs)) >= 100
    assert [action for _, action in bench.when] == [DOWN, UP] * len(downs)
    assert runner.run(1000) == []


def test_keys_typed_in_one_breath_are_pressed_in_their_order() -> None:
    bench = Noting()
    runner = Runner(bench)
    more, on = PressKey(Key.MORE, True), PressKey(Key.NEXT, True)
    for press in (more, more, on, more):
        runner.touch(press)
    runner.run(2000)
    assert [action for _, action in bench.when if isinstance(action, PressKey) and action.down] == [
        more, more, on, more,
    ]  # fmt: skip
    assert bench.snapshot().keys_down == frozenset()


def test_a_key_held_right_after_another_is_held_alone() -> None:
    """The board takes two keys at once for no clear wish; a fast typist must not be told so."""
    bench = Noting()
    runner = Runner(bench)
    more, on = PressKey(Key.MORE, True), PressKey(Key.NEXT, True)
    runner.touch(on)
    runner.run(30)
    runner.act(more)
    runner.run(1000)
    runner.act(PressKey(Key.MORE, False))
    assert bench.when == [
        (0, on), (60, PressKey(Key.NEXT, False)), (100, more), (1030, PressKey(Key.MORE, False)),
    ]  # fmt: skip


def test_a_hold_that_has_not_begun_yet_is_let_go_after_it_has() -> None:
    bench = Noting()
    runner = Runner(bench)
    runner.touch(PressKey(Key.NEXT, True))
    runner.act(DOWN)
    runner.act(UP)
    runner.run(2000)
    assert bench.when[-2:] == [(100, DOWN), (300, UP)]


@given(
    typed=st.lists(
        st.tuples(st.sampled_from(list(Key)), st.integers(min_value=0, max_value=30)), min_size=1, max_size=12
    )
)
@settings(max_examples=40)
def test_however_keys_are_typed_none_stays_down_and_none_is_pressed_twice_at_once(
    typed: list[tuple[Key, int]],
) -> None:
    bench = Noting()
    runner = Runner(bench)
    for key, scans in typed:
        runner.touch(PressKey(key, True))
        runner.run(scans * 10)
    runner.run(1000)
    for key in Key:
        ways = [action.down for _, action in bench.when if isinstance(action, PressKey) and action.key is key]
        assert ways == [True, False] * (len(ways) // 2)


def test_a_gate_at_rest_waits_for_hands_and_a_pressed_key_is_on_its_way() -> None:
    runner = Runner(Noting())
    assert runner.waits_for_hands()
    runner.touch(DOWN)
    assert not runner.waits_for_hands()
    runner.run(1000)
    assert runner.waits_for_hands()
    assert not Runner(CardboardBench(busy())).waits_for_hands()
    assert not Runner(CardboardBench(replace(made(), pause_left=2000))).waits_for_hands()
    assert not Runner(CardboardBench(replace(made(), task=Task.LEARN))).waits_for_hands()


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
