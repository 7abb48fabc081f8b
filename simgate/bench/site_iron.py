"""The iron of a site file: its leaves with their drives, as written, checked and turned into specs.

Here mm, degrees, cm3 and bar become m, rad, m3 and Pa; nothing below knows them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, Literal

from msgspec import Meta

from simgate.files import Document, Problem, Shape, nearest, shown
from simgate.plant.presets import MotorFile, Torque, presets
from simgate.plant.spec import (
    ArmLinkage,
    DriveSpec,
    HingeLinkage,
    LeafSpec,
    OilRamLinkage,
    PumpSpec,
    RamLinkage,
)

Share = Annotated[float, Meta(ge=0, le=1)]
Size = Annotated[float, Meta(ge=1, le=5000)]  # mm of a part
Offset = Annotated[float, Meta(ge=0, le=5000)]  # mm
Slope = Annotated[float, Meta(ge=-1e5, le=1e5)]  # N m
BAR = 1.0e5  # Pa


class RamFile(Shape, frozen=True):
    """[leaf.ram]: mounting dimensions of a linear ram; without a linkage the drive turns the hinge itself."""

    a_mm: Offset
    b_mm: Size
    arm_mm: Size
    screw_lead_mm: Annotated[float, Meta(ge=0.1, le=1000)]

    def linkage(self) -> RamLinkage:
        """The linkage in m."""
        return RamLinkage(self.a_mm / 1000, self.b_mm / 1000, self.arm_mm / 1000, self.screw_lead_mm / 1000)


class ArmFile(Shape, frozen=True):
    """[leaf.arm]: mounting dimensions of a folding arm."""

    a_mm: Offset
    b_mm: Offset
    arm_mm: Size
    rod_mm: Size
    along_mm: Size
    off_mm: Offset = 0.0

    def linkage(self) -> ArmLinkage:
        """The linkage in m."""
        return ArmLinkage(
            self.a_mm / 1000,
            self.b_mm / 1000,
            self.arm_mm / 1000,
            self.rod_mm / 1000,
            self.along_mm / 1000,
            self.off_mm / 1000,
        )


class OilRamFile(Shape, frozen=True):
    """[leaf.oil_ram]: mounting dimensions, cylinder and pump of a hydraulic ram. lock_bar 0: no oil lock."""

    a_mm: Offset
    b_mm: Size
    arm_mm: Size
    bore_mm: Annotated[float, Meta(ge=5, le=500)]
    rod_mm: Annotated[float, Meta(ge=1, le=500)]
    pump_cm3: Annotated[float, Meta(ge=0.01, le=100)]
    relief_bar: Annotated[float, Meta(ge=1, le=700)]
    lock_bar: Annotated[float, Meta(ge=0, le=2000)] = 0.0

    def linkage(self) -> OilRamLinkage:
        """The linkage in m, its pump in m3 and Pa. Raises ValueError for a rod that fills the bore."""
        bore, rod = (math.pi / 4 * (size / 1000) ** 2 for size in (self.bore_mm, self.rod_mm))
        if rod >= bore:
            raise ValueError(f"oil ram rod: {self.rod_mm} mm; it must be thinner than the bore")
        pump = PumpSpec(self.pump_cm3 * 1e-6, bore - rod, bore, self.relief_bar * BAR, self.lock_bar * BAR)
        return OilRamLinkage(self.a_mm / 1000, self.b_mm / 1000, self.arm_mm / 1000, pump)


class LeafFile(Shape, frozen=True):
    """[[leaf]]: one leaf, A first. drive: a ready drive on the hinge by name, or a motor of its own."""

    name: Literal["A", "B"]
    width_m: Annotated[float, Meta(gt=0.3, le=8)]
    height_m: Annotated[float, Meta(gt=0.3, le=4)]
    mass_kg: Annotated[float, Meta(gt=1, le=2000)]
    open_deg: Annotated[float, Meta(ge=30, le=170)]
    drive: str | None = None
    motor: MotorFile | None = None
    ram: RamFile | None = None
    arm: ArmFile | None = None
    oil_ram: OilRamFile | None = None
    viscous_nms: Torque = 5.0
    friction_nm: Torque = 20.0
    slope_nm: Slope = 0.0
    slope_at_deg: Annotated[float, Meta(ge=-360, le=360)] = 0.0
    solidity: Share = 0.3

    def linkages(self) -> dict[str, RamFile | ArmFile | OilRamFile]:
        """What was written between drive and leaf, by its key."""
        given = {"ram": self.ram, "arm": self.arm, "oil_ram": self.oil_ram}
        return {key: linkage for key, linkage in given.items() if linkage is not None}

    def winding_ohm(self) -> float:
        """Resistance of the motor's winding; 0 where the drive is one that `leaf_problems` refuses."""
        motor = self.motor
        if motor is None and self.drive in presets():
            motor = presets()[self.drive].motor
        return 0.0 if motor is None else motor.resistance_ohm


def leaf_problems(file: LeafFile, index: int, document: Document) -> Iterator[Problem]:
    """What the shape alone cannot say of a leaf: one drive, and one way from it to the leaf."""
    place: list[str | int] = ["leaf", index]
    linkages = list(file.linkages())
    if file.drive is None and file.motor is None:
        known = ", ".join(presets())
        yield document.problem([*place, "motor"], "nothing", f"a [leaf.motor], or drive as one of: {known}")
    elif file.drive is not None and file.motor is not None:
        yield document.problem([*place, "drive"], "a drive by name and a [leaf.motor]", "one of the two")
    elif file.drive is not None and file.drive not in presets():
        yield document.problem([*place, "drive"], shown(file.drive), nearest(file.drive, presets()))
    elif file.drive is not None and linkages:
        yield document.problem(
            [*place, linkages[0]], f"a linkage for '{file.drive}'", "none: that drive turns the hinge itself"
        )
    if len(linkages) > 1:
        yield document.problem([*place, linkages[1]], " and ".join(linkages), "one linkage for one drive")


def leaf_specs(file: LeafFile) -> tuple[LeafSpec, DriveSpec]:
    """A leaf without problems, and its drive. Raises ValueError for what cannot be built."""
    leaf = LeafSpec(
        width=file.width_m,
        height=file.height_m,
        mass=file.mass_kg,
        open_angle=math.radians(file.open_deg),
        viscous=file.viscous_nms,
        coulomb=file.friction_nm,
        slope=file.slope_nm,
        slope_at=math.radians(file.slope_at_deg),
        solidity=file.solidity,
    )
    if file.motor is None:
        return leaf, presets()[file.drive or ""].drive()
    linkages = list(file.linkages().values())
    return leaf, DriveSpec(file.motor.spec(), linkages[0].linkage() if linkages else HingeLinkage())
