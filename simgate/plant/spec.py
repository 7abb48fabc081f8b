"""The iron as numbers: leaves, drives, linkages, stops. SI throughout; angles in rad from shut.

Frozen, and checked where they are made, so that the hot step never has to ask whether a number makes
sense. What a site file says in mm and degrees is turned into these by the bench.
"""

from __future__ import annotations

from dataclasses import dataclass


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


@dataclass(frozen=True, slots=True)
class MotorSpec:
    """A permanent-magnet DC motor with its reduction.

    resistance: winding, ohm. constant: N m/A, which is V s/rad. rotor_inertia: kg m2 at the motor shaft.
    reduction: motor turns per turn of the gearbox output. forward_efficiency: motor drives leaf.
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


@dataclass(frozen=True, slots=True)
class HingeLinkage:
    """The gearbox output turns the leaf itself: ratio 1 at every angle."""


@dataclass(frozen=True, slots=True)
class RamLinkage:
    """A linear ram between a post bracket and a leaf bracket.

    a: m, from the hinge along the shut leaf's line, outward past the post, to the post pivot.
    b: m, from the hinge at right angles to the shut leaf, on the drive's side, to the post pivot.
    arm: m, from the hinge along the leaf to the leaf pivot. screw_lead: m of ram travel per turn of the
    gearbox output. The ram shortens as the leaf opens towards its own side.
    """

    a: float
    b: float
    arm: float
    screw_lead: float


@dataclass(frozen=True, slots=True)
class DriveSpec:
    """One drive: a motor and the linkage through which it turns its leaf."""

    motor: MotorSpec
    linkage: HingeLinkage | RamLinkage


@dataclass(frozen=True, slots=True)
class PlantSpec:
    """One or two leaves with their drives, A first.

    overlap: m by which A's leading edge covers B's when shut (B shuts first, A opens first); 0 for none.
    wind: m/s, steady, positive blowing the leaves open. force_coefficient: of the leaf in the wind.
    """

    leaves: tuple[tuple[LeafSpec, DriveSpec], ...]
    overlap: float = 0.0
    wind: float = 0.0
    force_coefficient: float = 1.2
