"""The board's vocabulary: conditions, stimuli, responses, terminals, keys. Nothing else lives here.

Every other file of the board, every mode table, the tape, the marks and the screens speak these
words; a second spelling of any of them would let a table and the chart disagree.
"""

from __future__ import annotations

from enum import Enum


class Word(Enum):
    """One word of it. Members are single objects, so identity is hash enough: Enum's own is a call of Python
    for each look into a table, several in every scan.
    """

    __hash__ = object.__hash__


class Condition(Word):
    """What the gate is doing, as the logic sees it: the rows of a mode card."""

    SHUT = "shut"
    OPENING = "opening"
    PART_OPENING = "part-opening"
    HELD = "held"  # opening, waiting for a guard to clear
    PART_HELD = "part-held"
    OPEN = "open"
    PART_OPEN = "part-open"
    CLOSING = "closing"
    STOPPED_OPENING = "stopped-opening"  # stopped part-way, having last moved open
    STOPPED_CLOSING = "stopped-closing"


class Stimulus(Word):
    """What can happen to the gate: the columns. The first group is a mode's own, the second common."""

    CALL = "call"
    CALL_RELEASED = "call-released"
    PART = "part"
    PART_RELEASED = "part-released"
    ARRIVED = "arrived"  # the movement reached where it was going
    PAUSE_OVER = "pause-over"
    PASSED = "passed"  # something went through: GUARD-C was broken and is clear again

    STOP_PARTED = "stop-parted"
    STOP_REMADE = "stop-remade"
    GUARD_O_BROKEN = "guard-o-broken"
    GUARD_O_CLEAR = "guard-o-clear"
    GUARD_C_BROKEN = "guard-c-broken"
    GUARD_C_CLEAR = "guard-c-clear"
    EDGE_AMISS = "edge-amiss"  # pressed or broken: to what moves, both are the same
    EDGE_HEALTHY = "edge-healthy"
    OBSTACLE = "obstacle"
    FAULT = "fault"  # the board cannot go on: no current, no movement, too long


MODE_STIMULI = (
    Stimulus.CALL,
    Stimulus.CALL_RELEASED,
    Stimulus.PART,
    Stimulus.PART_RELEASED,
    Stimulus.ARRIVED,
    Stimulus.PAUSE_OVER,
    Stimulus.PASSED,
)
COMMON_STIMULI = tuple(stimulus for stimulus in Stimulus if stimulus not in MODE_STIMULI)


class Response(Word):
    """What the logic answers: the cells. IGNORE is written, never implied."""

    OPEN = "open fully"
    OPEN_PART = "open part"
    CLOSE = "close"
    STOP = "stop"
    REVERSE = "reverse"
    HOLD = "hold"
    RESUME = "go on"
    GIVE_WAY = "give way"  # stop and back off a little
    REST = "rest"  # arrived: stay here until called
    START_PAUSE = "start the pause"
    RESTART_PAUSE = "restart the pause"
    CUT_PAUSE = "cut the pause short"
    SHUT_SOON = "shut soon"  # the pause that runs is over after the time set for that
    IGNORE = "ignore"


class Task(Word):
    """What the board is busy with: its mode, or work from the set-up book that suspends the mode."""

    MODE = "mode"
    JOG = "jog"
    LEARN = "learn"


class Way(Word):
    """A direction of movement. The value is the sign of the leaf's speed."""

    OPENING = 1
    CLOSING = -1


class Key(Word):
    """The five keys of the Cabinet."""

    BACK = "back"
    NEXT = "next"
    LESS = "less"
    MORE = "more"
    KEEP = "keep"


class Input(Word):
    """The board's input terminals, in the order in which the copper reports them."""

    STOP = "STOP"
    GUARD_O = "GUARD-O"
    GUARD_C = "GUARD-C"
    CALL = "CALL"
    PART = "PART"
    EDGE = "EDGE"  # made: the edge is healthy; neither pressed nor broken
    END_O_A = "END-O-A"
    END_C_A = "END-C-A"
    END_O_B = "END-O-B"
    END_C_B = "END-C-B"


NORMALLY_CLOSED = (Input.STOP, Input.GUARD_O, Input.GUARD_C)
INPUTS = tuple(Input)
ENDS = ((Input.END_O_A, Input.END_C_A), (Input.END_O_B, Input.END_C_B))  # per leaf: open end, shut end


class Relay(Word):
    """The board's relay outputs; the value is the bit of each in `Outputs.relays`."""

    LAMP = 1
    LOCK = 2
    LIGHT = 4
    TEST = 8  # TEST+ has its supply
