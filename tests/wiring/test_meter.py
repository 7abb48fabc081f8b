"""The instruments: loading, rounding, and the lies that a live circuit makes an ohmmeter tell."""

from __future__ import annotations

import pytest

from simgate.files import UserError
from simgate.wiring.harness import Harness
from simgate.wiring.meter import Instrument, Reading, _display, apparent, loaded, read
from simgate.wiring.network import Network, resistor, source
from simgate.wiring.spec import DeviceKind, DeviceSpec, WireSpec, WiringSpec
from tests.wiring.site import SITE

REST = ((0.0, 0.0), (0.0, 0.0))
V, OHM, BEEP, CLAMP = Instrument.VOLTS, Instrument.OHMS, Instrument.CONTINUITY, Instrument.CLAMP


def at_rest(
    harness: Harness, instrument: Instrument, a: str, b: str = "", word: int | None = None
) -> Reading:
    return read(instrument, harness, harness.word_at_rest() if word is None else word, *REST, a, b)


def dead(harness: Harness) -> int:
    return harness.word_dead()


def divider(volts: float, upper: float, lower: float) -> tuple[float, float]:
    """What a meter meets across the lower resistor, from the network."""
    parts = [
        source("s", "top", "0", volts, 1e-9),
        resistor("upper", "top", "n", upper),
        resistor("lower", "n", "0", lower),
    ]
    found = Network(["0", "top", "n"], parts, "0").thevenin(0, "n", "0")
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("volts", "upper", "lower", "meter", "shown"),
    [
        (6.0, 1e3, 2e3, 1e6, 3.997),  # K5, university lab notes
        (6.0, 1e3, 2e3, 1e4, 3.75),  # K5
        (6.0, 1e3, 2e3, 2000.0 / 3.0, 2.00),  # K5: 667 ohm, the divider's own resistance
        (9.0, 1e5, 1e5, 1e6, 4.286),  # K6, physics question
        (12.0, 1e5, 1e5, 10e6, 5.970),  # K7, divider
    ],
)
def test_a_voltmeter_loads_what_it_reads(
    volts: float, upper: float, lower: float, meter: float, shown: float
) -> None:
    assert loaded(*divider(volts, upper, lower), meter) == pytest.approx(shown, abs=5e-4)
    circuit = Network(  # and the same with the meter as a part of it
        ["0", "top", "n"],
        [
            source("s", "top", "0", volts, 1e-9),
            resistor("upper", "top", "n", upper),
            resistor("lower", "n", "0", lower),
            resistor("meter", "n", "0", meter),
        ],
        "0",
    )
    placed = circuit.solve().potential("n")
    assert loaded(*divider(volts, upper, lower), meter) == pytest.approx(placed, rel=1e-12)


@pytest.mark.parametrize(("ohms", "error"), [(1e3, -0.01), (1e5, -0.99), (1e6, -9.09), (1e7, -50.0)])
def test_the_loading_error_is_as_calculated(ohms: float, error: float) -> None:
    """K8. Divider: -Rth / (Rth + Rm) at 10 Mohm, percent."""
    assert 100 * (loaded(24.0, ohms) / 24.0 - 1) == pytest.approx(error, abs=5e-3)


def test_a_made_input_reads_close_to_the_supply_and_minus_with_the_probes_changed() -> None:
    harness = Harness(SITE)
    there, back = at_rest(harness, V, "board.STOP", "board.0V"), at_rest(harness, V, "board.0V", "board.STOP")
    assert there.text == "23.80 V"
    assert back.text == "-23.80 V"
    assert there.caution == back.caution == ""


def test_points_that_nothing_joins_read_nothing() -> None:
    harness = Harness(SITE)
    harness.part_wire("motor-a-brown")
    harness.part_wire("motor-a-blue")
    assert at_rest(harness, V, "motor-a.1", "board.COM") == Reading(0.0, "0.000 V")
    assert at_rest(harness, OHM, "motor-a.1", "board.COM", dead(harness)) == Reading(None, "OL")
    assert at_rest(harness, BEEP, "motor-a.1", "board.COM", dead(harness)) == Reading(None, "no beep, OL")


@pytest.mark.parametrize(
    ("a", "b", "text"),
    [
        ("motor-a.1", "motor-a.2", "1.2 Ω"),  # the winding: the board's own pole is open
        ("board.MOTOR-A+", "motor-a.1", "0.3 Ω"),  # 20 m of 1.5 mm2 and two screws: 0.286
        ("lamp.1", "lamp.2", "100.0 Ω"),
        ("board.COM", "board.COM", "0.0 Ω"),
    ],
)
def test_ohms_on_a_dead_circuit_are_right(a: str, b: str, text: str) -> None:
    harness = Harness(SITE)
    reading = at_rest(harness, OHM, a, b, dead(harness))
    assert (reading.text, reading.caution) == (text, "")


def test_an_input_alone_shows_its_own_resistor() -> None:
    """By the board's table: 4.7 kohm from an input to 0 V; CALL has nothing else on it while at rest."""
    harness = Harness(SITE)
    assert at_rest(harness, OHM, "board.CALL", "board.0V", dead(harness)).text == "4.70 kΩ"


@pytest.mark.parametrize("ohms", [0.3, 47.0, 4700.0, 82e3, 1e6, 9.9e6])
def test_an_ohmmeter_without_a_foreign_voltage_tells_the_truth(ohms: float) -> None:
    assert apparent(0.0, ohms) == pytest.approx(ohms, rel=1e-9)


