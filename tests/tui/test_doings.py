"""What hands have just done, in words, where the gate shows nothing of it."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.tui.doings import told


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (do.RemakeWire("lock-black"), "You made lock black good."),
        (do.SetSwitches("inner-sender", "12--"), "You set the switches of inner sender to both 1."),
        (do.Renew("end-open-a"), "You put right: end open a."),
        (do.FitHead("outer-receiver", True), "You fitted a new outer receiver."),
        (do.Operate("call-button", True), ""),
        (do.Turn("inner-sender", 1, 0), ""),
        (do.Probe("volts", "board.COM", "board.STOP"), ""),
    ],
)
def test_only_what_cannot_be_seen_is_told_and_in_the_words_of_the_debrief(action: Action, words: str) -> None:
    assert told(action) == words
