"""Looks with a core off, a test link, the test plug and on the battery, against the bench and its meter."""

from __future__ import annotations

import pytest

from simgate.bench.actions import Action, Mains
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.costs import costs, typical
from simgate.practice.diagnosis.observation import How, Observation
from simgate.practice.diagnosis.reached import work
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import LIFTED, StateKind
from simgate.practice.diagnosis.table import Table, told
from simgate.wiring.faults import Fault, FaultKind
from simgate.wiring.meter import Instrument, read

K = FaultKind
SOME = (
    Fault(K.EARTH_LEAK, "motor-a-blue", 100.0), Fault(K.EARTH_LEAK, "lamp-black", 100.0),
    Fault(K.WET_CABLE, "call-green", 100.0), Fault(K.PARTED_WIRE, "stop-barn-in"),
    Fault(K.TIRED_JOINT, "beam-tx-black", 50.0), Fault(K.BLOWN_FUSE, "aux"),
    Fault(K.FLICKER, "stop-feed", 50.0), Fault(K.BRIDGED_PAIR, "motor-b-brown|motor-b-blue"),
    Fault(K.WRONG_TERMINAL, "beam-com-white|board.STOP"),
)  # fmt: skip
DEPOT = (
    Fault(K.EARTH_LEAK, "edge-brown", 100.0), Fault(K.BLOWN_FUSE, "battery"),
    Fault(K.PARTED_WIRE, "edge-white"), Fault(K.WORN_BATTERY, "battery", 80.0),
    Fault(K.PARTED_WIRE, "stop-white"),
)  # fmt: skip
PICTURES = (StateKind.LINKED, StateKind.PLUGGED, StateKind.ON_BATTERY)


@pytest.fixture(scope="module")
def depot() -> Stand:
    return Stand(Setup(job="depot", site=load_site("depot-double")))


def brought(stand: Stand, fault: Fault, look: Observation) -> Bench:
    """A bench with that fault, isolated, worked on as the look asks, on again where it is looked at on."""
    bench = Bench(Setup(job="one", site=stand.setup.site, faults=(fault,)))
    off = look.state.kind in (*LIFTED, StateKind.ON_BATTERY)
    steps: list[Action] = [Mains(False), *work(stand.harness.spec, look.state)]
    for step in steps if off else (*steps, Mains(True)):
        bench.act(step)
        bench.run(500)
    return bench


@pytest.mark.parametrize("fault", SOME, ids=lambda fault: f"{fault.kind.value}-{fault.place}")
def test_ohms_with_a_core_off_are_what_the_meter_reads_then(fault: Fault) -> None:
    stand = Stand(Setup(job="farm", site=load_site("farm-double")))
    readings = list(stand.read(fault))
    looks = [(n, look) for n, look in enumerate(stand.looks) if look.state.kind in LIFTED]
    own = [row for row in looks if row[1].state.of in fault.place.split("|")]
    band = costs().tolerance_of(How.OHMS.value)
    assert band is not None
    for number, look in {*own, *looks[:: len(looks) // 7]}:
        bench = brought(stand, fault, look)
        word = bench.contacts.word
        shown = read(Instrument.OHMS, bench.harness, word, [0.0, 0.0], [0.0, 0.0], look.a, look.b).value
        told_by = readings[number]
        if shown is None or told_by is None:
            assert shown == told_by, look.words
        else:
            assert told_by == pytest.approx(shown, abs=band.off(shown)), look.words


@pytest.mark.parametrize("fault", DEPOT, ids=lambda fault: f"{fault.kind.value}-{fault.place}")
def test_link_plug_and_battery_show_what_the_bench_shows(depot: Stand, fault: Fault) -> None:
    readings = list(depot.read(fault))
    checked = 0
    for number, look in enumerate(depot.looks):
        if look.state.kind not in PICTURES:
            continue
        shot = brought(depot, fault, look).snapshot()
        told_by = readings[number]
        if look.how is How.DISPLAY:
            assert told_by == (shot.display if shot.powered else ("", "")), look.words
        else:
            assert isinstance(told_by, tuple)
            made = [one.made for one in shot.inputs]
            assert [one for one, _ in zip(told_by, made, strict=False)] == made, look.words
        checked += 1
    assert checked == 2 * (3 + 1 + 1)  # links at three inputs, the plug, the battery


def test_every_fault_of_the_reference_site_shows_in_some_look(farm: Table) -> None:
    assert [told(farm, suspect) for suspect in farm.classes[0]] == ["nothing"]


@pytest.mark.parametrize("site", ["depot-double", "mews-double", "park-oil", "timber-slide"])
def test_every_leak_shows_with_a_core_off(site: str) -> None:
    """Of the leaks that hide behind a winding or a common return, each fourth."""
    stand = Stand(Setup(job=site, site=load_site(site)))
    off = [n for n, look in enumerate(stand.looks) if look.state.kind in LIFTED]
    sound = stand.some(off)
    band = costs().tolerance_of(How.OHMS.value)
    assert band is not None
    leaks = [one for one in stand.faults() if one.kind in (K.EARTH_LEAK, K.WET_CABLE)]
    for leak in leaks[::4]:
        now = stand.some(off, typical(leak.kind, leak.place))
        falls = [
            there is not None and (was is None or (there + band.off(there) < was - band.off(was)))
            for was, there in zip(sound, now, strict=True)
            if isinstance(was, float | None) and isinstance(there, float | None)
        ]
        assert any(falls), leak


def test_taking_a_core_off_costs_undoing_it_and_making_it_anew(farm: Table) -> None:
    table = costs()
    off = [look for look in farm.looks if look.state.kind is StateKind.CORE_OFF]
    assert {look.state.of for look in off} == {wire.name for wire in farm.setup.site.wiring.wires}
    for look in off:
        assert look.seconds == table.place.ohms + table.state.core_off
        left = next(wire.a for wire in farm.setup.site.wiring.wires if wire.name == look.state.of)
        assert f"open {left.rpartition('.')[0]}" in look.needs
    assert table.state.core_off > table.state.dead
