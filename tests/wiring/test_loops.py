"""Where a bridge's current is not its winding's, and which fuse an overload takes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.wiring import fuses
from simgate.wiring.build import bridge_source, winding
from simgate.wiring.harness import Harness
from tests.wiring.site import SITE

VOLTS = st.floats(-24, 24)
MOTOR = ["board.MOTOR-A+", "board.MOTOR-A-", "board.MOTOR-B+", "board.MOTOR-B-", "motor-a.1", "motor-b.2"]
SCREWS = st.sampled_from([*MOTOR, "board.COM", "board.0V", "board.AUX+"])


def test_sound_swapped_parted_and_unpowered_motors_are_plain_loops() -> None:
    harness = Harness(SITE)
    word = harness.word_at_rest()
    assert harness.shunted(word) is None
    harness.add_link("board.MOTOR-A-", "board.0V")  # beside the return, in which nothing flows
    assert harness.shunted(word) is None
    harness.swap_wires("motor-a-brown", "motor-a-blue")
    assert harness.shunted(word) is None
    harness.part_wire("motor-a-brown")
    assert harness.shunted(word) is None
    harness.add_link("board.MOTOR-B+", "board.MOTOR-B-")
    assert harness.shunted(word) is not None
    assert harness.shunted(0) is None


def test_a_link_across_a_pair_takes_what_ohms_law_says() -> None:
    """By hand: 1 V over supply 0.2, bridge 0.05, pole and fuse 0.02, and the link's 0.01 beside the motor."""
    harness = Harness(SITE)
    harness.add_link("board.MOTOR-A+", "board.MOTOR-A-")
    found = harness.shunted(harness.word_at_rest())
    assert found is not None
    motor = 0.532 + 0.04 + 1.2
    assert found.bridges[0][0] == pytest.approx(1 / (0.27 + 0.01 * motor / (0.01 + motor)), rel=1e-9)
    assert found.windings[0][0] == pytest.approx(found.bridges[0][0] * 0.01 / (0.01 + motor), rel=1e-9)


@given(st.lists(st.tuples(SCREWS, SCREWS), max_size=3), VOLTS, VOLTS, VOLTS, VOLTS)
def test_the_rows_are_the_driven_network(
    links: list[tuple[str, str]], one: float, other: float, emf: float, emf_b: float
) -> None:
    """The same answer two ways: rows of unit sources added up, and the whole network solved at once."""
    harness = Harness(SITE)
    for link in links:
        if link[0] != link[1] and not {link, link[::-1]} & set(harness.links()):
            harness.add_link(*link)
    word = harness.word_at_rest()
    live = harness.solve_live(word, (one / 24, other / 24), (emf, emf_b))
    found = harness.shunted(word)
    for leaf, motor in enumerate(("motor-a", "motor-b")):
        bridge, drawn = -live.current(bridge_source(leaf)), live.current(winding(motor))
        gain, ohms = harness.motor_feed(word, leaf)
        if found is None:
            assert bridge == pytest.approx(drawn, abs=1e-6)
            continue
        volts = (one, other, emf, emf_b, 24.0)
        assert bridge == pytest.approx(
            sum(share * at for share, at in zip(found.bridges[leaf], volts, strict=True)), abs=1e-6
        )
        fed = sum(share * at for share, at in zip(found.windings[leaf], volts, strict=True))
        assert drawn == pytest.approx(fed - (emf, emf_b)[leaf] / (ohms + 1.2), abs=1e-6)
        assert gain / (ohms + 1.2) == pytest.approx(found.windings[leaf][leaf], abs=1e-9)


def test_the_most_overloaded_of_two_fuses_in_one_way_blows() -> None:
    """37 A through 1 A and 10 A: both are above twice their rating, the small one is gone first."""
    harness = Harness(SITE)
    harness.add_link("board.AUX+", "board.AUX-")
    solution = harness.solve(harness.word_at_rest())
    assert harness.fuse_current(solution, "mains") > fuses.BLOWS_AT * SITE.supply.mains_fuse
    assert harness.overloaded(solution, (0.0, 0.0)) == "aux"
    harness.blow("aux")
    assert harness.overloaded(harness.solve(harness.word_at_rest()), (0.0, 0.0)) == ""


def test_the_auxiliary_fuse_carries_a_beam_without_blowing() -> None:
    harness = Harness(SITE)
    solution = harness.solve(harness.word_at_rest())
    assert harness.fuse_current(solution, "aux") == pytest.approx(0.06, rel=0.02)
    assert harness.overloaded(solution, (0.0, 0.0)) == ""


def test_the_state_of_the_copper_tells_everything_that_hands_and_faults_change() -> None:
    harness = Harness(SITE)
    seen = [harness.state()]
    harness.part_wire("call-back")
    seen.append(harness.state())
    harness.remake_wire("call-back")
    assert harness.state() == seen[0]
    harness.bridge("tx-plus", "tx-minus", on=True)
    seen.append(harness.state())
    harness.blow("aux")
    seen.append(harness.state())
    harness.add_link("board.COM", "board.STOP")
    seen.append(harness.state())
    assert len(set(seen)) == len(seen)
