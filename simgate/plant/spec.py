"""The iron as numbers: leaves, drives, linkages, stops. SI throughout; rad or m from shut.

Frozen, and checked where they are made, so that the hot step never has to ask whether a number makes
sense. What a site file says in mm and degrees is turned into these by the bench. A value that cannot
be built raises ValueError in plain words: 'leaf width: -2.0 m; it must be above 0'.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from simgate.plant.brackets import ArmLinkage, HingeLinkage, RackLinkage, RamLinkage
from simgate.plant.checks import above, finite, not_below, share
from simgate.plant.oil import OilRamLinkage, PumpSpec
from simgate.plant.wind import force as wind_force
from simgate.plant.wind import torque as wind_torque

__all__ = [
    "ArmLinkage", "DriveSpec", "HingeLinkage", "LeafKind", "LeafSpec", "LinkageSpec", "MotorSpec",
    "OilRamLinkage", "PlantSpec", "PumpSpec", "RackLinkage", "RamLinkage", "SlideSpec",
]  # fmt: skip

LinkageSpec = HingeLinkage | RackLinkage | RamLinkage | ArmLinkage | OilRamLinkage


class LeafKind(Enum):
    """How a leaf moves. What it is at (`Leaf.place`) is rad from shut for the one, m for the other."""

    SWINGS = "swings"
    SLIDES = "slides"


@dataclass(frozen=True, slots=True)
class LeafSpec:
    """A swing leaf about a vertical hinge, a uniform slab unless an inertia is given.

    width, height: m. mass: kg. inertia: kg m2 about the hinge, None for m w^2 / 3 (check M1).
    viscous: N m s/rad. coulomb: N m of dry hinge friction. slope: N m, greatest torque of a hinge that is
    out of plumb; the torque is slope * sin(angle - slope_at), so a positive slope falls open past slope_at.
    open_angle: rad between the two stops. solidity: share of the leaf's area that the wind meets.
    stop_stiffness N/m and stop_damping N s/m: both stops, felt at the leading edge.
    """

    width: float
    height: float
    mass: float
    open_angle: float
    inertia: float | None = None
    viscous: float = 5.0
    coulomb: float = 20.0
    slope: float = 0.0
    slope_at: float = 0.0
    solidity: float = 0.3
    stop_stiffness: float = 5.0e5
    stop_damping: float = 2.0e3

    def __post_init__(self) -> None:
        above("leaf width", self.width, "m")
        above("leaf height", self.height, "m")
        above("leaf mass", self.mass, "kg")
        above("leaf open angle", self.open_angle, "rad")
        if self.inertia is not None:
            above("leaf inertia", self.inertia, "kg m2")
        not_below("hinge viscous friction", self.viscous, "N m s/rad")
        not_below("hinge dry friction", self.coulomb, "N m")
        finite("hinge slope", self.slope, "N m")
        finite("hinge slope angle", self.slope_at, "rad")
        if not 0.0 <= self.solidity <= 1.0:
            raise ValueError(f"leaf solidity: {self.solidity}; it must be from 0 to 1")
        above("stop stiffness", self.stop_stiffness, "N/m")
        not_below("stop damping", self.stop_damping, "N s/m")

    @property
    def moment(self) -> float:
        """Inertia about the hinge, kg m2: the given one, else the slab's m w^2 / 3."""
        return self.mass * self.width * self.width / 3.0 if self.inertia is None else self.inertia

    # What the step asks of a leaf of either kind; `SlideSpec` answers in m, kg and N.

    @property
    def kind(self) -> LeafKind:
        """It swings."""
        return LeafKind.SWINGS

    @property
    def lever(self) -> float:
        """Metres that the leading edge moves for one unit of the leaf's place: m/rad."""
        return self.width

    @property
    def reach(self) -> float:
        """Place of the open stop, rad."""
        return self.open_angle

    @property
    def leaning(self) -> tuple[float, float, float]:
        """(slope, slope_at, load that is the same everywhere), N m, rad, N m."""
        return self.slope, self.slope_at, 0.0

    def blown(self, wind: float, coefficient: float) -> tuple[float, float]:
        """What a `wind` of m/s does to the shut leaf: (torque that moves it, added dry friction), N m."""
        area = self.width * self.height * self.solidity
        return wind_torque(wind, coefficient, area, self.width), 0.0


