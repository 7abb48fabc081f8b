"""Rehearsing a mode: a gate that is learned and set to it, with every call at hand and nothing to mark.

It is a job like any other to the bench and the tape, so that a rehearsal replays like one.
"""

from __future__ import annotations

from simgate.bench.site import load_site
from simgate.board.modes import shipped_modes
from simgate.files import Problem, UserError, nearest
from simgate.practice.job import REHEARSAL, Job

SITE = "farm-double"  # it has a call, a part call, stops and a beam, so every column can be tried
PAUSE = 10  # s; long enough to read the card, short enough to wait for

CAUTION = (
    "On a real gate nobody stands in the swing while calls are tried, and guards are tried with a test "
    "body, never with a part of your own. The local code and a licensed person decide which mode may be used."
)


def rehearsal(mode_title: str) -> Job:
    """A gate learned and left in that mode. Raises UserError, with the modes there are, for another."""
    modes = shipped_modes()
    if mode_title not in modes:
        raise UserError(Problem("rehearsal", "mode", f"'{mode_title}'", nearest(mode_title, modes)))
    return Job(
        name=REHEARSAL + mode_title,
        title=f"Rehearse {mode_title}",
        learner="installer",
        minutes=240,
        briefing=f"{modes[mode_title].summary} Call, part-call, stop, break the beam, and watch which "
        "cell of the mode's card acts. Nothing here is marked.",
        caution=CAUTION,
        site=load_site(SITE),
        settings=(("mode", mode_title), ("pause", PAUSE)),
        learned=True,
        marked=False,
    )