def test_ohms_on_a_live_circuit_are_nonsense_with_a_caution() -> None:
    """K11, trade rule. The same two points, dead, show what is really there."""
    harness = Harness(SITE)
    live = at_rest(harness, OHM, "board.COM", "board.0V")
    truth = at_rest(harness, OHM, "board.COM", "board.0V", dead(harness))
    assert live.value is not None
    assert truth.value is not None
    assert live.value < 0.0 < truth.value
    assert "Isolate, prove dead" in live.caution
    assert truth.caution == ""


def test_a_live_circuit_fools_the_buzzer_one_way_round() -> None:
    harness = Harness(SITE)
    assert at_rest(harness, BEEP, "board.0V", "board.COM").text.startswith("beep, -")  # ohms below nothing
    assert at_rest(harness, BEEP, "board.COM", "board.0V").text.startswith("no beep, ")
    assert at_rest(harness, BEEP, "board.COM", "board.0V").caution


def test_the_caution_holds_for_points_at_one_potential_of_a_live_circuit() -> None:
    harness = Harness(SITE)
    assert at_rest(harness, BEEP, "stop-button.1", "stop-button.2").caution
    harness.part_wire("lamp-red")
    harness.part_wire("lamp-black")
    apart = at_rest(harness, OHM, "lamp.1", "lamp.2")
    assert (apart.text, apart.caution) == ("100.0 Ω", "")


def test_a_turning_motor_is_a_live_circuit_even_when_its_wires_are_undone() -> None:
    harness = Harness(SITE)
    harness.part_wire("motor-a-brown")
    harness.part_wire("motor-a-blue")
    spinning = read(OHM, harness, dead(harness), (0.0, 0.0), (6.0, 0.0), "motor-a.1", "motor-a.2")
    assert spinning.caution
    assert spinning.text != "1.2 Ω"


@pytest.mark.parametrize(("pressed", "text"), [(False, "no beep, "), (True, "beep, 0.")])
def test_continuity_finds_a_contact(pressed: bool, text: str) -> None:
    harness = Harness(SITE)
    word = dead(harness) | (harness.contacts["call-button"] if pressed else 0)
    assert at_rest(harness, BEEP, "call-button.1", "call-button.2", word).text.startswith(text)


def test_the_clamp_reads_the_current_of_its_wire_with_the_motor_turning() -> None:
    """By hand: (24 - 18) / (1.2 + 0.842) is 2.94 A; the sign is the way the wire was drawn."""
    harness = Harness(SITE)
    live = ((1.0, 0.0), (18.0, 0.0))
    assert read(CLAMP, harness, harness.word_at_rest(), *live, "motor-a-brown").text == "2.94 A"
    assert read(CLAMP, harness, harness.word_at_rest(), *live, "motor-a-blue").text == "-2.94 A"
    assert at_rest(harness, CLAMP, "motor-a-brown").text == "0.00 A"


def test_a_tired_joint_is_found_by_its_voltage() -> None:
    """By hand: the lamp's 0.24 A over 5 ohm more is 1.1 to 1.2 V where a sound wire loses 0.03."""
    harness = Harness(SITE)
    word = harness.word_at_rest() | harness.contacts["lamp"]
    sound = at_rest(harness, V, "board.LAMP+", "lamp.1", word).value
    harness.wire("lamp-red").added = 5.0
    harness.changed()
    tired = at_rest(harness, V, "board.LAMP+", "lamp.1", word).value
    assert sound is not None
    assert tired is not None
    assert sound < 0.05
    assert tired == pytest.approx(1.15, abs=0.05)


def test_ohms_above_the_last_range_show_as_overload() -> None:
    """50 Mohm is past the last range of 40; no part of a demo site is that large, so a winding stands in."""
    spec = WiringSpec(
        1,
        (
            WireSpec("one", "m.1", "post.1", 1.0, 0.5, ""),
            WireSpec("two", "m.2", "post.2", 1.0, 0.5, ""),
            WireSpec("one more", "m.1", "post.1", 1.0, 0.5, ""),
            WireSpec("two more", "m.2", "post.2", 1.0, 0.5, ""),
        ),
        (),
        (DeviceSpec("m", DeviceKind.MOTOR, "", leaf=0, winding=5e7),),
    )
    assert at_rest(Harness(spec), OHM, "post.1", "post.2").text == "OL"


def test_an_unknown_point_or_wire_is_refused() -> None:
    harness = Harness(SITE)
    with pytest.raises(UserError, match=r"board\.STOP"):
        at_rest(harness, V, "board.STOPP", "board.0V")
    with pytest.raises(UserError, match="did you mean 'lamp-red'"):
        at_rest(harness, CLAMP, "lamp-read")


@pytest.mark.parametrize(
    ("volts", "text"),
    [
        (0.0, "0.000 V"), (0.013, "0.013 V"), (3.9994, "3.999 V"), (3.9996, "4.00 V"), (39.994, "39.99 V"),
        (40.0, "40.0 V"), (-0.0004, "0.000 V"), (-0.0006, "-0.001 V"), (-24.0, "-24.00 V"), (-400.0, "OL"),
    ],
)  # fmt: skip
def test_the_display_changes_range_and_keeps_the_sign_but_never_of_nothing(volts: float, text: str) -> None:
    """4000 counts by hand: three digits up to 3.999 V, then two, then one, then OL."""
    assert _display(volts, (4.0, 40.0, 400.0), "V") == text


def test_a_minus_is_shown_where_red_is_below_black() -> None:
    harness = Harness(SITE)
    assert at_rest(harness, V, "board.COM", "board.0V").text == "23.81 V"
    assert at_rest(harness, V, "board.0V", "board.COM").text == "-23.81 V"