@dataclass(frozen=True, slots=True)
class SlideSpec:
    """A leaf that slides along the gate line on rollers or wheels.

    travel: m between the two stops. width, height: m, of the leaf. mass: kg. viscous: N s/m. coulomb: N of
    dry friction. slope: N, the pull of a track out of level, the same everywhere, positive runs open.
    The wind blows square to the gate line, so it moves no slide; it presses the leaf on its guides, where
    guide is the share of that force that is added to the dry friction. Stops as for a `LeafSpec`.
    """

    travel: float
    width: float
    height: float
    mass: float
    viscous: float = 20.0
    coulomb: float = 60.0
    slope: float = 0.0
    solidity: float = 0.3
    guide: float = 0.1
    stop_stiffness: float = 5.0e5
    stop_damping: float = 2.0e3

    def __post_init__(self) -> None:
        above("leaf travel", self.travel, "m")
        above("leaf width", self.width, "m")
        above("leaf height", self.height, "m")
        above("leaf mass", self.mass, "kg")
        not_below("track viscous friction", self.viscous, "N s/m")
        not_below("track dry friction", self.coulomb, "N")
        finite("track slope", self.slope, "N")
        not_below("guide friction", self.guide, "of the wind's force")
        if not 0.0 <= self.solidity <= 1.0:
            raise ValueError(f"leaf solidity: {self.solidity}; it must be from 0 to 1")
        above("stop stiffness", self.stop_stiffness, "N/m")
        not_below("stop damping", self.stop_damping, "N s/m")

    @property
    def kind(self) -> LeafKind:
        """It slides."""
        return LeafKind.SLIDES

    @property
    def moment(self) -> float:
        """What resists being moved: the mass, kg."""
        return self.mass

    @property
    def lever(self) -> float:
        """Metres that the leading edge moves for one unit of the leaf's place: 1, a place being metres."""
        return 1.0

    @property
    def reach(self) -> float:
        """Place of the open stop, m."""
        return self.travel

    @property
    def leaning(self) -> tuple[float, float, float]:
        """See `LeafSpec.leaning`: a slope pulls with the same force, N, everywhere."""
        return 0.0, 0.0, self.slope

    def blown(self, wind: float, coefficient: float) -> tuple[float, float]:
        """What a `wind` of m/s does: (force that moves it, added dry friction), N."""
        force = wind_force(wind, coefficient, self.width * self.height * self.solidity)
        return 0.0, self.guide * abs(force)


@dataclass(frozen=True, slots=True)
class MotorSpec:
    """A permanent-magnet DC motor with its reduction.

    resistance: winding, ohm. constant: N m/A, which is V s/rad. rotor_inertia: kg m2 at the motor shaft.
    no_load: A that it takes with nothing to turn, see motor.py. Both efficiencies are 1 for a gear without
    loss. reduction: motor turns per turn of the gearbox output. forward_efficiency: motor drives leaf.
    back_efficiency: leaf drives motor. holding: N m at the gearbox output that a self-locking gear holds
    while the motor has no supply; 0 for a reversible one. pulses_per_turn: of the motor shaft.
    """

    resistance: float
    constant: float
    rotor_inertia: float
    reduction: float
    forward_efficiency: float = 0.6
    back_efficiency: float = 0.4
    holding: float = 0.0
    pulses_per_turn: int = 2
    no_load: float = 0.0

    def __post_init__(self) -> None:
        above("motor resistance", self.resistance, "ohm")
        above("motor constant", self.constant, "N m/A")
        not_below("rotor inertia", self.rotor_inertia, "kg m2")
        above("reduction", self.reduction, "to 1")
        share("forward efficiency", self.forward_efficiency)
        share("back efficiency", self.back_efficiency)
        not_below("holding torque", self.holding, "N m")
        not_below("no-load current", self.no_load, "A")
        if self.pulses_per_turn < 1:
            raise ValueError(f"pulses per turn: {self.pulses_per_turn}; there must be at least 1")


