"""The fault-finding of a run as the command line prints it, and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simgate.practice import finding_words as words

if TYPE_CHECKING:
    from simgate.practice.debrief import Debrief
    from simgate.practice.finding_told import Look

UNDER = " " * 19


def print_finding(story: Debrief) -> None:
    """Print it; nothing where no fault was hidden."""
    found = story.finding
    if found is None:
        return
    print(f"finding  {words.asked(found)}")
    for number, part in enumerate(found.parts):
        if part.mended:
            print(f"         {part.tick / 1000:7.1f} s {words.begun(part)}")
        for look in found.looks:
            if look.stage == number:
                _print_look(look)
    for repair in story.swaps:
        print(f"         {repair.tick / 1000:7.1f} s {repair.text}: it was sound")
    for repair in story.guesses:
        print(f"         {repair.tick / 1000:7.1f} s {repair.text}: a guess")
    print(f"         {words.ended(found)}")
    print(f"par      {words.against_par(found)}")
    if len(found.parts) > 1:
        for number, part in enumerate(found.parts, 1):
            print(f"         stage {number}: {words.part_line(part)}")
    if hidden := words.hidden(found):
        print(f"         {hidden}")
    if found.good_hand:
        print(f"         {words.good_hand(found)}:")
    for number, good in enumerate(found.good_hand, 1):
        print(f"         {number} {good.words} ({good.seconds:.0f} s, {words.good_look(good, found)})")


def _print_look(look: Look) -> None:
    print(f"         {look.tick / 1000:7.1f} s {look.words}")
    print(f"{UNDER}{words.told_line(look)}")
    if look.waste in words.WASTED:
        print(f"{UNDER}{words.WASTED[look.waste]}")
    if better := words.advice_line(look):
        print(f"{UNDER}{better}")


def finding_document(story: Debrief) -> dict[str, Any]:
    """It as plain values under 'finding'; null where no fault was hidden."""
    found = story.finding
    if found is None:
        return {"finding": None}
    return {
        "finding": {
            "suspects": found.suspects,
            "faults_in_each": found.size,
            "left": found.left,
            "mended": found.mended,
            "seconds": found.seconds,
            "par": found.par,
            "least": found.least,
            "proven": found.proven,
            "hidden": found.hidden,
            "unseen": found.unseen,
            "stages": [
                {
                    "tick": part.tick,
                    "suspects": part.suspects,
                    "faults_in_each": part.size,
                    "likeliest_only": part.capped,
                    "after_mending": part.mended,
                    "seconds": part.seconds,
                    "par": part.par,
                    "least": part.least,
                    "proven": part.proven,
                }
                for part in found.parts
            ],
            "looks": [
                {
                    "tick": look.tick,
                    "look": look.words,
                    "seconds": look.seconds,
                    "bits": look.bits,
                    "before": look.before,
                    "after": look.after,
                    "stage": look.stage,
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
