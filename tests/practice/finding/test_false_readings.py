"""Ohms, continuity and diode test on a live circuit: they cost their time and count for nothing found."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.practice.finding_told import Waste
from tests.practice.finding.made import finding, measured


@pytest.mark.parametrize("instrument", ["ohms", "continuity", "diode"])
def test_a_reading_on_a_live_circuit_tells_nothing(instrument: str) -> None:
    """The whole 24 V stands across the parted core. Check value K11: any outside voltage corrupts it."""
    probe = do.Probe(instrument, "stop-barn.2", "post-left.3")
    (live,) = finding(probe).looks
    assert live.words.endswith("on a live circuit: a false reading")
    assert (live.bits, live.waste) == (0.0, Waste.UNKNOWN)
    assert live.before == live.after
    assert live.seconds > 100.0
    (dead,) = finding(do.Mains(False), probe).looks
    assert dead.bits > 1.0


def test_a_circuit_without_any_voltage_is_measured_with_the_isolator_on_all_the_same() -> None:
    """Bad conduct, which costs marks by itself; but between two loose ends nothing misleads the meter."""
    work = (do.Mains(False), do.PartWire("motor-a-brown"), do.PartWire("motor-a-blue"), do.Mains(True))
    taken = measured(*work, do.Probe("ohms", "motor-a.1", "motor-a.2")).trail.ledger.taken
    assert "false" not in taken[-1].words
