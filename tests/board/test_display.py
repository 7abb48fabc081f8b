"""The gate's own display: plain words, two lines, the one thing that a person has to know."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.board.display import WIDTH, fit, forbidden, lines, spread
from simgate.board.stimuli import Condition, Input, Task


def test_a_gate_at_rest_says_what_it_is_ready_for() -> None:
    assert lines(Condition.SHUT, mode="Latch") == ("Gate shut", "Ready: Latch")


def test_a_moving_gate_says_only_what_it_does() -> None:
    assert lines(Condition.OPENING, mode="Latch") == ("Opening", "")
    assert lines(Condition.CLOSING, mode="Latch") == ("Shutting", "")


def test_an_open_gate_counts_its_pause() -> None:
    assert lines(Condition.OPEN, mode="Self-close", pause_left=12) == ("Open", "Shuts in 12 s")


def test_a_parted_stop_is_named() -> None:
    words = forbidden({Input.STOP: "STOP is open", Input.GUARD_C: "GUARD-C is open"})
    assert lines(Condition.STOPPED_OPENING, mode="Latch", cause=words) == ("Stopped", "STOP is open")


def test_a_parted_guard_says_what_it_forbids() -> None:
    words = forbidden({Input.GUARD_C: "GUARD-C is open"})
    assert lines(Condition.SHUT, mode="Latch", cause=words) == ("Gate shut", "GUARD-C open: will not shut")
    assert forbidden({Input.GUARD_O: ""}) == "GUARD-O open: will not open"
    assert forbidden({Input.GUARD_C: "", Input.GUARD_O: ""}) == "GUARD-O and GUARD-C are open"
    assert forbidden({}) == ""


@pytest.mark.parametrize("state", ["pressed", "broken"])
@pytest.mark.parametrize(("use", "what"), [("closing", "shut"), ("opening", "open"), ("both", "move")])
def test_an_edge_that_is_amiss_says_how_and_what_it_forbids(state: str, use: str, what: str) -> None:
    words = forbidden({Input.EDGE: f"EDGE is {state}"}, use)
    assert words == f"EDGE {state}: will not {what}"
    assert len(words) <= WIDTH


def test_a_stale_learn_says_what_changed() -> None:
    assert lines(Condition.SHUT, mode="Latch", stale="force") == ("Gate shut", "Learn again: force changed")


def test_a_board_that_has_learned_nothing_says_what_to_do_first() -> None:
    assert lines(Condition.SHUT, mode="Latch", learned=False) == ("Not learned", "Jog, then learn cycle")


def test_a_cause_comes_before_the_advice_to_learn() -> None:
    shown = lines(Condition.SHUT, mode="Latch", learned=False, cause="STOP is open")
    assert shown == ("Not learned", "STOP is open")


def test_a_board_that_lost_the_leaves_says_so() -> None:
    assert lines(Condition.STOPPED_OPENING, mode="Latch", known=False) == (
        "Stopped",
        "Place not known: moves slowly",
    )


def test_the_learn_cycle_shows_its_step() -> None:
    shown = lines(Condition.SHUT, mode="Latch", task=Task.LEARN, cause="Leaf A opens", learned=False)
    assert shown == ("Learn cycle", "Leaf A opens")


def test_long_words_take_both_lines() -> None:
    assert spread("Learn cycle", "no current on leaf A: look at the wires of its motor") == (
        "no current on leaf A: look at",
        "the wires of its motor",
    )


def test_blank_words_leave_the_heading() -> None:
    assert spread("Learn cycle", " " * 40) == ("Learn cycle", "")


def test_words_past_the_second_line_are_seen_to_be_cut() -> None:
    first, second = spread("Learn cycle", "word " * 30)
    assert len(first) <= WIDTH
    assert second.endswith("…")


@pytest.mark.parametrize("text", ["x" * WIDTH, "x" * (WIDTH + 1)])
def test_a_line_is_cut_only_when_it_is_too_long(text: str) -> None:
    assert (fit(text) == text) is (len(text) <= WIDTH)
    assert len(fit(text)) == WIDTH


@given(
    st.sampled_from(Condition),
    st.text(max_size=60),
    st.sampled_from(Task),
    st.text(max_size=120),
    st.booleans(),
    st.sampled_from(["", "force", "slow length"]),
    st.integers(0, 240),
    st.booleans(),
)
def test_no_line_is_ever_longer_than_the_display(
    condition: Condition,
    mode: str,
    task: Task,
    cause: str,
    learned: bool,
    stale: str,
    pause: int,
    known: bool,
) -> None:
    shown = lines(
        condition,
        mode=mode,
        task=task,
        cause=cause,
        learned=learned,
        stale=stale,
        pause_left=pause,
        known=known,
    )
    assert all(len(line) <= WIDTH for line in shown)
    assert shown[0]
