"""Ready drives for a site file to name: in-ground and post-top, both turning the hinge itself.

A trainer who draws a gate knows where its drive sits, seldom what its winding measures. The figures are
data (presets.toml) in the same words as a site file's own motor, so that one can be copied into the other.
What may be written has wide bounds: beyond them a step could no longer be computed in floats.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Annotated

from msgspec import Meta

from simgate.files import Shape, read
from simgate.plant.spec import DriveSpec, HingeLinkage, MotorSpec

Torque = Annotated[float, Meta(ge=0, le=1e5)]  # N m, or per rad/s; far above any gate


class MotorFile(Shape, frozen=True):
    """A direct-current motor and its gear, as [leaf.motor] of a site or [preset.motor].

    no_load_a: half an ampere is an ordinary figure for a 24 V gearmotor (common practice), hence the default.
    """

    resistance_ohm: Annotated[float, Meta(ge=0.01, le=1000)]
    constant_nm_per_a: Annotated[float, Meta(ge=0.001, le=10)]
    rotor_inertia_kgm2: Annotated[float, Meta(ge=0, le=0.1)]
    reduction: Annotated[float, Meta(ge=0.1, le=1e5)]
    forward_efficiency: Annotated[float, Meta(ge=0.01, le=1)] = 0.6
    back_efficiency: Annotated[float, Meta(ge=0.01, le=1)] = 0.4
    holding_nm: Torque = 0.0
    pulses_per_turn: Annotated[int, Meta(ge=1, le=64)] = 2
    no_load_a: Annotated[float, Meta(ge=0, le=10)] = 0.5

    def spec(self) -> MotorSpec:
        """The motor. Raises ValueError for one that cannot be built."""
        return MotorSpec(
            resistance=self.resistance_ohm,
            constant=self.constant_nm_per_a,
            rotor_inertia=self.rotor_inertia_kgm2,
            reduction=self.reduction,
            forward_efficiency=self.forward_efficiency,
            back_efficiency=self.back_efficiency,
            holding=self.holding_nm,
            pulses_per_turn=self.pulses_per_turn,
            no_load=self.no_load_a,
        )


class Preset(Shape, frozen=True):
    """One ready drive. about: where it is mounted and what for, in plain words."""

    name: str
    about: str
    motor: MotorFile

    def drive(self) -> DriveSpec:
        """The drive, turning the hinge itself."""
        return DriveSpec(self.motor.spec(), HingeLinkage(self.name))


class _Presets(Shape, frozen=True):
    preset: list[Preset]


@cache
def presets() -> dict[str, Preset]:
    """Every preset by its name, in the order of the file."""
    file, _ = read(Path(__file__).with_name("presets.toml"), _Presets)
    return {preset.name: preset for preset in file.preset}
