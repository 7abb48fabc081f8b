"""The iron of a site file: its leaves with their drives, as written, checked and turned into specs.

Here mm, degrees, percent, cm3 and bar become m, rad, shares, m3 and Pa; nothing below knows them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Literal

from msgspec import Meta

from simgate.files import Document, Problem, Shape, nearest, shown
from simgate.plant.gradient import pull
from simgate.plant.presets import MotorFile, Torque, presets
from simgate.plant.spec import (
    ArmLinkage,
    DriveSpec,
    HingeLinkage,
    LeafSpec,
    OilRamLinkage,
    PumpSpec,
    RackLinkage,
    RamLinkage,
    SlideSpec,
)

Share = Annotated[float, Meta(ge=0, le=1)]
Size = Annotated[float, Meta(ge=1, le=5000)]  # mm of a part
Offset = Annotated[float, Meta(ge=0, le=5000)]  # mm
Slope = Annotated[float, Meta(ge=-1e5, le=1e5)]  # N m
Reach = Annotated[float, Meta(ge=30, le=170)]  # degrees
Turn = Annotated[float, Meta(ge=-360, le=360)]  # degrees
BAR = 1.0e5  # Pa
WIDEST_SWING = 8.0  # m; what a hinge can carry, a leaf on a track may be longer


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


class RackFile(Shape, frozen=True):
    """[leaf.rack]: the toothed rack along a leaf that slides, by the pinion that runs in it."""

    module_mm: Annotated[float, Meta(ge=0.5, le=20)]
    teeth: Annotated[int, Meta(ge=8, le=100)]

    def linkage(self) -> RackLinkage:
        """The pinion by its pitch circle, whose diameter is module times teeth (ISO 21771)."""
        return RackLinkage(self.module_mm * self.teeth / 2 / 1000)


class SlideFile(Shape, frozen=True):
    """[leaf.slide]: the track of a leaf that slides. gradient_percent: positive falls towards open."""

    travel_m: Annotated[float, Meta(ge=0.5, le=20)]
    viscous_ns_m: Annotated[float, Meta(ge=0, le=1e5)] = 20.0
    friction_n: Annotated[float, Meta(ge=0, le=1e5)] = 60.0
    gradient_percent: Annotated[float, Meta(ge=-20, le=20)] = 0.0
    guide_friction: Share = 0.1


class LeafFile(Shape, frozen=True):
    """[[leaf]]: one leaf, A first. It swings by open_deg, or has a [leaf.slide].

    drive: a ready drive on the hinge by name, or a motor of its own. hinge_pulses: of a pulse ring on the
    hinge, per turn of the leaf; without it the motor shaft gives the pulses.
    """

    name: Literal["A", "B"]
    width_m: Annotated[float, Meta(gt=0.3, le=20)]
    height_m: Annotated[float, Meta(gt=0.3, le=4)]
    mass_kg: Annotated[float, Meta(gt=1, le=2000)]
    open_deg: Reach | None = None
    slide: SlideFile | None = None
    drive: str | None = None
    motor: MotorFile | None = None
    ram: RamFile | None = None
    arm: ArmFile | None = None
    oil_ram: OilRamFile | None = None
    rack: RackFile | None = None
    hinge_pulses: Annotated[int, Meta(ge=0, le=65536)] = 0
    viscous_nms: Torque | None = None
    friction_nm: Torque | None = None
    slope_nm: Slope | None = None
    slope_at_deg: Turn | None = None
    solidity: Share = 0.3

    def linkages(self) -> dict[str, RamFile | ArmFile | OilRamFile | RackFile]:
        """What was written between drive and leaf, by its key."""
        given = {"ram": self.ram, "arm": self.arm, "oil_ram": self.oil_ram, "rack": self.rack}
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
    yield from (
        _slide_problems(file, place, document) if file.slide else _swing_problems(file, place, document)
    )


def _swing_problems(file: LeafFile, place: list[str | int], document: Document) -> Iterator[Problem]:
    if file.open_deg is None:
        yield document.problem(
            [*place, "open_deg"], "nothing", "30 to 170 of a leaf that swings, or a [leaf.slide]"
        )
    if file.width_m > WIDEST_SWING:
        yield document.problem(
            [*place, "width_m"], shown(file.width_m), f"at most {WIDEST_SWING:g} of a leaf that swings"
        )
    if file.rack is not None:
        yield document.problem([*place, "rack"], "a rack for a leaf that swings", "a [leaf.slide] with it")


def _slide_problems(file: LeafFile, place: list[str | int], document: Document) -> Iterator[Problem]:
    for key in ("open_deg", "viscous_nms", "friction_nm", "slope_nm", "slope_at_deg"):
        if getattr(file, key) is not None:
            yield document.problem(
                [*place, key], "a figure of a leaf that swings", "none: a [leaf.slide] has its own"
            )
    if file.hinge_pulses:
        yield document.problem(
            [*place, "hinge_pulses"], "a ring on a hinge", "0: a leaf that slides has none"
        )
    if file.drive is not None:
        yield document.problem([*place, "drive"], shown(file.drive), "a [leaf.motor] of its own, with a rack")
    elif file.rack is None:
        yield document.problem([*place, "rack"], "nothing", "a [leaf.rack] for a leaf that slides")


def leaf_specs(file: LeafFile) -> tuple[LeafSpec | SlideSpec, DriveSpec]:
    """A leaf without problems, and its drive. Raises ValueError for what cannot be built."""
    leaf = _swing(file) if file.slide is None else _slide(file, file.slide)
    if file.motor is None:
        return leaf, replace(presets()[file.drive or ""].drive(), hinge_pulses=file.hinge_pulses)
    linkages = list(file.linkages().values())
    linkage = linkages[0].linkage() if linkages else HingeLinkage()
    return leaf, DriveSpec(file.motor.spec(), linkage, file.hinge_pulses)


def _swing(file: LeafFile) -> LeafSpec:
    written = {
        "viscous": file.viscous_nms,
        "coulomb": file.friction_nm,
        "slope": file.slope_nm,
        "slope_at": None if file.slope_at_deg is None else math.radians(file.slope_at_deg),
    }
    return LeafSpec(
        width=file.width_m,
        height=file.height_m,
        mass=file.mass_kg,
        open_angle=math.radians(file.open_deg or 0.0),
        solidity=file.solidity,
        **{key: value for key, value in written.items() if value is not None},
    )


def _slide(file: LeafFile, slide: SlideFile) -> SlideSpec:
    return SlideSpec(
        travel=slide.travel_m,
        width=file.width_m,
        height=file.height_m,
        mass=file.mass_kg,
        viscous=slide.viscous_ns_m,
        coulomb=slide.friction_n,
        slope=pull(file.mass_kg, slide.gradient_percent / 100),
        solidity=file.solidity,
        guide=slide.guide_friction,
    )
