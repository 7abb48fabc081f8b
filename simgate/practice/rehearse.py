"""Rehearsing a mode: a gate that is learned and set to it, with every call at hand and nothing to mark.

It is a job like any other to the bench and the tape, so that a rehearsal replays like one.
"""

from __future__ import annotations

from pathlib import Path

from simgate.bench.site import load_site
from simgate.board.modes import carried, read, shipped_modes
from simgate.files import Problem, UserError, nearest
from simgate.practice.job import REHEARSAL, Job

SITE = "farm-double"  # it has a call, a part call, stops and a beam, so every column can be tried
PAUSE = 10  # s; long enough to read the card, short enough to wait for

CAUTION = (
    "On a real gate nobody stands in the swing while calls are tried, and guards are tried with a test "
    "body, never with a part of your own. The local code and a licensed person decide which mode may be used."
)


def rehearsal(mode: str) -> Job:
    """A gate learned and left in a shipped mode by its title or name, or in the mode of a file.

    Raises UserError, with the modes there are, for another, and with every mistake of a file.
    """
    shipped = shipped_modes()
    by_name = {table.name: table for table in shipped.values()}
    table = shipped.get(mode) or by_name.get(mode.lower())
    own = None
    if table is None and (mode.endswith(".toml") or "/" in mode):
        table = own = read(Path(mode))
        carried(own)
    if table is None:
        allowed = f"{nearest(mode, shipped)}; or the path of a mode file"
        raise UserError(Problem("rehearsal", "mode", f"'{mode}'", allowed))
    return Job(
        name=REHEARSAL + (mode if own else table.title),
        title=f"Rehearse {table.title}",
        learner="installer",
        minutes=240,
        briefing=f"{table.summary} Call, part-call, stop, break the beam, and watch which "
        "cell of the mode's card acts. Nothing here is marked.",
        caution=CAUTION,
        site=load_site(SITE),
        settings=(("mode", table.title), ("pause", PAUSE)),
        learned=True,
        marked=False,
        own=own,
    )
