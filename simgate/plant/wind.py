"""Wind on a leaf: velocity pressure and the torque that it makes about the hinge.

Theory. Pressure q = rho v^2 / 2 with rho 1.25 kg/m3 (EN 1991-1-4, 4.5). The wind blows square to the
gate line, so a leaf at angle th shows it cos(th) of its area; the force is normal to the leaf and acts
at half its width: M = q c s (w h) (w / 2) cos(th). Past 90 degrees the sign turns by itself: a leaf in
a wind that blows it open streams at 90 degrees like a flag. Positive opens.
"""

from __future__ import annotations

import math

AIR_DENSITY = 1.25  # kg/m3, the recommended value of EN 1991-1-4, 4.5


def pressure(speed: float) -> float:
    """Velocity pressure, Pa, with the sign of `speed` in m/s."""
    return 0.5 * AIR_DENSITY * speed * abs(speed)


def force(speed: float, coefficient: float, area: float) -> float:
    """Force, N, square on `area` m2 (already reduced by solidity) in a wind of `speed` m/s."""
    return pressure(speed) * coefficient * area


def torque(speed: float, coefficient: float, area: float, width: float, angle: float = 0.0) -> float:
    """Torque about the hinge, N m, positive opens, on a leaf `width` m wide at `angle` rad from shut."""
    return force(speed, coefficient, area) * 0.5 * width * math.cos(angle)
