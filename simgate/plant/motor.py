"""Closed forms of the permanent-magnet DC motor: what a leaf's drive settles at.

Theory. i = (V - k w) / R and T = k i, with V and R of the whole loop (supply, wires, winding). So speed
falls straight with torque: w = (V - R T / k) / k, from the light speed V / k down to the stall torque
k V / R. leaf.py uses the same line inside its step; these are the figures that a person can check it by.
"""

from __future__ import annotations


def current(volts: float, ohms: float, constant: float, speed: float) -> float:
    """Loop current, A, at `speed` rad/s of the shaft: `volts` V over `ohms` ohm less the back-emf."""
    return (volts - constant * speed) / ohms


def steady_speed(volts: float, ohms: float, constant: float, load: float) -> float:
    """Shaft speed, rad/s, under a steady `load` in N m."""
    return (volts - ohms * load / constant) / constant


def stall_torque(volts: float, ohms: float, constant: float) -> float:
    """Shaft torque, N m, at standstill."""
    return constant * volts / ohms


def peak_power(volts: float, ohms: float) -> float:
    """Greatest shaft power, W: at half the stall torque and half the light speed."""
    return volts * volts / (4.0 * ohms)
