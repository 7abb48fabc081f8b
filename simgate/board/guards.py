"""Permits: which direction may move, and the word for why not.

Every movement of the board, of a mode, a jog, a learn cycle or a give-way, asks here. If a second file
decided what a guard forbids, a movement of a rarer kind would one day slip past it.
"""

from __future__ import annotations

from collections.abc import Mapping

from simgate.board.stimuli import INPUTS, Input, Stimulus, Way

OWN: Mapping[Way, tuple[Input, ...]] = {
    Way.OPENING: (Input.STOP, Input.GUARD_O),
    Way.CLOSING: (Input.STOP, Input.GUARD_C),
}
"""Direction -> the inputs that must be made whenever a leaf is driven that way, gravest first."""

ALSO: Mapping[str, Mapping[Way, tuple[Input, ...]]] = {
    "closing": {Way.OPENING: (), Way.CLOSING: ()},
    "both": {Way.OPENING: (Input.GUARD_C,), Way.CLOSING: ()},
}
"""Choice of the setting guard-c-use -> what a direction needs beside its own, except to turn round.

A device set for both holds a gate that opens, yet a gate that closes on it must be able to reopen.
"""

EDGES: Mapping[tuple[Input, bool], Stimulus] = {
    (Input.STOP, False): Stimulus.STOP_PARTED,
    (Input.STOP, True): Stimulus.STOP_REMADE,
    (Input.GUARD_O, False): Stimulus.GUARD_O_BROKEN,
    (Input.GUARD_O, True): Stimulus.GUARD_O_CLEAR,
    (Input.GUARD_C, False): Stimulus.GUARD_C_BROKEN,
    (Input.GUARD_C, True): Stimulus.GUARD_C_CLEAR,
    (Input.CALL, True): Stimulus.CALL,
    (Input.CALL, False): Stimulus.CALL_RELEASED,
    (Input.PART, True): Stimulus.PART,
    (Input.PART, False): Stimulus.PART_RELEASED,
}
"""What a change of an input means to the logic. Made is healthy for the first three, called for the rest."""


def parted(made: tuple[bool, ...], inputs: tuple[Input, ...]) -> str:
    """The first of `inputs` that is not made, in words: 'GUARD-C is open'; '' when all are."""
    for one in inputs:
        if not made[INPUTS.index(one)]:
            return f"{one.value} is open"
    return ""


class Guards:
    """The permits as the inputs last stood. Looked at only when an input or its use changed."""

    def __init__(self) -> None:
        self._own = dict.fromkeys(Way, "STOP is open")
        self._also = dict.fromkeys(Way, "")

    def look(self, made: tuple[bool, ...], guard_c_use: str) -> None:
        """Work the permits out again from the filtered inputs, in INPUTS order."""
        self._own = {way: parted(made, OWN[way]) for way in Way}
        self._also = {way: parted(made, ALSO[guard_c_use][way]) for way in Way}

    def permit(self, way: Way, turning: bool = False) -> str:
        """Why movement that way is not permitted, '' when it is. turning: to leave the other direction."""
        return self._own[way] or ("" if turning else self._also[way])
