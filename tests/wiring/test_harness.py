"""What board and motors meet at the end of the copper of the reference site."""

from __future__ import annotations

import dataclasses
import math

import pytest

from simgate.files import UserError
from simgate.wiring.harness import Harness
from simgate.wiring.spec import DeviceKind, DeviceSpec, SupplySpec, WireSpec, WiringSpec
from tests.wiring.site import SITE

# IEC 61131-2 type 1, 24 V DC inputs: on from 15 V, off up to 5 V.
ON, OFF = 15.0, 5.0


def test_made_inputs_read_on_and_open_ones_off_by_the_standard() -> None:
    harness = Harness(SITE)
    solution = harness.solve(harness.word_at_rest())
    assert [volts >= ON for volts in solution.inputs[:5]] == [True, True, True, False, False]
    assert [volts <= OFF for volts in solution.inputs[:5]] == [False, False, False, True, True]
    assert solution.powered


@pytest.mark.parametrize(
    ("contact", "terminal"),
    [("stop-button", 0), ("beam", 2), ("call-button", 3)],
)
def test_each_contact_works_its_own_input_and_no_other(contact: str, terminal: int) -> None:
    harness = Harness(SITE)
    rest = harness.word_at_rest()
    before = [volts > ON for volts in harness.solve(rest).inputs]
    after = [volts > ON for volts in harness.solve(rest ^ harness.contacts[contact]).inputs]
    assert [n for n in range(5) if before[n] != after[n]] == [terminal]


def test_with_the_mains_off_everything_is_dead() -> None:
    harness = Harness(SITE)
    solution = harness.solve(harness.word_dead())
    assert solution.inputs == (0.0,) * 10
    assert not solution.powered
    assert not harness.works(solution, "beam")


def test_the_same_word_gives_the_same_object_until_the_copper_changes() -> None:
    harness = Harness(SITE)
    word, version = harness.word_at_rest(), harness.version
    first = harness.solve(word)
    assert harness.solve(word) is first
    assert harness.solve(word).inputs is first.inputs
    harness.part_wire("lamp-red")
    assert harness.version > version
    assert harness.solve(word) is not first


def test_inputs_are_what_a_voltmeter_of_no_load_would_find() -> None:
    harness = Harness(SITE)
    solution = harness.solve(harness.word_at_rest())
    board = ("STOP", "GUARD-O", "GUARD-C", "CALL", "PART", "EDGE")
    names = (*board, "END-O-A", "END-C-A", "END-O-B", "END-C-B")
    assert solution.inputs == tuple(solution.volts(f"board.{name}", "board.0V") for name in names)


def test_the_beam_draws_what_two_loads_draw() -> None:
    """By hand: 800 ohm at close to 24 V is 30 mA in each head; COM takes a little off the bus."""
    harness = Harness(SITE)
    solution = harness.solve(harness.word_at_rest())
    assert harness.works(solution, "beam")
    assert solution.current("tx-plus") == pytest.approx(0.030, rel=0.01)
    assert solution.current("tx-plus") == pytest.approx(-solution.current("tx-minus"), rel=1e-9)
    assert harness.fuse_current(solution, "aux") == pytest.approx(
        solution.current("tx-plus") + solution.current("rx-plus"), rel=1e-9
    )


def test_a_long_thin_feed_starves_a_beam() -> None:
    """By hand: 18 of 24 V over 800 ohm leaves no more than 267 ohm for the cores; 4 km of 0.5 mm2 is 312."""
    wires = tuple(dataclasses.replace(w, length=4000.0) if w.name.startswith("tx") else w for w in SITE.wires)
    harness = Harness(dataclasses.replace(SITE, wires=wires))
    assert not harness.works(harness.solve(harness.word_at_rest()), "beam")


def test_the_lamp_lights_with_its_relay() -> None:
    harness = Harness(SITE)
    word = harness.word_at_rest()
    assert harness.solve(word).current("lamp-red") == 0.0
    lit = harness.solve(word | harness.contacts["lamp"])
    assert lit.current("lamp-red") == pytest.approx(24.0 / 100.0, rel=0.02)


def test_the_motor_feed_is_the_sum_of_what_lies_in_its_way() -> None:
    """By hand: supply 0.2, bridge 0.05, pole and fuse 0.02, two cores of 20 m 1.5 mm2 (W11: 0.532), four
    screws of 0.01 ohm."""
    harness = Harness(SITE)
    gain, ohms = harness.motor_feed(harness.word_at_rest(), 0)
    assert gain == pytest.approx(1.0, rel=1e-12)
    assert ohms == pytest.approx(0.2 + 0.05 + 0.02 + 0.532 + 0.04, rel=1e-9)
    assert harness.supply_volts == 24.0


