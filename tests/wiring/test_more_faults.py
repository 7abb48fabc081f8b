"""Faults of devices, cables, supply and iron: each shows as its row says, and mending leaves nothing."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from simgate.bench.site import load_site
from simgate.wiring.faults import Fault, FaultKind, inject, mend, outstanding, places, present
from simgate.wiring.harness import Harness, Solution
from simgate.wiring.mains import CORES
from simgate.wiring.meter import Instrument, read
from simgate.wiring.spec import WiringSpec

DEPOT = load_site("depot-double").wiring
PARK = load_site("park-oil").wiring  # the only one here with a relief valve
STOP, GUARD_O, GUARD_C, CALL, PART, EDGE, END_O_A, END_C_A = range(8)
K = FaultKind


def opened(harness: Harness, *names: str) -> Solution:
    """At rest, with these contacts the other way."""
    word = harness.word_at_rest()
    for name in names:
        word ^= harness.contacts[name]
    return harness.solve(word)


def rest(harness: Harness) -> Solution:
    return opened(harness)


def ohms(harness: Harness, a: str, b: str) -> float | None:
    return read(Instrument.OHMS, harness, harness.word_dead(), (0.0, 0.0), (0.0, 0.0), a, b).value


def drop(harness: Harness, a: str, b: str, *names: str) -> float:
    volts = opened(harness, *names).volts(a, b)
    assert volts is not None
    return volts


def in_rain(harness: Harness) -> float:
    """V at STOP in full rain."""
    harness.let_rain(1.0)
    volts = rest(harness).inputs[STOP]
    harness.let_rain(0.0)
    return volts


def site_of(fault: Fault) -> WiringSpec:
    return PARK if fault.kind in (K.RELIEF_VALVE, K.LATE_RELIEF_VALVE) else DEPOT


# Each fault, and what the copper says of it while it is in: true with the fault, false without.
SHOWS: list[tuple[Fault, Callable[[Harness], bool]]] = [
    (Fault(K.EARTH_LEAK, "stop-orange", 100.0), lambda h: rest(h).inputs[STOP] < 23.0),
    (Fault(K.EARTH_LEAK, "call-green", 100.0), lambda h: (ohms(h, "board.CALL", "board.0V") or 0.0) < 150.0),
    (
        Fault(K.FLICKER, "stop-orange", 50.0),
        lambda h: h.solve(h.word_at_rest() & ~h.contacts["flicker"]).inputs[STOP] < 5.0,
    ),
    (
        Fault(K.THIN_CABLE, "lock-red|lock-black", 10.0),
        lambda h: drop(h, "lock.1", "lock.2", "lock") < 18.0 and rest(h).current("lock-red") == 0.0,
    ),
    (
        Fault(K.WRONG_TERMINAL, "stop-orange|board.GUARD-O"),
        lambda h: rest(h).inputs[STOP] < 5.0 and opened(h, "beam-in").inputs[GUARD_O] > 15.0,
    ),
    (
        Fault(K.SWAPPED_CORES, "loop-red|loop-black"),
        lambda h: not h.works(rest(h), "loop") and drop(h, "loop.+", "loop.-") < -20.0,
    ),
    (Fault(K.WEAK_SUPPLY, "supply", 6.0), lambda h: rest(h).supply < 18.5),
    (Fault(K.WORN_BATTERY, "battery", 90.0), lambda h: h.battery is not None and h.battery.full < 1e12),
    (Fault(K.STIFF_HINGE, "leaf-A", 150.0), lambda h: h.iron.friction[0] == 150.0),
    (Fault(K.MOVED_STOP, "leaf-B", 10.0), lambda h: h.iron.stop[1] == pytest.approx(0.1)),
    (Fault(K.WELDED_CONTACT, "stop-button"), lambda h: opened(h, "stop-button").inputs[STOP] > 15.0),
    (
        Fault(K.STUCK_RELAY, "beam-out"),
        lambda h: opened(h, "beam-out", "test").inputs[GUARD_C] > 15.0,  # what dropping TEST+ finds
    ),
    (Fault(K.WRONG_CONTACT, "stop-button"), lambda h: rest(h).inputs[STOP] < 5.0),
    (
        Fault(K.BURNT_CONTACT, "call-button"),
        lambda h: drop(h, "call-button.1", "call-button.2", "call-button") > 15.0,
    ),
    (Fault(K.JAMMED_KEY, "call-button"), lambda h: h.held == ("call-button",)),
    (Fault(K.CRUSHED_EDGE, "edge-a"), lambda h: h.held == ("edge-a",)),
    (
        Fault(K.MISSING_RESISTOR, "edge-end"),
        lambda h: rest(h).inputs[EDGE] > 4.99 and opened(h, "edge-b").inputs[EDGE] < 0.1,
    ),
    (Fault(K.WRONG_RESISTOR, "edge-end", 22000.0), lambda h: rest(h).inputs[EDGE] > 3.0),
    (
        Fault(K.EDGES_IN_PARALLEL, "edge-a|edge-b"),
        # two 8.2 kohm in parallel are 4.1 kohm, and by the divider 5 x 4.1 / 12.3 = 1.67 V
        lambda h: rest(h).inputs[EDGE] == pytest.approx(1.67, abs=0.01),
    ),
    (Fault(K.SLIPPED_END, "end-open-a", 10.0), lambda h: h.fitting("end-open-a").slip == pytest.approx(0.1)),
    (
        Fault(K.DEAD_SENDER, "beam-out"),
        lambda h: (
            not h.works(rest(h), "beam-out")
            and rest(h).current("beam-out-tx-red") == 0.0
            and drop(h, "beam-out.tx+", "beam-out.tx-") > 18.0
        ),
    ),
    (
        Fault(K.DEAD_RECEIVER, "beam-in"),
        lambda h: not h.works(rest(h), "beam-in") and rest(h).current("beam-in-rx-red") == 0.0,
    ),
    (
        Fault(K.DEAD_DETECTOR, "loop"),
        lambda h: not h.works(rest(h), "loop") and rest(h).current("loop-red") == 0.0,
    ),
    (
        Fault(K.DEAD_ENCODER, "encoder-a"),
        lambda h: not h.works(rest(h), "encoder-a") and abs(rest(h).current("encoder-a-black")) < 1e-12,
    ),
    (
        Fault(K.WORN_BRUSHES, "motor-a", 3.0),
        lambda h: h.worn(0) == pytest.approx(3.0) and (ohms(h, "motor-a.1", "motor-a.2") or 0.0) > 0.4,
    ),
    (
        Fault(K.OPEN_COIL, "lock"),
        lambda h: drop(h, "lock.1", "lock.2", "lock") > 20.0 and opened(h, "lock").current("lock-red") == 0.0,
    ),
    (
        Fault(K.DEAD_LAMP, "lamp"),
        lambda h: drop(h, "lamp.1", "lamp.2", "lamp") > 20.0 and opened(h, "lamp").current("lamp-red") == 0.0,
    ),
    (Fault(K.DIRTY_LENS, "beam-out", 80.0), lambda h: h.fitting("beam-out").blind),
    (Fault(K.BEAM_OFF_AIM, "beam-out", 8.0), lambda h: h.fitting("beam-out").blind),
    (Fault(K.SHORTED_RESISTOR, "edge-end"), lambda h: rest(h).inputs[EDGE] < 0.1),
    (Fault(K.WET_CABLE, "stop-orange", 100.0), lambda h: in_rain(h) < 23.0 < rest(h).inputs[STOP]),
    (
        Fault(K.LOOSE_CORE, "stop-orange", 20.0),
        lambda h: h.solve(h.word_at_rest() & ~h.contacts["chatter"]).inputs[STOP] < 5.0,
    ),
    (Fault(K.OPEN_SCREEN, "encoder-a", 3.0), lambda h: h.stray(0) == 3.0 and h.stray(1) == 0.0),
    (Fault(K.SAGGED_LEAF, "leaf-A", 60.0), lambda h: h.iron.sag[0] == 60.0),
    (Fault(K.SLACK_LINKAGE, "leaf-B", 40.0), lambda h: h.iron.play[1] == pytest.approx(0.04)),
    (Fault(K.RELIEF_VALVE, "leaf-A", 70.0), lambda h: h.iron.relief[0] == pytest.approx(0.7)),
    (Fault(K.LATE_RELIEF_VALVE, "leaf-A", 40.0), lambda h: h.iron.relief[0] == pytest.approx(-0.4)),
    (Fault(K.STRONG_WIND, "wind", 12.0), lambda h: h.iron.wind == 12.0),
    (
        # L parted behind the isolator: 230 V before it, none at the board
        Fault(K.PARTED_MAINS, "mains-lead-l"),
        lambda h: h.mains.volts("board.MAINS-L", "board.MAINS-N") < 1.0 < h.mains.volts("mains.L", "mains.N"),
    ),
]
OTHERS = [fault for fault, _ in SHOWS]
each = pytest.mark.parametrize(("fault", "shows"), SHOWS, ids=[f"{f.kind.value}-{f.place}" for f in OTHERS])


@each
def test_it_shows_as_its_row_says_and_is_gone_when_mended(
    fault: Fault, shows: Callable[[Harness], bool]
) -> None:
    harness = Harness(site_of(fault))
    healthy, readings = harness.state(), rest(harness).potentials
    assert not shows(harness)
    assert fault.place in places(harness, fault.kind)
    inject(harness, fault)
    assert shows(harness)
    assert outstanding(harness) == (fault,)
    mend(harness, fault)
    assert not shows(harness)
    assert harness.state() == healthy
    assert rest(harness).potentials == readings


def _hands(harness: Harness, fault: Fault) -> None:
    """What a technician does about it."""
    if fault.kind is K.EDGES_IN_PARALLEL:
        harness.remake_wire("edge-on-white")
        harness.remake_wire("edge-on-brown")
    for name in fault.place.split("|"):
        if name in [wire.name for wire in harness.wires()]:
            harness.remake_wire(name)
        elif name in harness.renewable():
            harness.renew_device(name)
        elif name in CORES:
            harness.renew_device("mains")


@each
def test_hands_can_put_it_right(fault: Fault, shows: Callable[[Harness], bool]) -> None:
    harness = Harness(site_of(fault))
    healthy, readings = harness.state(), rest(harness).potentials
    inject(harness, fault)
    _hands(harness, fault)
    assert not present(harness, fault)
    assert outstanding(harness) == ()
    assert harness.state() == healthy
    assert rest(harness).potentials == readings


def test_a_little_dirt_and_a_little_off_aim_are_within_the_margin() -> None:
    harness = Harness(DEPOT)
    inject(harness, Fault(K.DIRTY_LENS, "beam-out", 30.0))
    inject(harness, Fault(K.BEAM_OFF_AIM, "beam-out", 3.0))
    assert not harness.fitting("beam-out").blind


def test_edges_stay_side_by_side_until_both_cores_and_the_resistor_are_put_right() -> None:
    """Without its resistor the first edge reads well and is watched no more: a break in it shows nowhere."""
    fault = Fault(K.EDGES_IN_PARALLEL, "edge-a|edge-b")
    harness = Harness(DEPOT)
    inject(harness, fault)
    harness.end_edge("edge-a", False)
    assert rest(harness).inputs[EDGE] == pytest.approx(2.5, abs=0.01)
    assert present(harness, fault)
    harness.remake_wire("edge-on-white")
    assert present(harness, fault)
    harness.remake_wire("edge-on-brown")
    assert not present(harness, fault)
