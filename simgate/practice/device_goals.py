"""Checks of the line and of remotes: what jobs ask of a roll-call, of beams and of keys that were taught.

The judging alone; the registry in `goals.py` names the checks and their parameters.
"""

from __future__ import annotations

from collections.abc import Mapping

from simgate.bench.actions import Block
from simgate.board.line_table import Guards, address, place_of
from simgate.board.signals import Acted, NoteKind
from simgate.board.stimuli import Condition, Response, Stimulus
from simgate.practice.ending import Ending

Given = Mapping[str, tuple[str, ...]]
Found = tuple[bool, str]  # whether it is met, and why or why not

OPENING = (Condition.OPENING, Condition.PART_OPENING)
BROKEN = {
    Guards.OPENING: ((Stimulus.GUARD_O_BROKEN, OPENING),),
    Guards.CLOSING: ((Stimulus.GUARD_C_BROKEN, (Condition.CLOSING,)),),
    Guards.BOTH: ((Stimulus.GUARD_O_BROKEN, OPENING), (Stimulus.GUARD_C_BROKEN, (Condition.CLOSING,))),
}
"""What a beam guards -> each stimulus it gives, and in which conditions that must be seen to act."""


def roll_call_healthy(ending: Ending, given: Given) -> Found:
    """The roll-call was done, every head that is fitted is in it, and every beam is clear."""
    line = ending.snapshot.line
    if line is None or not line.enrolled:
        return False, "the roll-call was not done"
    if line.faults:
        return False, f"the line has a fault: {line.faults[0]}"
    fitted = len([head for head in ending.snapshot.heads if head.fitted])
    if line.enrolled != fitted:
        return False, f"{line.enrolled} heads are in the roll-call, {fitted} are fitted"
    unclear = [name for name, word in line.beams if word != "clear"]
    if unclear:
        return False, f"beam {unclear[0]} is not clear"
    return True, "every head on the line is in the roll-call, and every beam is clear"


def line_role_shown(ending: Ending, given: Given) -> Found:
    """A beam of that role was broken by hand while the gate moved that way, and the gate acted on it."""
    role = Guards(given["role"][0])
    for stimulus, conditions in BROKEN[role]:
        if not any(_shows(ending, acted, role, stimulus, conditions) for acted in ending.acted()):
            way = "opens" if stimulus is Stimulus.GUARD_O_BROKEN else "shuts"
            return False, f"no beam that guards {role.value} was broken while the gate {way}"
    return True, f"a beam that guards {role.value} was broken while the gate moved, and the gate acted on it"


def _shows(
    ending: Ending, acted: Acted, role: Guards, stimulus: Stimulus, conditions: tuple[Condition, ...]
) -> bool:
    right = acted.stimulus is stimulus and acted.condition in conditions
    return right and acted.response is not Response.IGNORE and _blocked(ending, acted.tick, role)


def _blocked(ending: Ending, tick: int, role: Guards) -> bool:
    """Whether a line beam of that role was blocked by hand at `tick`."""
    beams = {head.beam for head in ending.snapshot.heads if address(place_of(head.switches)).guards is role}
    blocked: dict[str, bool] = {}
    for at, action in ending.actions(Block):
        if isinstance(action, Block) and at <= tick and action.beam in beams:
            blocked[action.beam] = action.blocked
    return any(blocked.values())


def key_taught(ending: Ending, given: Given) -> Found:
    """The board knows that key of that remote, for that call."""
    (name,), (key,), (call,) = given["remote"], given["key"], given["call"]
    serial = _serial(ending, name)
    for known, number, use in ending.snapshot.taught:
        if (known, number) == (serial, int(key)):
            return use == call, f"key {key} of {_words(name)} is taught for: {use}"
    return False, f"key {key} of {_words(name)} is not taught"


def remote_erased(ending: Ending, given: Given) -> Found:
    """The board knows no key of that remote."""
    (name,) = given["remote"]
    serial = _serial(ending, name)
    keys = [str(number) for known, number, _ in ending.snapshot.taught if known == serial]
    if keys:
        return False, f"the board still knows key {' and '.join(keys)} of {_words(name)}"
    erased = any(note.detail.startswith(f"{serial} ") for note in ending.notes(NoteKind.KEY_ERASED))
    return True, f"{_words(name)} {'was erased' if erased else 'is not known to the board'}"


def _serial(ending: Ending, name: str) -> int:
    return next((one.serial for one in ending.snapshot.remotes if one.name == name), -1)


def _words(name: str) -> str:
    return name.replace("-", " ")
