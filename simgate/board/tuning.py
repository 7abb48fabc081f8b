"""The settings that a movement depends on, in the units in which it uses them.

Read once when settings change: a movement that read percent and seconds at every scan would be slow, and
one that kept its own copy would miss a change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simgate.board.settings import Settings
from simgate.board.stimuli import Way

RATED_AMPERES = 10.0  # what 100 % of force lets through
MARGINS: Mapping[str, float] = {"low": 2.5, "medium": 1.5, "high": 0.8}  # A above the learned profile


@dataclass(frozen=True, slots=True)
class Tuning:
    """The settings that a movement depends on, in the units in which it uses them (s as ms, % as share)."""

    leaves: int
    delays: Mapping[Way, int]
    speeds: Mapping[Way, float]
    limits: Mapping[Way, float]
    slow: float
    slow_length: float
    soft_start: int
    margin: float
    part_width: float


def tuning(settings: Settings) -> Tuning:
    """The tuning that the settings now ask for."""

    def share(key: str) -> float:
        return settings.number(key) / 100.0

    def ms(key: str) -> int:
        return round(settings.number(key) * 1000.0)

    return Tuning(
        leaves=round(settings.number("leaves")),
        delays={Way.OPENING: ms("leaf-delay-opening"), Way.CLOSING: ms("leaf-delay-closing")},
        speeds={Way.OPENING: share("speed-opening"), Way.CLOSING: share("speed-closing")},
        limits={
            Way.OPENING: share("force-opening") * RATED_AMPERES,
            Way.CLOSING: share("force-closing") * RATED_AMPERES,
        },
        slow=share("slow-speed"),
        slow_length=share("slow-length"),
        soft_start=ms("soft-start"),
        margin=MARGINS[settings.choice("sensitivity")],
        part_width=share("part-width"),
    )
