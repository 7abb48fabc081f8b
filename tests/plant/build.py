"""Leaves and drives for the tests of this room: plain parts, so that a test shows only what it is about."""

from __future__ import annotations

import math
from dataclasses import replace

from hypothesis import settings

from simgate.plant.leaf import Leaf
from simgate.plant.plant import Plant
from simgate.plant.spec import (
    ArmLinkage,
    DriveSpec,
    HingeLinkage,
    LeafSpec,
    MotorSpec,
    OilRamLinkage,
    PlantSpec,
    PumpSpec,
    RackLinkage,
    RamLinkage,
    SlideSpec,
)

FEW = settings(max_examples=25, deadline=None)  # each example is some seconds of a leaf's life
QUARTER = math.pi / 2.0

LEAF = LeafSpec(width=2.0, height=1.8, mass=100.0, open_angle=QUARTER)
FREE_LEAF = replace(LEAF, viscous=0.0, coulomb=0.0)
MOTOR = MotorSpec(0.9, 0.06, 2.0e-5, 2000.0, forward_efficiency=0.6, back_efficiency=0.4, holding=300.0)
FREE_MOTOR = MotorSpec(1.2, 0.06, 0.0, 2000.0, forward_efficiency=1.0, back_efficiency=1.0)
RAM = RamLinkage(a=0.15, b=0.15, arm=0.7, screw_lead=0.01)
RAM_MOTOR = MotorSpec(0.9, 0.06, 2.0e-5, 12.0, forward_efficiency=0.5, back_efficiency=0.3, holding=1.5)
HINGE_DRIVE = DriveSpec(MOTOR, HingeLinkage())
ARM = ArmLinkage(a=0.12, b=0.25, arm=0.4, rod=0.5, along=0.6, off=0.05)
ARM_DRIVE = DriveSpec(MOTOR, ARM)
RAM_DRIVE = DriveSpec(RAM_MOTOR, RAM)


SLIDE = SlideSpec(travel=4.0, width=4.5, height=1.8, mass=400.0)
FREE_SLIDE = replace(SLIDE, viscous=0.0, coulomb=0.0)
SLIDE_MOTOR = MotorSpec(0.9, 0.06, 2.0e-5, 30.0, forward_efficiency=0.6, back_efficiency=0.4, holding=15.0)
RACK = RackLinkage(pinion_radius=0.03)
RACK_DRIVE = DriveSpec(SLIDE_MOTOR, RACK)

PUMP = PumpSpec(displacement=2.5e-7, area_opening=6.5e-4, area_closing=9.6e-4, relief=4.0e6, lock=6.0e6)
OIL_MOTOR = MotorSpec(0.9, 0.06, 2.0e-5, 1.0, forward_efficiency=0.75, back_efficiency=0.3)
OIL = OilRamLinkage(RAM.a, RAM.b, RAM.arm, PUMP)
OIL_DRIVE = DriveSpec(OIL_MOTOR, OIL)


def one(
    leaf: LeafSpec | SlideSpec = LEAF, drive: DriveSpec = HINGE_DRIVE, wind: float = 0.0
) -> tuple[Plant, Leaf]:
    """A plant of one leaf, and the leaf."""
    plant = Plant(PlantSpec(((leaf, drive),), wind=wind))
    return plant, plant.leaves[0]


def free(leaf: LeafSpec | SlideSpec = FREE_LEAF) -> tuple[Plant, Leaf]:
    """A released leaf that nothing drives or brakes."""
    plant, moving = one(
        leaf, RACK_DRIVE if isinstance(leaf, SlideSpec) else DriveSpec(FREE_MOTOR, HingeLinkage())
    )
    moving.released = True
    return plant, moving


def drive(leaf: Leaf, volts: float, limit: float = math.inf, ohms: float = 0.0) -> None:
    """Put a supply on a leaf's motor."""
    leaf.powered = True
    leaf.volts, leaf.limit, leaf.ohms = volts, limit, ohms


def run(plant: Plant, seconds: float) -> None:
    """Step for a whole number of scans."""
    for _ in range(round(seconds * 100.0)):
        plant.step()


class Watch:
    """One leaf stepped by the millisecond: when it first touched a stop, and what it felt."""

    def __init__(self, leaf: Leaf, wind: float = 0.0) -> None:
        self.leaf = leaf
        self.wind = wind
        self.clock = 0

    def scan(self) -> list[tuple[float, float, float]]:
        """(seconds, place, speed) at the end of each of ten steps, always by the step of 1 ms."""
        leaf = self.leaf
        trail = []
        asleep = leaf.begin(self.wind)
        for _ in range(10):
            if not asleep:
                leaf.grind(0.0)
            self.clock += 1
            trail.append((self.clock / 1000.0, leaf.place, leaf.speed))
        if not asleep:
            leaf.settle()
        return trail
