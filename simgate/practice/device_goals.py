"""Checks of the line and of remotes: what jobs ask of a roll-call, of beams and of keys that were taught.

The judging alone; the registry in `goals.py` names the checks and their parameters.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from simgate.bench.actions import Block, RemoteKey
from simgate.bench.device_view import HeadView
from simgate.bench.light import HALF, lobe
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
    if line is not None and line.faults:  # said first: a roll-call that found nothing fit was done, too
        return False, f"the line has a fault: {line.faults[0]}"
    if line is None or not line.enrolled:
        return False, "the roll-call was not done"
    fitted = len([head for head in ending.snapshot.heads if head.fitted])
    if line.enrolled != fitted:
        return False, f"{line.enrolled} heads are in the roll-call, {fitted} are fitted"
    unclear = [name for name, word in line.beams if word != "clear"]
    if unclear:
        return False, f"beam {unclear[0]} is not clear"
    return True, "every head on the line is in the roll-call, and every beam is clear"


def line_as_meant(ending: Ending, given: Given) -> Found:
    """Every beam of the site has both its heads, and guards what it is meant to guard."""
    heads = {head.name: head for head in ending.snapshot.heads}
    meant = {one.name: one.head for one in ending.setup.site.wiring.devices if one.head is not None}
    for beam in ending.setup.site.line_beams:
        for name in (beam.sender, beam.receiver):
            if not heads[name].fitted:
                return False, f"there is no {_words(name)} in its place"
            guards, should = (_guards(one.switches) for one in (heads[name], meant[name]))
            if guards is not should:
                return False, f"the {_words(name)} is set to guard {_way(guards)}, not {_way(should)}"
    return True, "every beam has both its heads, and guards what it is meant to guard"


def _guards(switches: str) -> Guards:
    return address(place_of(switches)).guards


def _way(guards: Guards) -> str:
    return {Guards.NONE: "nothing", Guards.BOTH: "both ways"}.get(guards, guards.value)


LEAST_AIM = 0.5  # share of its light that a beam may not lose to aim, lens and dirt (this course's own)


def line_aimed(ending: Ending, given: Given) -> Found:
    """No beam has lost more than half its light to aim or a missing lens, and none looks dirty."""
    heads = {head.name: head for head in ending.snapshot.heads}
    for beam in ending.setup.site.line_beams:
        pair = (heads[beam.sender], heads[beam.receiver])
        if not all(head.fitted for head in pair):
            return False, f"the {beam.label} lacks a head"
        if any(head.dirty or not head.lens for head in pair):
            return False, f"the {beam.label} has a head that is dirty or without its lens"
        if _aim(pair[0]) * _aim(pair[1]) < LEAST_AIM:
            return False, f"the {beam.label} is aimed so near its limit that a knock or a wet lens ends it"
    return True, "every beam is aimed with light to spare"


def _aim(head: HeadView) -> float:
    return lobe(math.hypot(head.across, head.up), HALF)


def line_role_shown(ending: Ending, given: Given) -> Found:
    """A beam of that role was broken by hand while the gate moved that way, and the gate acted on it.

    Only since the last change: what was shown before the roll-call proves nothing about what it found.
    """
    role = Guards(given["role"][0])
    for stimulus, conditions in BROKEN[role]:
        if not any(_shows(ending, acted, role, stimulus, conditions) for acted in ending.acted()):
            way = "opens" if stimulus is Stimulus.GUARD_O_BROKEN else "shuts"
            return False, f"no beam that guards {role.value} was broken while the gate {way}"
    return True, f"a beam that guards {role.value} was broken while the gate moved, and the gate acted on it"


def _shows(
    ending: Ending, acted: Acted, role: Guards, stimulus: Stimulus, conditions: tuple[Condition, ...]
) -> bool:
    right = acted.stimulus is stimulus and acted.condition in conditions and acted.tick >= ending.last_change
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


SOON = 1000  # ms from a thumb to what the board makes of it


def remote_shown(ending: Ending, given: Given) -> Found:
    """Since the last change that key was pressed, and the gate went all the way that it calls for."""
    (name,), (key,), (gate,) = given["remote"], given["key"], given["gate"]
    full = gate == "whole"
    goal = Condition.OPEN if full else Condition.PART_OPEN
    ways = (Condition.OPENING,) if full else (Condition.PART_OPENING,)
    for pressed, action in ending.actions(RemoteKey):
        hand = isinstance(action, RemoteKey) and action.down
        right = hand and (action.remote, action.key) == (name, int(key))  # type: ignore[union-attr]
        if not right or pressed < ending.last_change:
            continue
        after = [one for one in ending.acted() if one.tick >= pressed and one.response is not Response.IGNORE]
        if not after or after[0].tick > pressed + SOON or after[0].after not in ways:
            continue
        if len(after) > 1 and after[1].stimulus is Stimulus.ARRIVED and after[1].after is goal:
            return True, f"key {key} of {_words(name)} opened {_half(gate)}"
    when = " since the last change" if ending.last_change else ""
    return False, f"key {key} of {_words(name)} was not seen to open {_half(gate)}{when}"


def _half(gate: str) -> str:
    return "the whole gate" if gate == "whole" else "the part for walking"


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
