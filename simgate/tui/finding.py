"""The fault-finding of a run as lines of the debrief: each look, what it told, what would have told more."""

from __future__ import annotations

from collections.abc import Iterator

from simgate.practice import finding_words as words
from simgate.practice.debrief import Debrief, Moment
from simgate.practice.finding_told import FaultFinding, Look, Waste
from simgate.tui.captions import clock
from simgate.tui.panes.hanging import Line

UNDER = " " * 13  # under the words of a line that begins with a mark and a time


def finding_lines(story: Debrief) -> Iterator[Line]:
    """The section; nothing where no fault was hidden."""
    found = story.finding
    if found is None:
        return
    yield Line("Fault-finding", style="bold $accent")
    yield Line(words.asked(found), "  ")
    for number, part in enumerate(found.parts):
        if part.mended:
            yield Line(words.begun(part), f"    {clock(part.tick):>7}  ")
        for look in found.looks:
            if look.stage == number:
                yield from _look(look)
    if not found.looks:
        yield Line("Nothing was looked at or measured before the mending.", "  ")
    for repair in story.swaps:
        yield _repair(repair, "it was sound")
    for repair in story.guesses:
        yield _repair(repair, "a guess, when a look could still have told more")
    yield Line(words.ended(found), "  ")
    yield Line(words.against_par(found), "  ", style="bold")
    if len(found.parts) > 1:
        for number, part in enumerate(found.parts, 1):
            yield Line(words.part_line(part), f"    stage {number}: ")
    if hidden := words.hidden(found):
        yield Line(hidden, "  ")
    yield from _good_hand(found)


def _look(look: Look) -> Iterator[Line]:
    wasted = look.waste is not Waste.NONE
    sign = "✗" if wasted else "✓"
    yield Line(look.words, f"  {sign} {clock(look.tick):>7}  ", style="bold")
    yield Line(words.told_line(look), UNDER)
    if wasted:
        yield Line(words.WASTED[look.waste], UNDER, style="$warning")
    if better := words.advice_line(look):
        yield Line(better, UNDER, style="$text-muted")


def _repair(repair: Moment, why: str) -> Line:
    return Line(f"{repair.text}: {why}", f"  ✗ {clock(repair.tick):>7}  ", style="$warning")


def _good_hand(found: FaultFinding) -> Iterator[Line]:
    if not found.good_hand:
        return
    yield Line(f"{words.good_hand(found)}:", "  ")
    for number, look in enumerate(found.good_hand, 1):
        left = words.good_look(look, found)
        yield Line(f"{look.words} · {look.seconds:.0f} s, {left}", f"    {number} ")
