"""Who and what may be sent through the gate, as data: passers.toml read and checked.

Lengths and speeds become whole mm and mm per scan here, so that a walk of any length ends exactly where it
should and a tape replays it bit for bit.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Literal

from msgspec import Meta

from simgate.files import Shape, read

SCANS = 100  # scans in a second
Size = Annotated[float, Meta(ge=0.05, le=20)]


class KindFile(Shape, frozen=True):
    """[[kind]]: one sort of passer as it is written. See the head of the file."""

    name: Annotated[str, Meta(pattern=r"^[a-z][a-z-]*$")]
    length_m: Size
    width_m: Size
    clearance_m: Annotated[float, Meta(ge=0, le=2)]
    speed_m_s: Annotated[float, Meta(ge=0.1, le=10)]
    height: Literal["tall", "low"]
    metal: bool
    alive: bool
    careful: bool


class _Kinds(Shape, frozen=True):
    kind: list[KindFile]


@dataclass(frozen=True, slots=True)
class PasserKind:
    """One sort of passer. length, width, clearance: mm. stride: mm in one scan. See passers.toml."""

    name: str
    length: int
    width: int
    clearance: int
    stride: int
    breaks_beams: bool
    metal: bool
    alive: bool
    careful: bool

    @property
    def needs(self) -> float:
        """Width, m, of the opening that it wants before it goes through."""
        return (self.width + 2 * self.clearance) / 1000


@cache
def kinds() -> dict[str, PasserKind]:
    """Every kind by its name, in the order of the file."""
    file, _ = read(Path(__file__).with_name("passers.toml"), _Kinds)
    return {kind.name: _kind(kind) for kind in file.kind}


def _kind(file: KindFile) -> PasserKind:
    return PasserKind(
        name=file.name,
        length=round(file.length_m * 1000),
        width=round(file.width_m * 1000),
        clearance=round(file.clearance_m * 1000),
        stride=max(1, round(file.speed_m_s * 1000 / SCANS)),
        breaks_beams=file.height == "tall",
        metal=file.metal,
        alive=file.alive,
        careful=file.careful,
    )
