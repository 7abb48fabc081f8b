"""The pull of a track that is not level: the part of a leaf's weight that runs along it.

Theory. A mass on an incline of angle a is pulled along it by m g sin a. A gradient is the rise over the
run, so a = atan(gradient); for the few per cent of any track sin and tan differ by less than a thousandth,
but a gate that weighs a tonne on a bad track is the one that somebody calculates.
"""

from __future__ import annotations

import math

GRAVITY = 9.80665  # m/s2, standard acceleration of free fall (3rd CGPM, 1901)


def pull(mass: float, gradient: float) -> float:
    """Force, N, along a track on `mass` kg; gradient: fall over run, positive where it runs open."""
    return mass * GRAVITY * math.sin(math.atan(gradient))
