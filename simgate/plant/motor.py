"""Closed forms of the permanent-magnet DC motor: what a leaf's drive settles at.

Theory. i = (V - k w) / R and T = k (i - I0), with V and R of the whole loop (supply, wires, winding). I0,
the no-load current, is what brushes, bearings and the fast end of the gear take: dry friction of k I0 at
the shaft, taken as the same at every speed. So speed falls straight with torque:
w = (V - R (I0 + T / k)) / k, from the light speed (V - I0 R) / k down to the stall torque k (V / R - I0).
drive.py uses the same line inside its step; these are the figures that a person can check it by.
"""

from __future__ import annotations

import math

from simgate.plant.spec import DriveSpec, MotorSpec


def current(volts: float, ohms: float, constant: float, speed: float) -> float:
    """Loop current, A, at `speed` rad/s of the shaft: `volts` V over `ohms` ohm less the back-emf."""
    return (volts - constant * speed) / ohms


def steady_speed(volts: float, ohms: float, constant: float, load: float, no_load: float = 0.0) -> float:
    """Shaft speed, rad/s, under a steady `load` in N m; without one, the light speed."""
    return (volts - ohms * (no_load + load / constant)) / constant


def stall_torque(volts: float, ohms: float, constant: float, no_load: float = 0.0) -> float:
    """Shaft torque, N m, with which it comes to a standstill."""
    return constant * (volts / ohms - no_load)


def peak_power(volts: float, ohms: float, no_load: float = 0.0) -> float:
    """Greatest shaft power, W: at half the stall torque and half the light speed."""
    free = volts - no_load * ohms
    return free * free / (4.0 * ohms)


def peak_efficiency(volts: float, ohms: float, no_load: float) -> float:
    """Greatest share of the electric power that reaches the shaft: (1 - sqrt(I0 / Is))^2."""
    return (1.0 - math.sqrt(no_load * ohms / volts)) ** 2


def peak_efficiency_current(volts: float, ohms: float, no_load: float) -> float:
    """Loop current, A, at that point: sqrt(I0 Is), with Is = V / R the stall current."""
    return math.sqrt(no_load * volts / ohms)


def relief_amps(drive: DriveSpec) -> float:
    """A beyond the no-load current at which the relief valve of a drive with a pump opens."""
    assert drive.pump is not None
    motor = drive.motor
    through = motor.forward_efficiency * motor.constant * motor.reduction
    return drive.pump.torque(drive.pump.relief) / through


def held_by(motor: MotorSpec, holding: float) -> float:
    """N m at the gearbox output that hold a leaf whose motor has no supply."""
    return max(holding, motor.constant * motor.no_load * motor.reduction / motor.back_efficiency)
