"""Checks of movements: whole cycles with nothing in the way, END switches tried by hand and seen at work.

The judging alone; the registry in `goals.py` names the checks and their parameters. What a leaf did is read
from what could be seen and heard, not from what the board believes: a board that takes itself for shut while
the leaf stands ajar is just what some of these jobs are about.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from simgate.bench.record import ScanRecord, Sense
from simgate.bench.senses import CLASH, lamp_words
from simgate.bench.site import End
from simgate.board.signals import LEAVES, NoteKind
from simgate.board.stimuli import ENDS, Condition, Stimulus
from simgate.board.tuning import EndUse
from simgate.practice.ending import Ending
from simgate.wiring.spec import DeviceKind

Given = Mapping[str, tuple[str, ...]]
Found = tuple[bool, str]  # whether it is met, and why or why not

TROUBLE = {
    Stimulus.OBSTACLE: "a leaf met something",
    Stimulus.FAULT: "the board gave up",
    Stimulus.STOP_PARTED: "it was stopped",
}
"""What a cycle with nothing in the way has none of, in words."""
LEARNING = (NoteKind.LEARN_STARTED, NoteKind.LEARN_DONE, NoteKind.LEARN_ABORTED)


def clean_cycles(ending: Ending, given: Given) -> Found:
    """So many whole cycles, one after another, since the last change, in which nothing went amiss."""
    wanted, made, opened, why = int(given["times"][0]), 0, False, ""
    for record in ending.records:
        if record.tick < ending.last_change:
            continue
        amiss = _amiss(record)
        if amiss:
            made, opened, why = 0, False, f": {amiss}"
        for acted in record.acted:
            if acted.stimulus is not Stimulus.ARRIVED:
                continue
            if acted.after is Condition.OPEN:
                opened = True
            elif acted.after is Condition.SHUT and opened:
                made, opened = made + 1, False
                if made >= wanted:
                    why = ""
    if made >= wanted:
        return True, f"{_times(made)} on end the gate opened and shut with nothing amiss"
    return False, f"{_times(made)} on end, of {wanted}, the gate opened and shut after the last change{why}"


def strip_free(ending: Ending, given: Given) -> Found:
    """No leaf lies on the other's strip from the wrong side, whether or not it presses there."""
    plant, leaves = ending.setup.site.plant, ending.snapshot.leaves
    if len(leaves) < len(LEAVES):
        return True, "there is no second leaf"
    a, b = leaves
    apart = a.width * (1.0 - math.cos(a.angle)) + b.width * (1.0 - math.cos(b.angle))
    proud = b.width * math.sin(b.angle) - a.width * math.sin(a.angle)
    if apart < plant.overlap and proud > 0.5 * plant.strip:
        return False, "leaf B lies on the wrong side of leaf A's strip"
    return True, "the strip is free"


def _times(count: int) -> str:
    return {0: "not once", 1: "once", 2: "twice"}.get(count, f"{count} times")


def _amiss(record: ScanRecord) -> str:
    for event in record.events:
        if event.text == CLASH:
            return "the leaves clashed"
    for acted in record.acted:
        if acted.stimulus in TROUBLE:
            return TROUBLE[acted.stimulus]
    return ""


# END switches -------------------------------------------------------------------------------------


def terminal(end: End) -> str:
    """The terminal that an END switch belongs on."""
    return ENDS[end.leaf][0 if end.open else 1].value


def ends_tried(ending: Ending, given: Given) -> Found:
    """Each END switch was seen to act and to let go, with leaf and copper as they stay, before the learn."""
    starts = [note.tick for note in ending.notes(NoteKind.LEARN_STARTED)]
    before = starts[-1] if starts else ending.snapshot.tick
    since = max([0, *(tick for tick in ending.work if tick <= before)])
    seen = {
        event.text
        for record in _outside_learning(ending)
        if since <= record.tick <= before
        for event in record.events
        if event.sense is Sense.SHOWN
    }
    for end in ending.setup.site.ends:
        for lights in (True, False):
            if lamp_words(terminal(end), lights) not in seen:
                when = " after the work on it" if since else ""
                return False, f"{terminal(end)} was not seen to act and let go before the learn cycle{when}"
    return True, "every END switch was seen to act and to let go before the learn cycle"


def _outside_learning(ending: Ending) -> Iterator[ScanRecord]:
    learning = False
    for record in ending.records:
        for note in record.notes:
            if note.kind in LEARNING:
                learning = note.kind is NoteKind.LEARN_STARTED
        if not learning:
            yield record


def ends_act(ending: Ending, given: Given) -> Found:
    """Each END switch is set to that use, and acted on its own side of a cycle after the last change."""
    use = EndUse(given["use"][0])
    for end in ending.setup.site.ends:
        key = f"end-{'open' if end.open else 'shut'}-{LEAVES[end.leaf].lower()}"
        if ending.set_at(key, ending.snapshot.tick) != use.value:
            return False, f"{terminal(end)} is set to: {ending.set_at(key, ending.snapshot.tick)}"
    for end in ending.setup.site.ends:
        if not _acts_on_its_way(ending, end):
            way = "opened" if end.open else "shut"
            return False, f"{terminal(end)} was not seen to act as the gate {way} after the last change"
    return True, f"every END switch acts on its way: {use.value}"


def _acts_on_its_way(ending: Ending, end: End) -> bool:
    """Whether its lamp told of it between setting off that way and arriving there."""
    kinds = {device.name: device.kind for device in ending.setup.site.wiring.devices}
    words = lamp_words(terminal(end), kinds[end.name] is DeviceKind.END_NO)
    way, there = (Condition.OPENING, Condition.OPEN) if end.open else (Condition.CLOSING, Condition.SHUT)
    on_its_way = told = False
    for record in ending.records:
        if record.tick < ending.last_change:
            continue
        told = told or (on_its_way and any(event.text == words for event in record.events))
        for acted in record.acted:
            if acted.after is way:
                on_its_way, told = True, told and on_its_way
            elif acted.after is there and on_its_way and told:
                return True
            else:
                on_its_way = told = False
    return False


# The book -----------------------------------------------------------------------------------------


def setting_is(ending: Ending, given: Given) -> Found:
    """A setting is left at that value, or at one of several."""
    (key,) = given["key"]
    value = ending.set_at(key, ending.snapshot.tick)
    return value in given["value"], f"{ending.start_settings.setting(key).name} is left at: {value}"
