"""Closed forms of a leaf meeting something elastic: what a force gauge should read.

Theory. A leaf about its hinge, touched at radius r, is a mass m = I / r^2 moving at v = omega r. On a
spring k it coasts to a peak of v sqrt(k m), a quarter of a period after touching; with a constant
drive force F0 behind it the peak is F0 + sqrt(F0^2 + k m v^2) (energy balance). The step in leaf.py
must agree with these where it can (no damping, no friction); without them a wrong contact would still
look plausible on the screen.
"""

from __future__ import annotations

import math


def slab_inertia(mass: float, width: float) -> float:
    """Inertia, kg m2, of a uniform slab of `mass` kg and `width` m about its edge."""
    return mass * width * width / 3.0


def effective_mass(inertia: float, radius: float) -> float:
    """Mass, kg, that a body at `radius` m feels from a leaf of `inertia` kg m2."""
    return inertia / (radius * radius)


def peak_coasting(mass: float, speed: float, stiffness: float) -> float:
    """Peak force, N, of `mass` kg at `speed` m/s onto a spring of `stiffness` N/m, nothing driving."""
    return abs(speed) * math.sqrt(stiffness * mass)


def peak_driven(drive: float, mass: float, speed: float, stiffness: float) -> float:
    """Peak force, N, as `peak_coasting`, with a constant `drive` force in N all the while."""
    return drive + math.sqrt(drive * drive + stiffness * mass * speed * speed)


def speed_reaching(force: float, mass: float, stiffness: float) -> float:
    """Speed, m/s, whose coasting peak just reaches `force` N."""
    return force / math.sqrt(stiffness * mass)


def time_to_peak(mass: float, stiffness: float) -> float:
    """Time, s, from touching to the coasting peak: a quarter of the period."""
    return 0.5 * math.pi * math.sqrt(mass / stiffness)
