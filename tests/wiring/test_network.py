"""The network against textbook circuits, and what it promises about floating pieces and repeated words."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.wiring.network import Network, Part, resistor, source, switch

GROUND = "0"


def test_two_sources_on_one_load_agree_with_the_textbook() -> None:
    """K1. Kuphaldt, Lessons in Electric Circuits I, ch. 10 (branch current example): 8 V; 5, 4 and 1 A."""
    parts = [source("one", "n", GROUND, 28.0, 4.0), source("two", "n", GROUND, 7.0, 1.0)]
    solution = Network([GROUND, "n"], [*parts, resistor("load", "n", GROUND, 2.0)], GROUND).solve()
    assert solution.potential("n") == pytest.approx(8.0, rel=1e-12)
    assert -solution.current("one") == pytest.approx(5.0, rel=1e-12)
    assert solution.current("load") == pytest.approx(4.0, rel=1e-12)
    assert -solution.current("two") == pytest.approx(-1.0, rel=1e-12)  # it is being charged


def bridge(volts: float, top: tuple[float, float], across: float, bottom: tuple[float, float]) -> Network:
    """A bridge on a stiff source (1 nano-ohm): left and right nodes, `across` between them."""
    parts = [
        source("supply", "top", GROUND, volts, 1e-9),
        resistor("TL", "top", "left", top[0]),
        resistor("TR", "top", "right", top[1]),
        resistor("bridge", "right", "left", across),
        resistor("BL", "left", GROUND, bottom[0]),
        resistor("BR", "right", GROUND, bottom[1]),
    ]
    return Network([GROUND, "top", "left", "right"], parts, GROUND)


def test_an_unbalanced_bridge_agrees_with_the_textbook() -> None:
    """K2. Kuphaldt, Lessons in Electric Circuits I, ch. 10: branch currents in mA, nodes in V."""
    solution = bridge(24.0, (150.0, 50.0), 100.0, (300.0, 250.0)).solve()
    listed = {"TL": 42.299, "TR": 93.793, "bridge": 16.552, "BL": 58.851, "BR": 77.241}
    assert {name: round(solution.current(name) * 1000, 3) for name in listed} == listed
    assert round((solution.current("TL") + solution.current("TR")) * 1000, 3) == 136.092
    assert round(solution.potential("left"), 3) == 17.655
    assert round(solution.potential("right"), 3) == 19.310


def test_a_second_bridge_agrees_with_the_textbook() -> None:
    """K3. Kuphaldt, Lessons in Electric Circuits I, ch. 10: voltages, total current, resistance."""
    network = bridge(10.0, (12.0, 18.0), 6.0, (18.0, 12.0))
    solution = network.solve()
    drops = {
        "TL": solution.volts("top", "left"),
        "TR": solution.volts("top", "right"),
        "bridge": solution.volts("left", "right"),
        "BL": solution.volts("left", GROUND),
        "BR": solution.volts("right", GROUND),
    }
    listed = {"TL": 4.706, "TR": 5.294, "bridge": 0.588, "BL": 5.294, "BR": 4.706}
    assert {name: round(drop or 0.0, 3) for name, drop in drops.items()} == listed
    assert round(solution.current("TL") + solution.current("TR"), 4) == 0.6863
    without_supply = Network(network.nodes, [p for p in network.parts.values() if p.name != "supply"], GROUND)
    seen = without_supply.thevenin(0, "top", GROUND)
    assert seen is not None
    assert round(seen[1], 3) == 14.571


@pytest.mark.parametrize("across", [0.01, 100.0, 1e7])
def test_a_balanced_bridge_carries_nothing_across(across: float) -> None:
    """K4. Ratio rule: 100/300 = 200/600, so 9 V on both sides and no current whatever the bridge is."""
    solution = bridge(12.0, (100.0, 200.0), across, (300.0, 600.0)).solve()
    assert solution.potential("left") == pytest.approx(9.0, rel=1e-10)
    assert solution.potential("right") == pytest.approx(9.0, rel=1e-10)
    assert solution.current("bridge") == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("edge", "volts"), [(8200.0, 2.50), (0.001, 0.0), (math.inf, 5.00)])
def test_an_edge_on_a_pull_up_divides_as_it_should(edge: float, volts: float) -> None:
    """E4. Divider: 5 V through 8.2 kohm; edge normal, shorted, open."""
    parts = [source("pull-up", "n", GROUND, 5.0, 8200.0), resistor("edge", "n", GROUND, edge)]
    assert Network([GROUND, "n"], parts, GROUND).solve().potential("n") == pytest.approx(volts, abs=1e-6)


def test_a_small_joint_beside_a_large_meter_costs_no_digits() -> None:
    """Own divider, by hand: 24 V behind 0.01 ohm feeding 10 Mohm loses 24e-9 relative to 1 + 1e-9."""
    parts = [source("s", "a", GROUND, 24.0, 0.01), resistor("m", "a", GROUND, 1e7)]
    assert Network([GROUND, "a"], parts, GROUND).solve().potential("a") == pytest.approx(
        24.0 * 1e7 / (1e7 + 0.01), rel=4e-16
    )


def test_a_large_current_in_one_loop_costs_the_next_no_digits() -> None:
    """By hand: 1 V behind 10 Mohm over 10 Mohm is 0.5 V, whatever 50 A do in a loop hung on it."""
    parts = [
        source("small", "a", GROUND, 1.0, 1e7),
        resistor("load", "a", GROUND, 1e7),
        source("large", "a", "b", 1.0, 0.01),
        resistor("short", "a", "b", 0.01),
    ]
    solution = Network([GROUND, "a", "b"], parts, GROUND).solve()
    assert solution.potential("a") == pytest.approx(0.5, rel=1e-15)
    assert -solution.current("large") == pytest.approx(50.0, rel=1e-14)


def test_a_floating_piece_reads_as_floating_and_keeps_its_own_voltages() -> None:
    parts = [
        source("s", "a", GROUND, 24.0, 1.0),
        source("battery", "p", "q", 9.0, 1.0),
        resistor("load", "p", "q", 8.0),
    ]
    solution = Network([GROUND, "a", "p", "q", "alone"], parts, GROUND).solve()
    assert not solution.floating(GROUND)
    assert not solution.floating("a")
    assert all(solution.floating(node) for node in ("p", "q", "alone"))
    assert solution.volts("p", "q") == pytest.approx(8.0, rel=1e-12)
    assert solution.volts("p", "a") is None
    assert solution.volts("alone", GROUND) is None
    assert all(math.isfinite(potential) for potential in solution.potentials)


def test_an_open_switch_is_exactly_open() -> None:
    parts = [source("s", "a", GROUND, 24.0, 1.0), switch("k", "a", "b", 3)]
    network = Network([GROUND, "a", "b"], parts, GROUND)
    assert network.solve(0).floating("b")
    assert network.solve(0).current("k") == 0.0
    assert network.solve(8).potential("b") == pytest.approx(24.0, rel=1e-15)


def test_a_part_taken_out_takes_its_source_with_it() -> None:
    """K1 without its second source: 28 V behind 4 ohm over 2 ohm is 9.33 V behind 1.33 ohm."""
    parts = [source("one", "n", GROUND, 28.0, 4.0), source("two", "n", GROUND, 7.0, 1.0)]
    network = Network([GROUND, "n"], [*parts, resistor("load", "n", GROUND, 2.0)], GROUND)
    assert network.thevenin(0, "n", GROUND, opened="two") == pytest.approx((28.0 / 3.0, 4.0 / 3.0), rel=1e-12)


def test_the_same_word_gives_the_same_object() -> None:
    network = Network([GROUND, "a"], [switch("k", "a", GROUND, 0)], GROUND)
    assert network.solve(1) is network.solve(1)
    assert network.solve(1) is not network.solve(0)


def test_the_same_topology_is_compiled_once() -> None:
    one = Network([GROUND, "a"], [resistor("r", "a", GROUND, 1.0)], GROUND)
    other = Network([GROUND, "x"], [resistor("q", "x", GROUND, 2.0)], GROUND)
    assert one._solver is other._solver


@pytest.mark.parametrize("conductance", [-1.0, math.inf, math.nan])
def test_a_part_refuses_a_conductance_that_is_none(conductance: float) -> None:
    with pytest.raises(ValueError, match="conductance"):
        Part("r", "a", "b", conductance)


OHMS = st.sampled_from([0.01, 0.05, 0.5, 10.0, 800.0, 4700.0, 8200.0, 1e5, 1e7])


@st.composite
def networks(draw: st.DrawFn) -> tuple[Network, int]:
    """Any network of up to eight nodes with resistors, sources and switches; many of them in pieces."""
    nodes = [GROUND, *(f"n{n}" for n in range(draw(st.integers(1, 7))))]
    parts: list[Part] = []
    for number in range(draw(st.integers(1, 14))):
        a, b = draw(st.sampled_from(nodes)), draw(st.sampled_from(nodes))
        kind = draw(st.integers(0, 2))
        ohms = draw(OHMS)
        name = f"p{number}"
        if kind == 0:
            parts.append(source(name, a, b, draw(st.sampled_from([1.0, -5.0, 24.0])), ohms))
        elif kind == 1:
            parts.append(switch(name, a, b, number, ohms))
        else:
            parts.append(resistor(name, a, b, ohms))
    return Network(nodes, parts, GROUND), draw(st.integers(0, 1 << 14))


@settings(deadline=None)  # every example compiles a topology of its own
@given(networks())
def test_currents_at_every_node_add_up_to_nothing(case: tuple[Network, int]) -> None:
    """Kirchhoff's current law, to 1e-12 of what the greatest voltage would drive through the node's parts.

    The scale is the network's voltage and not the node's own: where sources balance, the node's is zero.
    """
    network, word = case
    solution = network.solve(word)
    scale = max(
        [abs(volts) for volts in solution.potentials] + [abs(p.volts) for p in network.parts.values()]
    )
    for node in network.nodes[1:]:
        total, conductance = 0.0, 0.0
        for part in network.parts.values():
            if part.a == part.b or node not in (part.a, part.b):
                continue
            total += solution.current(part.name) * (1 if part.a == node else -1)
            conductance += part.conductance
        assert abs(total) <= 1e-12 * conductance * scale
