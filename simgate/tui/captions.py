"""How times and names are written on every screen: one spelling each, so that panes agree.

A pane that formats a time or a terminal by itself will sooner or later say it differently from the
pane beside it.
"""

from __future__ import annotations

from simgate.bench.record import Sense, WireView
from simgate.files import UserError

SENSES = {Sense.SEEN: "◉", Sense.HEARD: "♪", Sense.SHOWN: "▤", Sense.DONE: "›"}
MADE = {True: "●", False: "○"}


def clock(ms: int) -> str:
    """Milliseconds as 'm:ss.t', the way a stop-watch reads."""
    tenths = ms // 100
    return f"{tenths // 600}:{tenths // 10 % 60:02d}.{tenths % 10}"


def words(name: str) -> str:
    """A name from a file as it is read out: 'stop-button' becomes 'stop button'."""
    return name.replace("-", " ").replace("_", " ")


def point(name: str) -> str:
    """'stop-button.1' becomes 'stop button · 1'; terminals of the board keep their own spelling."""
    owner, _, terminal = name.partition(".")
    return f"{words(owner)} · {terminal}" if terminal else words(name)


def core(number: int, colour: str) -> str:
    """A core as its ends tell it: '32 orange', number and colour."""
    return f"{number} {colour}".strip() if number else colour


def wire_name(wire: WireView) -> str:
    """'31 stop feed (white)', and '7 motor a brown' for a wire that is called after its colour."""
    name = f"{wire.number or ''} {words(wire.name)}".lstrip()
    return name if wire.colour in name.split() else f"{name} ({wire.colour})"


def wire_words(wire: WireView) -> str:
    """'31 stop feed (white): board · COM to post left · 1'."""
    undone = ", undone" if wire.undone else ""
    return f"{wire_name(wire)}: {point(wire.a)} to {point(wire.b)}{undone}"


def refusal(error: UserError) -> str:
    """Why something was not done, in one sentence per problem."""
    return " ".join(f"Not possible: {problem.found}. Needs: {problem.allowed}." for problem in error.problems)
