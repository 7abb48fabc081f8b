"""A plant that cannot be built says so in plain words, where it is described."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from simgate.plant.spec import DriveSpec, PlantSpec
from tests.plant.build import HINGE_DRIVE, LEAF, MOTOR, RAM, RAM_MOTOR

WRONG: dict[str, tuple[Callable[[], object], str]] = {
    "no width": (lambda: replace(LEAF, width=0.0), "leaf width: 0.0 m; it must be above 0"),
    "no number": (lambda: replace(LEAF, mass=float("nan")), "leaf mass"),
    "endless": (lambda: replace(LEAF, height=float("inf")), "leaf height"),
    "no travel": (lambda: replace(LEAF, open_angle=-1.0), "open angle"),
    "weightless": (lambda: replace(LEAF, inertia=0.0), "leaf inertia"),
    "helping friction": (lambda: replace(LEAF, coulomb=-1.0), "dry friction"),
    "helping oil": (lambda: replace(LEAF, viscous=-1.0), "viscous"),
    "more than solid": (lambda: replace(LEAF, solidity=1.2), "solidity"),
    "soft stop": (lambda: replace(LEAF, stop_stiffness=0.0), "stop stiffness"),
    "no winding": (lambda: replace(MOTOR, resistance=0.0), "motor resistance"),
    "no flux": (lambda: replace(MOTOR, constant=0.0), "motor constant"),
    "a gear that gives": (lambda: replace(MOTOR, forward_efficiency=1.1), "forward efficiency"),
    "a gear that takes all": (lambda: replace(MOTOR, back_efficiency=0.0), "back efficiency"),
    "no pulses": (lambda: replace(MOTOR, pulses_per_turn=0), "pulses per turn"),
    "a motor that turns by itself": (lambda: replace(MOTOR, no_load=-0.1), "no-load current"),
    "no thread": (lambda: replace(RAM, screw_lead=0.0), "screw lead"),
    "no brackets": (lambda: replace(RAM, a=0.0, b=0.0), "leverage"),
    "no leaf": (lambda: PlantSpec(()), "one or two"),
    "three leaves": (lambda: PlantSpec(((LEAF, HINGE_DRIVE),) * 3), "one or two"),
    "lone overlap": (lambda: PlantSpec(((LEAF, HINGE_DRIVE),), overlap=0.1), "nothing to overlap"),
    "wide overlap": (lambda: PlantSpec(((LEAF, HINGE_DRIVE),) * 2, overlap=3.0), "less than a leaf"),
    "ram in line with the shut leaf": (
        lambda: PlantSpec(((LEAF, DriveSpec(RAM_MOTOR, replace(RAM, b=0.0))),)),
        "no leverage",
    ),
    "dead centre": (
        lambda: PlantSpec(((replace(LEAF, open_angle=2.4), DriveSpec(RAM_MOTOR, RAM)),)),
        "dead centre",
    ),
    "arm past the leaf": (
        lambda: PlantSpec(((LEAF, DriveSpec(RAM_MOTOR, replace(RAM, arm=2.5))),)),
        "must be on the leaf",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_built_is_refused_in_plain_words(case: str) -> None:
    make, words = WRONG[case]
    with pytest.raises(ValueError, match=words):
        make()


def test_a_given_inertia_is_used_instead_of_the_slab() -> None:
    assert replace(LEAF, inertia=90.0).moment == 90.0
