"""Copper by length and size, against the standard's table and the drops worked out from it."""

from __future__ import annotations

import pytest

from simgate.files import UserError
from simgate.wiring.network import Network, resistor, source
from simgate.wiring.tables import conductors, core_ohms


def test_the_table_is_class_five_plain_copper() -> None:
    """W1. IEC 60228 class 5, maximum ohm/km at 20 C."""
    listed = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95}
    assert {core.size_mm2: core.ohm_per_km for core in conductors().core} == listed


@pytest.mark.parametrize(("celsius", "factor"), [(50.0, 1.118), (70.0, 1.197)])
def test_copper_warms_as_the_coefficient_says(celsius: float, factor: float) -> None:
    """W6, from W5 (IEC 60028). 1.1965 at 70 C is listed rounded up: half of the last digit, and no more."""
    assert core_ohms(10.0, 1.5, celsius) / core_ohms(10.0, 1.5) == pytest.approx(factor, abs=5e-4 + 1e-12)


@pytest.mark.parametrize(
    ("amps", "length", "size", "ohms", "drop"),
    [(3.0, 20.0, 1.5, 0.532, 1.596), (0.5, 50.0, 0.5, 3.90, 1.95)],
)
def test_the_drop_out_and_back_is_as_calculated(
    amps: float, length: float, size: float, ohms: float, drop: float
) -> None:
    """W11 and W13, from IEC 60228: a load that draws `amps` at the end of two cores, in the network."""
    core = core_ohms(length, size)
    load = 24.0 / amps - 2 * core
    parts = [
        source("supply", "out", "0", 24.0, 1e-9),
        resistor("there", "out", "far+", core),
        resistor("load", "far+", "far-", load),
        resistor("back", "far-", "0", core),
    ]
    solution = Network(["0", "out", "far+", "far-"], parts, "0").solve()
    seen = solution.volts("far+", "far-")
    assert seen is not None
    assert 2 * core == pytest.approx(ohms, abs=1e-9)
    assert solution.current("load") == pytest.approx(amps, rel=1e-6)
    assert 24.0 - seen == pytest.approx(drop, abs=1e-6)


def test_the_drop_at_fifty_degrees_is_as_calculated() -> None:
    """W12: W11 warmed by W6."""
    assert 3.0 * 2 * core_ohms(20.0, 1.5, 50.0) == pytest.approx(1.784, abs=5e-4)


def test_a_size_that_is_not_made_is_refused_with_those_that_are() -> None:
    with pytest.raises(UserError, match=r"0\.6 mm2.*0\.5, 0\.75, 1, 1\.5, 2\.5, 4 mm2"):
        core_ohms(1.0, 0.6)
