"""What the drive reports, in the words of the logic and of the display.

Each line says only what the board can honestly know from count, current and END switches: 'met something'
and not 'a person', 'no pulses' and not 'the wire is parted'.
"""

from __future__ import annotations

from collections.abc import Mapping

from simgate.board.arrival import Event
from simgate.board.drive import Drive
from simgate.board.stimuli import ENDS, Stimulus

HAPPENINGS: Mapping[Event, tuple[Stimulus, str]] = {
    Event.ARRIVED: (Stimulus.ARRIVED, ""),
    Event.BLOCKED: (Stimulus.OBSTACLE, "Leaf {0} met something"),
    Event.HELD: (Stimulus.OBSTACLE, "Motor {0} turns nothing: full current"),
    Event.DEAD: (Stimulus.FAULT, "No current to motor {0}"),
    Event.DEAF: (Stimulus.FAULT, "{1}"),
    Event.LATE: (Stimulus.FAULT, "Leaf {0} took too long"),
    Event.WRONG_END: (Stimulus.FAULT, "Leaf {0} turns the wrong way, or END wires swapped"),
    Event.BOTH_ENDS: (Stimulus.FAULT, "{2} and {3} act at once: wires or contacts"),
    Event.EARLY_END: (Stimulus.FAULT, "An END switch of leaf {0} acts far from its end"),
    Event.PAST_END: (Stimulus.FAULT, "Leaf {0} is past its end: END switch did not act"),
}
"""What the drive reports -> what it is to the logic, and what the display says of it."""

MET_ONE_OF_BOTH = "Leaf {0} met a stop or a body"  # BLOCKED, of a leaf that may be anywhere


def told(event: Event, drive: Drive) -> tuple[Stimulus, str]:
    """What `event` is to the logic, and its words for the leaf that it came from."""
    stimulus, words = HAPPENINGS[event]
    if event is Event.BLOCKED and drive.astray:
        words = MET_ONE_OF_BOTH
    return stimulus, words_for(event, drive, words)


def words_for(event: Event, drive: Drive, words: str) -> str:
    """`words` with what they leave open filled in: the leaf, what is not heard, its END terminals."""
    name = drive.fault_name
    ends = (end.value for end in ENDS[drive.at_fault])
    return words.format(name, drive.counter.deaf.format(name), *ends)
