"""A head of the line as it is written: in a site file as meant, in a job file as it stands at the start.

Apart from both, so that a list of jobs can be read without what a whole site needs.
"""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta

from simgate.bench.light import AIM_LIMIT
from simgate.files import Shape
from simgate.wiring.heads import OFF, HeadSpec

Degrees = Annotated[float, Meta(ge=-AIM_LIMIT, le=AIM_LIMIT)]
Percent = Annotated[float, Meta(ge=0, le=100)]


class HeadFile(Shape, frozen=True):
    """sender = {} or receiver = {}: how a head stands. switches: '-2-4' is 2 and 4 up."""

    switches: str = OFF
    across_deg: Degrees = 0.0
    up_deg: Degrees = 0.0
    lens: bool = True
    dirt_percent: Percent = 0.0
    fitted: bool = True


class StandingFile(HeadFile, frozen=True, kw_only=True):
    """[[head]] of a job: how a head stands at its start; not fitted, how it will look once it is."""

    name: str


def head_spec(head: HeadFile) -> HeadSpec:
    """How a head stands."""
    aim = (head.across_deg, head.up_deg)
    return HeadSpec(head.switches, aim, head.lens, head.dirt_percent / 100.0, head.fitted)
