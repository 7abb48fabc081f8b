"""The mains side in volts AC, and the diode test: what each reads on sound and on open copper."""

from __future__ import annotations

import pytest

from simgate.bench.site import load_site
from simgate.wiring.harness import Harness
from simgate.wiring.mains import EARTH, MainsSide
from simgate.wiring.meter import MAINS_CAUTION, Instrument, Reading, read

L, N = "board.MAINS-L", "board.MAINS-N"


def diode(harness: Harness, a: str, b: str) -> Reading:
    return read(Instrument.DIODE, harness, harness.word_dead(), (0.0, 0.0), (0.0, 0.0), a, b)


@pytest.mark.parametrize(
    ("open_core", "isolator", "phase_neutral", "phase_earth", "neutral_earth"),
    [
        ("", True, 230.0, 230.0, 0.0),
        ("", False, 0.0, 0.0, 0.0),
        ("mains-lead-l", True, 0.0, 0.0, 0.0),
        ("mains-supply-l", True, 0.0, 0.0, 0.0),
        # N open: the transformer lifts the board's N to L, so that L to N reads nothing and N to PE all of it
        ("mains-lead-n", True, 0.0, 230.0, 230.0),
    ],
)
def test_volts_ac_at_the_board_tell_which_core_is_open(
    open_core: str, isolator: bool, phase_neutral: float, phase_earth: float, neutral_earth: float
) -> None:
    """By hand, from 230 V (IEC 60038) and a neutral that is earthed at the house (TN)."""
    mains = MainsSide()
    if open_core:
        mains.part(open_core, True)
    assert mains.switched(isolator) is (phase_neutral > 0.0)
    assert mains.volts(L, N) == pytest.approx(phase_neutral, abs=0.5)
    assert mains.volts(L, EARTH) == pytest.approx(phase_earth, abs=0.5)
    assert mains.volts(N, EARTH) == pytest.approx(neutral_earth, abs=0.5)
    mains.renew()
    assert mains.switched(True)


def test_the_meter_reads_mains_with_its_caution() -> None:
    harness = Harness(load_site("yard-single").wiring)
    word = harness.word_at_rest()
    reading = read(Instrument.VOLTS_AC, harness, word, (0.0,), (0.0,), "mains.L", "mains.N")
    assert reading.text == "229.7 V AC"  # 230 V less what its load drops on the way
    assert reading.caution == MAINS_CAUTION


def test_a_diode_test_reads_the_drop_of_a_rectifier_either_way_round_and_ohms_as_their_share() -> None:
    """A head alone on its cores has two diodes of about 0.6 V in its way; 4.7 kohm take
    2.5 V x 4.7 / (2.5 + 4.7) = 1.632 V of the test."""
    harness = Harness(load_site("mews-double").wiring)
    for device in harness.heads:
        for wire in harness.wires():
            if wire.b.startswith(f"{device}.") or wire.a.startswith(f"{device}."):
                harness.wire(wire.name).undone = True
    harness.changed()
    head = next(iter(harness.heads))
    for a, b in ((f"{head}.1", f"{head}.2"), (f"{head}.2", f"{head}.1")):
        reading = diode(harness, a, b)
        assert reading.value == pytest.approx(1.2, abs=0.01)
        assert reading.text.endswith(" V")
    harness.part_wire(next(wire.name for wire in harness.wires() if "board.STOP" in (wire.a, wire.b)))
    assert diode(harness, "board.STOP", "board.0V").value == pytest.approx(1.632, abs=0.001)
    assert diode(harness, f"{head}.1", "board.0V").text == "OL"
    harness.fitting(head).kill("head", True)
    harness.changed()
    assert diode(harness, f"{head}.1", f"{head}.2").text == "OL"
