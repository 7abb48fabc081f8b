"""Numbers and colours of the cores: dealt out once, along the strip, and by the words of the standards."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.bench.site import load_site
from simgate.files import UserError, shipped
from simgate.wiring.check import check
from simgate.wiring.harness import Harness
from simgate.wiring.marking import code, colour_wrong, marks, numbered, walked
from simgate.wiring.spec import WireSpec, WiringSpec
from tests.wiring.site import SITE


@pytest.mark.parametrize("name", shipped("sites"))
def test_every_wire_of_a_site_has_a_number_of_its_own_and_a_colour_with_a_code(name: str) -> None:
    wires = Harness(load_site(name).wiring).wires()
    assert len({wire.number for wire in wires}) == len(wires)
    assert all(wire.number > 0 and code(wire.colour) for wire in wires)


def test_numbers_run_along_the_strip_and_on_through_joints_and_devices() -> None:
    """The small site by hand: 0V has no wire, so COM's chain to STOP is 1 to 3, then its next wire."""
    numbers = numbered(SITE)
    assert [numbers[name] for name in ("stop-out", "stop-on", "stop-back", "call-out")] == [1, 2, 3, 4]


def test_numbers_that_a_site_gives_stay_and_the_others_go_round_them() -> None:
    """The farm has 31 to 36 on its stop chain; the other 22 wires are 1 to 22."""
    spec = load_site("farm-double").wiring
    numbers = numbered(spec)
    chain = ("stop-feed", "stop-post-in", "stop-post-out", "stop-barn-in", "stop-barn-out", "stop-return")
    assert [numbers.pop(name) for name in chain] == [31, 32, 33, 34, 35, 36]
    assert sorted(numbers.values()) == list(range(1, 23))


@given(st.lists(st.integers(0, 40), max_size=len(SITE.wires)), st.randoms(use_true_random=False))
def test_any_numbers_given_every_wire_has_one_and_none_twice(given: list[int], chance: Random) -> None:
    wires = list(SITE.wires)
    chance.shuffle(wires)
    unique = [number if number and number not in given[:at] else 0 for at, number in enumerate(given)]
    unique += [0] * (len(wires) - len(unique))
    spec = replace(SITE, wires=tuple(replace(w, number=n) for w, n in zip(wires, unique, strict=True)))
    assert sorted(wire.name for wire in walked(spec)) == sorted(wire.name for wire in wires)
    numbers = numbered(spec)
    assert len(set(numbers.values())) == len(wires)
    assert all(numbers[wire.name] == wire.number for wire in spec.wires if wire.number)


def test_a_number_stays_on_its_wire_when_an_end_is_moved() -> None:
    harness = Harness(SITE)
    before = {wire.name: wire.number for wire in harness.wires()}
    harness.move_wire("stop-back", "from", "board.CALL")
    assert {wire.name: wire.number for wire in harness.wires()} == before


def test_two_wires_of_one_number_are_refused() -> None:
    wires = tuple(replace(wire, number=7) for wire in SITE.wires[:2])
    with pytest.raises(UserError, match=r"number 7 of 'stop-out' again; allowed: each number once"):
        check(replace(SITE, wires=(*wires, *SITE.wires[2:])))


def test_codes_of_two_colours_stand_in_the_order_of_the_standards_table() -> None:
    """IEC 60757:2021, 5.1: an item coloured red and blue is designated RDBU."""
    assert code("red-blue") == code("blue-red") == "RDBU"
    assert code("white") == "WH"
    assert code("no colour") == ""


def test_green_and_yellow_together_are_the_protective_conductors_alone() -> None:
    """IEC 60757:2021, 5.1: GN and YE in no combination but GNYE; IEC 60446: that one marks nothing else."""
    assert code(marks().protective) == "GNYE"
    for colour in ("green-yellow", "green-white", "yellow-brown"):
        assert "protective conductor" in colour_wrong(colour)
    assert not colour_wrong("green")
    assert not colour_wrong("white-brown")
    assert colour_wrong("white-white")


def test_the_mains_have_the_colours_of_the_standard() -> None:
    """IEC 60446:2007: brown for the line of one phase, blue for the neutral, green-and-yellow to earth."""
    table = marks()
    assert [code(one) for one in (table.line, table.neutral, table.protective)] == ["BN", "BU", "GNYE"]


def test_a_core_has_its_colour_from_its_cable() -> None:
    spec = load_site("farm-double").wiring
    cores = {wire.name: (wire.cable, wire.colour) for wire in spec.wires if wire.cable == "house-cable"}
    assert cores == {
        "call-com-white": ("house-cable", "white"),
        "call-green": ("house-cable", "green"),
        "part-grey": ("house-cable", "grey"),
    }


def test_a_wire_that_never_comes_to_the_board_has_a_number_too() -> None:
    loose = WireSpec("loose", "lamp.1", "beam.tx+", 1.0, 0.5, "grey")
    spec: WiringSpec = replace(SITE, wires=(*SITE.wires, loose))
    assert set(numbered(spec)) == {wire.name for wire in spec.wires}