def test_the_motor_feed_agrees_with_the_driven_network() -> None:
    """Current by the Thevenin equivalent equals that of the whole network, either way round."""
    harness = Harness(SITE)
    word = harness.word_at_rest()
    for duty, emf in ((1.0, 18.0), (-0.4, -3.0), (0.0, 6.0)):
        gain, ohms = harness.motor_feed(word, 0)
        amps = (gain * duty * harness.supply_volts - emf) / (ohms + 1.2)
        live = harness.solve_live(word, (duty, 0.0), (emf, 0.0))
        assert live.current("motor-a-brown") == pytest.approx(amps, rel=1e-9)
        assert live.current("motor-b-brown") == pytest.approx(0.0, abs=1e-12)


def test_the_motor_feed_leaves_out_what_does_not_come_from_the_bridge() -> None:
    """A wrong link from COM pushes current into the winding at any duty; the gain is what duty adds."""
    harness = Harness(SITE)
    harness.add_link("board.COM", "motor-a.1")
    word = harness.word_at_rest()
    gain, ohms = harness.motor_feed(word, 0)
    still, full = (harness.solve_live(word, (duty, 0.0), (0.0, 0.0)) for duty in (0.0, 1.0))
    assert still.current("motor-a/winding") > 0.1
    added = full.current("motor-a/winding") - still.current("motor-a/winding")
    assert added == pytest.approx(gain * harness.supply_volts / (ohms + 1.2), rel=1e-9)


def test_the_motor_feed_turns_round_parts_and_dies() -> None:
    harness = Harness(SITE)
    word = harness.word_at_rest()
    ohms = harness.motor_feed(word, 0)[1]
    harness.swap_wires("motor-a-brown", "motor-a-blue")
    assert harness.motor_feed(word, 0) == pytest.approx((-1.0, ohms), rel=1e-9)
    assert harness.motor_feed(word, 1)[0] == pytest.approx(1.0, rel=1e-12)
    harness.part_wire("motor-a-brown")
    assert harness.motor_feed(word, 0) == (0.0, math.inf)
    assert harness.motor_feed(0, 1) == (0.0, math.inf)
    with pytest.raises(UserError, match="leaf"):
        harness.motor_feed(word, 2)


def test_motors_wired_to_each_others_terminals_do_not_follow_their_own_duty() -> None:
    harness = Harness(SITE)
    harness.swap_wires("motor-a-brown", "motor-b-brown")
    harness.swap_wires("motor-a-blue", "motor-b-blue")
    word = harness.word_at_rest()
    assert harness.motor_feed(word, 0)[0] == pytest.approx(0.0, abs=1e-12)
    live = harness.solve_live(word, (0.0, 1.0), (0.0, 0.0))
    assert live.current("motor-a-brown") > 5.0


def test_points_start_with_the_board_and_know_no_inner_nodes() -> None:
    points = Harness(SITE).points()
    assert points[0] == "board.0V"
    assert points.index("board.MOTOR-B-") < points.index("stop-button.1") < points.index("post.1")
    assert "board.bus" not in points
    assert len(set(points)) == len(points)


def test_a_single_leaf_has_no_terminals_for_a_second() -> None:
    harness = Harness(WiringSpec(1, (), (), ()))
    assert not [point for point in harness.points() if "MOTOR-B" in point]
    assert harness.motor_feed(harness.word_at_rest(), 0) == (0.0, math.inf)


def test_every_mistake_in_a_site_is_reported_at_once() -> None:
    wires = (
        WireSpec("w", "board.COM", "stop-buton.1", 5.0, 0.5, "grey"),
        WireSpec("w", "board.STOP", "board.STOP", -1.0, 0.6, "grey"),
        WireSpec("a|b", "board.bus", "lamp.3", 1.0, 0.5, "grey"),
    )
    devices = (
        DeviceSpec("m", DeviceKind.MOTOR, "", leaf=1, winding=0.0),
        DeviceSpec("mains", DeviceKind.BUTTON_NC, ""),
        DeviceSpec("lamp", DeviceKind.LAMP, ""),
    )
    links = (("board.COM", "board.COM"),)
    with pytest.raises(UserError) as error:
        Harness(WiringSpec(1, wires, links, devices, SupplySpec(volts=math.nan)))
    text = str(error.value)
    for found in (
        "stop-buton.1",
        "'w' 2 times",
        "both ends at board.STOP",
        "-1.0 m",
        "0.6 mm2",
        "'a|b'",
        "board.bus",
        "lamp.3",
        "leaf 1",
        "winding of 0.0",
        "'mains' 2 times",
        "['board.COM', 'board.COM']",
        "nan",
    ):
        assert found in text


def test_a_site_of_three_leaves_is_refused() -> None:
    with pytest.raises(UserError, match="leaves: found 3; allowed: 1 or 2"):
        Harness(WiringSpec(3, (), (), ()))
