"""Two gates under two modes, the same calls to both: what is called out, and what is not."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.board.stimuli import Condition
from simgate.files import UserError
from simgate.practice.pair import Pair, compared
from simgate.practice.rehearse import rehearsal


def press(pair: Pair, device: str) -> None:
    """A light press at both."""
    pair.act(do.Operate(device, True))
    pair.run(200)
    pair.act(do.Operate(device, False))
    pair.run(200)


def words(pair: Pair) -> list[str]:
    """What was called out."""
    return [told for _, told in pair.differences]


def test_a_call_to_a_gate_that_waits_open_is_told_with_what_each_mode_does() -> None:
    pair = compared("self-close", "shared-drive")
    press(pair, "call-button")
    while Condition.OPENING in (pair.bench.board.condition, pair.other.board.condition):
        pair.run(500)
    assert pair.differences == [], "both open, and both begin their pause"
    assert pair.in_words() == "Self-close is open; Shared drive is open"
    press(pair, "call-button")
    pair.run(500)
    assert len(pair.differences) == 1
    told = words(pair)[0]
    assert told.startswith("while open, the call button is pressed: Self-close shuts at once; Shared drive ")
    assert "pause" in told
    assert pair.bench.board.condition is Condition.CLOSING
    assert pair.other.board.condition is Condition.OPEN
    press(pair, "call-button")
    pair.run(500)
    assert "Self-close, shutting, turns round; Shared drive, open, " in words(pair)[1]


def test_what_only_one_gate_does_by_itself_is_told_too() -> None:
    pair = compared("Self-close", "Latch")
    press(pair, "call-button")
    while pair.bench.board.condition is not Condition.CLOSING:
        pair.run(500)
    pair.run(500)
    assert words(pair) == [
        "while opening, the leaves come to the end of their way: "
        "Self-close begins its pause; Latch stays there",
        "the pause is over: Self-close shuts",
    ]


def test_the_same_mode_twice_differs_in_nothing_and_runs_bit_for_bit_alike() -> None:
    pair = compared("Latch", "Latch")
    for device in ("call-button", "stop-post", "part-button", "call-button", "call-button"):
        press(pair, device)
        pair.run(3_000)
    assert pair.differences == []
    assert pair.bench.digest() == pair.other.digest()


def test_each_gate_runs_as_it_would_alone() -> None:
    pair, alone = compared("Latch", "Four-step"), rehearsal("Four-step").bench()
    for device in ("call-button", "call-button", "stop-post"):
        for down in (True, False):
            pair.act(do.Operate(device, down))
            alone.act(do.Operate(device, down))
            pair.run_to_next(700)
            pair.run(50)
            alone.run(pair.tick - alone.tick)
    assert pair.other.digest() == alone.digest()
    assert pair.bench.tick == pair.other.tick


def test_hands_that_could_not_at_one_gate_do_nothing_at_either() -> None:
    pair = compared("Latch", "Self-close")
    before = pair.bench.digest(), pair.other.digest()
    with pytest.raises(UserError):
        pair.act(do.Operate("no-such-button", True))
    pair.other.act(do.Release("A", True))
    pair.other.run(50)
    pair.bench.run(50)
    there = pair.bench.digest()
    with pytest.raises(UserError):
        pair.act(do.Push("A", 100.0))
    assert pair.bench.digest() == there
    assert before[0] != there
