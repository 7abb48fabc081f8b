"""Refusals in plain words for numbers that no iron can have: 'leaf width: -2.0 m; it must be above 0'.

Everything that is built is asked here once, so that the hot step never has to ask whether a number makes
sense. Each raises ValueError; a site file shows its words as they are.
"""

from __future__ import annotations

import math


def above(what: str, value: float, unit: str) -> None:
    """Refuse what is not a finite number above 0."""
    if not (math.isfinite(value) and value > 0.0):
        raise ValueError(f"{what}: {value} {unit}; it must be above 0")


def not_below(what: str, value: float, unit: str) -> None:
    """Refuse what is not a finite number of 0 or more."""
    if not (math.isfinite(value) and value >= 0.0):
        raise ValueError(f"{what}: {value} {unit}; it must be 0 or more")


def share(what: str, value: float) -> None:
    """Refuse what is not above 0 and at most 1."""
    if not 0.0 < value <= 1.0:
        raise ValueError(f"{what}: {value}; it must be above 0 and at most 1")


def finite(what: str, value: float, unit: str) -> None:
    """Refuse what is not a plain number."""
    if not math.isfinite(value):
        raise ValueError(f"{what}: {value} {unit}; it must be a plain number")
