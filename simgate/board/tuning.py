"""The settings that a movement depends on, in the units in which it uses them.

Read once when settings change: a movement that read percent and seconds at every scan would be slow, and
one that kept its own copy would miss a change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simgate.board.settings import Settings
from simgate.board.signals import LEAVES
from simgate.board.stimuli import Way, Word

RATED_AMPERES = 10.0  # what 100 % of force lets through
MARGINS: Mapping[str, float] = {"low": 2.5, "medium": 1.5, "high": 0.8}  # A above the learned profile


class Sensing(Word):
    """By what the board knows how far a leaf has gone."""

    PULSES = "by pulses"
    TIME = "by time"
    ABSOLUTE = "absolute sensor"


class EndUse(Word):
    """What an END switch does to a movement towards it."""

    NONE = "not fitted"
    STOP = "stop here"
    SLOW = "begin slow-down"


@dataclass(frozen=True, slots=True)
class LeafTuning:
    """What is set for one leaf. limits: greatest current, ampere; the rest shares of supply and travel."""

    limits: Mapping[Way, float]
    slow: float
    slow_length: float
    ends: Mapping[Way, EndUse]


@dataclass(frozen=True, slots=True)
class Tuning:
    """The settings that a movement depends on, in the units in which it uses them (s as ms, % as share).

    each: what is set per leaf. ends_open: an END contact opens at its end. run_on: ms that a leaf whose
    place is reckoned is driven on after its time.
    """

    leaves: int
    each: tuple[LeafTuning, ...]
    sensing: Sensing
    ends_open: bool
    delays: Mapping[Way, int]
    speeds: Mapping[Way, float]
    soft_start: int
    run_on: int
    margin: float
    part_width: float


def tuning(settings: Settings) -> Tuning:
    """The tuning that the settings now ask for."""

    def share(key: str) -> float:
        return settings.number(key) / 100.0

    def ms(key: str) -> int:
        return round(settings.number(key) * 1000.0)

    def end(which: str, leaf: str) -> EndUse:
        return EndUse(settings.choice(f"end-{which}-{leaf}"))

    return Tuning(
        leaves=round(settings.number("leaves")),
        each=tuple(
            LeafTuning(
                limits={
                    Way.OPENING: share(f"force-opening-{leaf}") * RATED_AMPERES,
                    Way.CLOSING: share(f"force-closing-{leaf}") * RATED_AMPERES,
                },
                slow=share(f"slow-speed-{leaf}"),
                slow_length=share(f"slow-length-{leaf}"),
                ends={Way.OPENING: end("open", leaf), Way.CLOSING: end("shut", leaf)},
            )
            for leaf in (name.lower() for name in LEAVES)
        ),
        sensing=Sensing(settings.choice("sensing")),
        ends_open=settings.choice("end-contacts") == "open at the end",
        delays={Way.OPENING: ms("leaf-delay-opening"), Way.CLOSING: ms("leaf-delay-closing")},
        speeds={Way.OPENING: share("speed-opening"), Way.CLOSING: share("speed-closing")},
        soft_start=ms("soft-start"),
        run_on=ms("run-on"),
        margin=MARGINS[settings.choice("sensitivity")],
        part_width=share("part-width"),
    )
