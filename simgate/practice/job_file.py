"""A job file as it is written: its shape, and nothing that would have to be built to read it."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, field

from simgate.bench.head_file import StandingFile
from simgate.files import Shape
from simgate.practice.shelf import Learner

Words = Annotated[str, Meta(min_length=3)]


class TaughtFile(Shape, frozen=True):
    """A key of a remote that the board knows at the start."""

    remote: str
    key: Annotated[int, Meta(ge=1, le=4)]
    call: Literal["call", "part call", "courtesy light"] = "call"


class BoardFile(Shape, frozen=True):
    """[board]: how the board stands at the start. settings: those that differ from default, by key.

    roll_call: the line's roll-call was done, as it is when learned; strangers: line beams it did not meet.

    leaves_deg, leaves_m: where each leaf stands, from shut; degrees of leaves that swing, m of those that
    slide.
    """

    learned: bool = False
    mains: bool = True
    leaves_deg: list[Annotated[float, Meta(ge=0, le=170)]] = field(default_factory=list)
    leaves_m: list[Annotated[float, Meta(ge=0, le=20)]] = field(default_factory=list)
    settings: dict[str, int | float | str] = field(default_factory=dict)
    roll_call: bool = False
    strangers: list[str] = field(default_factory=list)
    taught: list[TaughtFile] = field(default_factory=list)


class FaultFile(Shape, frozen=True):
    """[[fault]]: a hidden fault. amount: the kind's number (ohm), if it has one."""

    kind: str
    place: str
    amount: Annotated[float, Meta(ge=0)] = 0.0


class GoalFile(Shape, frozen=True):
    """[[goal]]: a named check, its parameters, and the words in which it is asked."""

    check: str
    words: Words
    given: dict[str, str | list[str]] = field(default_factory=dict)


class HintFile(Shape, frozen=True):
    """[[hint]]: what is told, in the order of the file, and the marks it costs."""

    text: Words
    cost: Annotated[int, Meta(ge=0, le=20)]


class ComplaintFile(Shape, frozen=True):
    """[[complaint]]: what the briefing tells beside what the board shows, for the fault-finding's par.

    how, state, of, leaf, at: a look that was taken, as `diagnosis/observation.py` has it. among: or the
    devices and wires among which the fault is.
    """

    how: str = ""
    state: str = "rest"
    of: str = ""
    leaf: Literal["A", "B"] = "A"
    at: str = ""
    among: list[str] = field(default_factory=list)


class JobFile(Shape, frozen=True):
    """A job file. conduct: 'standard' for every rule, or the names of some.

    wind_m_s: of the day, positive blows open, as in a site; a learned board learned in the site's own.
    rain_percent: of the day, on boxes and cables; a board that has learned did so in the dry.
    exam: nobody is asked what to measure next.
    """

    title: Words
    learner: Learner
    site: str
    minutes: Annotated[int, Meta(ge=1, le=240)]
    briefing: Words
    caution: Words
    goal: list[GoalFile]
    conduct: str | list[str] = "standard"
    board: BoardFile = field(default_factory=BoardFile)
    fault: list[FaultFile] = field(default_factory=list)
    head: list[StandingFile] = field(default_factory=list)
    hint: list[HintFile] = field(default_factory=list)
    wind_m_s: Annotated[float, Meta(ge=-40, le=40)] | None = None
    rain_percent: Annotated[float, Meta(ge=0, le=100)] = 0.0
    complaint: list[ComplaintFile] = field(default_factory=list)
    exam: bool = False


def values(value: str | list[str]) -> tuple[str, ...]:
    """One value or several, as several."""
    return (value,) if isinstance(value, str) else tuple(value)
