"""The fault-finding of a run as the command line prints it, and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simgate.practice import finding_words as words

if TYPE_CHECKING:
    from simgate.practice.debrief import Debrief

UNDER = " " * 19


def print_finding(story: Debrief) -> None:
    """Print it; nothing where no fault was hidden."""
    found = story.finding
    if found is None:
        return
    print(f"finding  {words.asked(found)}")
    for look in found.looks:
        print(f"         {look.tick / 1000:7.1f} s {look.words}")
        print(f"{UNDER}{words.told_line(look)}")
        if look.waste in words.WASTED:
            print(f"{UNDER}{words.WASTED[look.waste]}")
        if better := words.advice_line(look):
            print(f"{UNDER}{better}")
    for repair in story.swaps:
        print(f"         {repair.tick / 1000:7.1f} s {repair.text}: it was sound")
    for repair in story.guesses:
        print(f"         {repair.tick / 1000:7.1f} s {repair.text}: a guess")
    print(f"         {words.ended(found)}")
    print(f"par      {words.against_par(found)}")
    if found.good_hand:
        print(f"         {words.good_hand(found)}:")
    for number, good in enumerate(found.good_hand, 1):
        print(f"         {number} {good.words} ({good.seconds:.0f} s, {good.after} left)")


def finding_document(story: Debrief) -> dict[str, Any]:
    """It as plain values under 'finding'; null where no fault was hidden."""
    found = story.finding
    if found is None:
        return {"finding": None}
    return {
        "finding": {
            "suspects": found.suspects,
            "left": found.left,
            "mended": found.mended,
            "seconds": found.seconds,
            "par": found.par,
            "least": found.least,
            "proven": found.proven,
            "looks": [
                {
                    "tick": look.tick,
                    "look": look.words,
                    "seconds": look.seconds,
                    "bits": look.bits,
                    "before": look.before,
                    "after": look.after,
                    "waste": look.waste.value,
                    "better": look.best,
                    "why": look.why,
                }
                for look in found.looks
            ],
            "swaps": [{"tick": one.tick, "what": one.text} for one in story.swaps],
            "guesses": [{"tick": one.tick, "what": one.text} for one in story.guesses],
            "good_hand": [
                {"look": look.words, "seconds": look.seconds, "left": look.after} for look in found.good_hand
            ],
        }
    }