@dataclass(frozen=True, slots=True)
class DriveSpec:
    """One drive: a motor and the linkage through which it turns its leaf.

    hinge_pulses: of a pulse ring on the hinge, per turn of the leaf; 0: pulses come from the motor shaft.
    """

    motor: MotorSpec
    linkage: LinkageSpec
    hinge_pulses: int = 0

    def __post_init__(self) -> None:
        if self.hinge_pulses < 0:
            raise ValueError(f"hinge pulses: {self.hinge_pulses}; there must be 0 or more")
        if self.pump is not None and self.motor.holding > 0.0:
            raise ValueError(
                f"holding torque: {self.motor.holding} N m; with a pump the oil lock holds, and the gear 0"
            )

    @property
    def pump(self) -> PumpSpec | None:
        """The pump of a hydraulic ram."""
        return self.linkage.pump if isinstance(self.linkage, OilRamLinkage) else None


@dataclass(frozen=True, slots=True)
class LockSpec:
    """leaf: which one it holds, 0 for A. play: m at the edge before the bolt is met.

    pull: N of the coil at rated volts. spring: N that put the bolt out. friction: of the bolt's side.
    """

    leaf: int = 0
    play: float = 0.004
    volts: float = 24.0
    pull: float = 40.0
    spring: float = 10.0
    friction: float = 0.4

    def __post_init__(self) -> None:
        if self.leaf not in (0, 1):
            raise ValueError(f"lock: on leaf {self.leaf}; a gate has leaves 0 and 1")
        above("lock play", self.play, "m")
        above("lock volts", self.volts, "V")
        above("lock pull", self.pull, "N")
        not_below("lock spring", self.spring, "N")
        not_below("lock friction", self.friction, "")


@dataclass(frozen=True, slots=True)
class PlantSpec:
    """One or two leaves with their drives, A first.

    overlap: m by which A's leading edge covers B's when shut (B shuts first, A opens first); 0 for none.
    wind: m/s, steady, positive blowing the leaves open. force_coefficient: of the leaf in the wind.
    strip: m by which B's edge stands off flush when it meets A's strip from the wrong side (the depth of
    the leaf and of the strip). lock: an electric lock on one of them.
    """

    leaves: tuple[tuple[LeafSpec | SlideSpec, DriveSpec], ...]
    overlap: float = 0.0
    wind: float = 0.0
    force_coefficient: float = 1.2
    strip: float = 0.05
    lock: LockSpec | None = None

    def __post_init__(self) -> None:
        if len(self.leaves) not in (1, 2):
            raise ValueError(f"leaves: {len(self.leaves)}; a gate has one or two")
        if self.lock is not None and self.lock.leaf >= len(self.leaves):
            raise ValueError("lock: on leaf B; this gate has one leaf")
        not_below("overlap", self.overlap, "m")
        finite("wind", self.wind, "m/s")
        not_below("force coefficient", self.force_coefficient, "")
        above("overlap strip", self.strip, "m")
        if self.overlap > 0.0 and len(self.leaves) == 1:
            raise ValueError(f"overlap: {self.overlap} m; one leaf has nothing to overlap")
        if self.overlap > 0.0 and any(leaf.kind is LeafKind.SLIDES for leaf, _ in self.leaves):
            raise ValueError(f"overlap: {self.overlap} m; leaves that slide meet edge to edge")
        if self.overlap >= min(leaf.width for leaf, _ in self.leaves):
            raise ValueError(f"overlap: {self.overlap} m; it must be less than a leaf's width")
        for leaf, drive in self.leaves:
            slides, racked = leaf.kind is LeafKind.SLIDES, isinstance(drive.linkage, RackLinkage)
            if slides and not racked:
                raise ValueError("drive: without a rack; a leaf that slides is moved by a rack")
            if racked and not slides:
                raise ValueError("drive: a rack; a leaf that swings needs a hinge drive, a ram or an arm")
            if slides and drive.hinge_pulses:
                raise ValueError("hinge pulses: a ring on a hinge; a leaf that slides has none")
            drive.linkage.check_reach(leaf.width, leaf.reach)
