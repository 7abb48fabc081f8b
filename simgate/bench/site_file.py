"""A site file as it is written: the shape of every table, and of the copper that it means.

What a value means beside the others (a wire to nowhere, two leaves called A) is looked at in `site.py`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, field

from simgate.bench.site_devices import LineBeamFile, RemoteFile
from simgate.bench.site_iron import LeafFile
from simgate.files import Shape
from simgate.wiring.marking import MOST_NUMBER

Positive = Annotated[float, Meta(gt=0)]
NotNegative = Annotated[float, Meta(ge=0)]
Name = Annotated[
    str,
    Meta(
        pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60, description="up to 60 small letters, digits and '-'"
    ),
]
MOST = Meta(max_length=200)  # of wires or devices; far above any gate, and the copper can still be solved


class BeamFile(Shape, frozen=True):
    """[[beam]]: a photocell with relay output; offset_m from the gate line, outside positive."""

    name: Name
    label: str
    offset_m: float


class ButtonFile(Shape, frozen=True):
    """[[button]]: anything with one contact that a hand works."""

    name: Name
    label: str
    contact: Literal["normally closed", "normally open"]


class KeyFile(Shape, frozen=True):
    """[[key]]: a key switch that springs back: turned one way it calls, the other way in part."""

    name: Name
    label: str


class EdgeFile(Shape, frozen=True):
    """[[edge]]: a sensitive edge; through: without a resistor, to be wired on. leaf: it sits on that one."""

    name: Name
    label: str
    leaf: Literal["A", "B"] | None = None
    through: bool = False


class ResistorFile(Shape, frozen=True):
    """[[resistor]]: an end-of-line resistor for edges that are wired through."""

    name: Name
    label: str


class EndFile(Shape, frozen=True):
    """[[end]]: an end switch, worked by the leaf from so far before its stop; degrees, or mm for a slide."""

    name: Name
    label: str
    leaf: Literal["A", "B"]
    at: Literal["open", "shut"]
    contact: Literal["normally closed", "normally open"]
    before_deg: Annotated[float, Meta(ge=0, le=90)] | None = None
    before_mm: Annotated[float, Meta(ge=0, le=5000)] | None = None


class EncoderFile(Shape, frozen=True):
    """[[encoder]]: of a leaf's drive. pulses: of the motor's turns. place: an absolute one on the leaf."""

    name: Name
    leaf: Literal["A", "B"]
    gives: Literal["pulses", "place"] = "pulses"


class LoopFile(Shape, frozen=True):
    """[[loop]]: an induction loop with its detector; where it lies from the gate line, outside positive."""

    name: Name
    label: str
    contact: Literal["normally closed", "normally open"]
    offset_m: float
    length_m: Positive = 1.0


class WireFile(Shape, frozen=True):
    """[[wire]]: one core. Points are 'owner.terminal'. number: on its ferrules, else it is dealt one."""

    name: Name
    a: str
    b: str
    length_m: Positive
    size_mm2: Positive
    colour: str | None = None
    number: Annotated[int, Meta(ge=1, le=MOST_NUMBER)] | None = None


class CableFile(Shape, frozen=True):
    """[[cable]]: wires that run in one sheath, core by core, with the colours of the cores in that order."""

    name: Name
    wires: Annotated[list[str], Meta(min_length=2, max_length=50)]
    colours: Annotated[list[str], Meta(max_length=50)] = field(default_factory=list)


class SupplyFile(Shape, frozen=True):
    """[supply]: the board's supply and fuses."""

    volts: Annotated[float, Meta(gt=5, le=60)] = 24.0
    resistance_ohm: Positive = 0.2
    mains_fuse_a: Positive = 10.0
    aux_fuse_a: Positive = 1.0
    battery_fuse_a: Positive = 10.0


class BatteryFile(Shape, frozen=True):
    """[battery]: takes over when the mains are gone. charge_percent: what it holds when a run starts."""

    capacity_ah: Annotated[float, Meta(ge=0.01, le=1000)]
    internal_ohm: Annotated[float, Meta(ge=0.001, le=100)] = 0.15
    charge_percent: Annotated[float, Meta(ge=0, le=100)] = 100.0


class SiteFile(Shape, frozen=True):
    """A site file as it is written."""

    title: str
    leaf: Annotated[list[LeafFile], Meta(min_length=1, max_length=2)]
    wire: Annotated[list[WireFile], MOST]
    cable: Annotated[list[CableFile], MOST] = field(default_factory=list)
    overlap_mm: NotNegative = 0.0
    wind_m_s: Annotated[float, Meta(ge=-40, le=40)] = 0.0
    supply: SupplyFile = SupplyFile()
    battery: BatteryFile | None = None
    beam: Annotated[list[BeamFile], MOST] = field(default_factory=list)
    button: Annotated[list[ButtonFile], MOST] = field(default_factory=list)
    key: Annotated[list[KeyFile], MOST] = field(default_factory=list)
    edge: Annotated[list[EdgeFile], MOST] = field(default_factory=list)
    resistor: Annotated[list[ResistorFile], MOST] = field(default_factory=list)
    end: Annotated[list[EndFile], MOST] = field(default_factory=list)
    encoder: Annotated[list[EncoderFile], MOST] = field(default_factory=list)
    loop: Annotated[list[LoopFile], MOST] = field(default_factory=list)
    line_beam: Annotated[list[LineBeamFile], MOST] = field(default_factory=list)
    remote: Annotated[list[RemoteFile], MOST] = field(default_factory=list)
    lamp: bool = False
    light: bool = False
    lock: bool = False
    latch: Literal["A", "B"] | None = None  # the leaf that the lock's bolt holds
    latch_friction: Annotated[float, Meta(ge=0, le=1)] = 0.4  # on the side of the bolt
    links: Annotated[list[list[str]], MOST] = field(default_factory=list)
