"""The instruments in the Toolbag, each of them part of the circuit that it measures.

A voltmeter loads what it reads by its 10 Mohm; an ohmmeter drives its own current and knows nothing of
any other. Both are worked out from what stands between the two points (voltage and resistance, exact
for a network of resistors and sources), so a live circuit gives the ohmmeter the same nonsense as in
life. A meter that looked the resistor up would teach people to measure ohms on live circuits.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

from simgate.wiring import diodes
from simgate.wiring.harness import Harness

INPUT_OHMS = 10e6  # a usual digital meter; custom, not a standard's figure
TEST_VOLTS = 1.0  # the ohmmeter's own source, below what turns a semiconductor on by much
TEST_OHMS = 1000.0
BEEP_OHMS = 30.0  # a usual threshold of continuity testers
OHM_RANGES = (("Ω", 1.0, (400.0,)), ("kΩ", 1e3, (4.0, 40.0, 400.0)), ("MΩ", 1e6, (4.0, 40.0)))
COUNTS = 4000  # the display goes to 3999 and then changes range

MAINS_CAUTION = (
    "Mains voltage kills. Only a licensed person opens and measures here, with probes and leads made for it, "
    "as the local code says."
)
LIVE_CAUTION = (
    "This circuit is live: the reading means nothing and the meter may be damaged. "
    "Isolate, prove dead, lift one end, then measure ohms. Local code and a competent person decide."
)


class Instrument(Enum):
    """What can be put on. VOLTS are DC. CLAMP goes round a wire, the others touch two points."""

    VOLTS = "volts"
    OHMS = "ohms"
    CONTINUITY = "continuity"
    CLAMP = "clamp"
    DIODE = "diode"
    VOLTS_AC = "volts-ac"  # on the mains side only


@dataclass(frozen=True, slots=True)
class Reading:
    """value: V, ohm or A as measured, before the display rounds it; None when there is none ('OL').

    text: as the display shows it. caution: what a trade person must hear now, '' for nothing.
    """

    value: float | None
    text: str
    caution: str = ""


def read(
    instrument: Instrument,
    harness: Harness,
    word: int,
    duties: Sequence[float],
    emfs: Sequence[float],
    a: str,
    b: str = "",
) -> Reading:
    """One reading. duties (-1 to 1) and emfs (V) per leaf: how the motors are driven and turn.

    a, b: the probes, red and black; for the clamp `a` is the name of a wire and `b` is not looked at,
    positive from the wire's first end to its second. Raises UserError for an unknown point or wire.
    """
    return _INSTRUMENTS[instrument](harness, word, duties, emfs, a, b)


def loaded(volts: float, ohms: float, meter: float = INPUT_OHMS) -> float:
    """What a voltmeter of `meter` ohm shows across a source of `volts` behind `ohms`."""
    return volts * meter / (ohms + meter)


def apparent(volts: float, ohms: float) -> float | None:
    """What an ohmmeter takes for the resistance of a source of `volts` behind `ohms`; None without current.

    It divides the voltage at its probes by the current through itself, which is the resistance only
    while nothing else drives one: below zero or far off on a live circuit.
    """
    current = (TEST_VOLTS - volts) / (TEST_OHMS + ohms)
    return (volts + current * ohms) / current if current else None


def _volts(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> Reading:
    between = harness.thevenin(word, duties, emfs, a, b)
    value = loaded(*between) if between else 0.0  # nothing can drive a current through the meter
    return Reading(value, _display(value, (4.0, 40.0, 400.0), "V"))


def _ohms(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> Reading:
    between = harness.thevenin(word, duties, emfs, a, b)
    value = apparent(*between) if between else None
    return Reading(value, _ohms_text(value), _caution(harness, word, duties, emfs, a, b))


def _continuity(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> Reading:
    """A beep in words, and the ohms. It compares volts with those of its threshold, so live ones fool it."""
    between = harness.thevenin(word, duties, emfs, a, b)
    value = apparent(*between) if between else None
    closed = False
    if between is not None:
        volts, ohms = between
        at_probes = volts + (TEST_VOLTS - volts) * ohms / (TEST_OHMS + ohms)
        closed = at_probes < TEST_VOLTS * BEEP_OHMS / (TEST_OHMS + BEEP_OHMS)
    text = f"{'beep' if closed else 'no beep'}, {_ohms_text(value)}"
    return Reading(value, text, _caution(harness, word, duties, emfs, a, b))


def _clamp(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> Reading:
    value = harness.solve_live(word, duties, emfs).current(harness.wire(a).spec.name)
    return Reading(value, _display(value, (40.0, 400.0), "A"))


def _diode(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> Reading:
    """Volts at the probes while the meter drives its test current: of a diode its drop, else what the ohms
    between them make of it; 'OL' above what it can drive.
    """
    value = diodes.drop(harness, word, a, b)
    text = "OL" if value > diodes.MOST_VOLTS else _display(value, (4.0,), "V")
    return Reading(None if text == "OL" else value, text, _caution(harness, word, duties, emfs, a, b))


def _volts_ac(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> Reading:
    value = harness.mains.volts(a, b)
    return Reading(value, _display(value, (400.0,), "V AC"), MAINS_CAUTION)


def _caution(
    harness: Harness, word: int, duties: Sequence[float], emfs: Sequence[float], a: str, b: str
) -> str:
    solution = harness.solve_live(word, duties, emfs)
    return LIVE_CAUTION if harness.live(solution, a) or harness.live(solution, b) else ""


def _ohms_text(value: float | None) -> str:
    if value is None:
        return "OL"
    for unit, scale, ranges in OHM_RANGES:
        text = _display(value / scale, ranges, unit)
        if text != "OL":
            return text
    return "OL"


def _display(value: float, ranges: Sequence[float], unit: str) -> str:
    """The first range that holds the value, with the digits that 4000 counts leave; 'OL' above the last."""
    for full in ranges:
        digits = {4.0: 3, 40.0: 2, 400.0: 1}[full]
        if round(abs(value) * 10**digits) < COUNTS:
            shown = f"{value:.{digits}f}"
            return f"{shown if float(shown) else shown.removeprefix('-')} {unit}"
    return "OL"


_INSTRUMENTS: dict[
    Instrument, Callable[[Harness, int, Sequence[float], Sequence[float], str, str], Reading]
] = {
    Instrument.VOLTS: _volts,
    Instrument.OHMS: _ohms,
    Instrument.CONTINUITY: _continuity,
    Instrument.CLAMP: _clamp,
    Instrument.DIODE: _diode,
    Instrument.VOLTS_AC: _volts_ac,
}
