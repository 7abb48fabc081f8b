"""The table of faults and looks: its size, its readings against the bench and the meter, its classes."""

from __future__ import annotations

import pytest

from simgate.bench.actions import Mains
from simgate.bench.radio import OWN
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.costs import Tolerance, costs
from simgate.practice.diagnosis.observation import How
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.states import StateKind
from simgate.practice.diagnosis.table import Table, build, mend, outcome, told
from simgate.wiring.faults import Fault, FaultKind, inject
from simgate.wiring.faults import mend as take_out
from simgate.wiring.harness import Harness
from simgate.wiring.meter import Instrument, read

INSTRUMENTS = {How.VOLTS: Instrument.VOLTS, How.OHMS: Instrument.OHMS, How.CLAMP: Instrument.CLAMP}


def test_the_reference_site_has_enough_distinct_faults_and_looks(farm: Table) -> None:
    assert len(farm.faults) >= 250
    assert len({(fault.kind, fault.place) for fault in farm.faults}) == len(farm.faults)
    assert len(farm.looks) >= 400
    assert len({(look.how, look.state, look.a, look.b) for look in farm.looks}) == len(farm.looks)
    assert all(look.seconds > 0.0 for look in farm.looks)


@pytest.mark.parametrize("site", ["farm-double", "depot-double"])
def test_trying_faults_leaves_no_trace(site: str) -> None:
    stand = Stand(Setup(job=site, site=load_site(site)))
    sound, state = list(stand.read(None)), stand.harness.state()
    for fault in stand.faults()[::9]:
        stand.read(fault)
        assert stand.harness.state() == state, fault
    assert stand.read(None) == sound


def test_a_fault_reads_as_the_meter_reads_it_at_the_bench(farm: Table) -> None:
    """Volts and clamp at rest against a bench that was switched on with the fault in; ohms against the same,
    isolated.
    """
    checked = 0
    for number in range(3, len(farm.faults), 23):
        fault = farm.faults[number]
        bench = Bench(Setup(job="farm", site=farm.setup.site, faults=(fault,)))
        dead = Bench(Setup(job="farm", site=farm.setup.site, faults=(fault,)))
        dead.act(Mains(False))
        dead.run(100)
        for n, look in enumerate(farm.looks):
            instrument = INSTRUMENTS.get(look.how)
            if instrument is None or look.state.kind not in (StateKind.REST, StateKind.DEAD):
                continue
            at = dead if look.state.kind is StateKind.DEAD else bench
            harness, word = at.harness, at.contacts.word
            shown = read(instrument, harness, word, [0.0, 0.0], [0.0, 0.0], look.a, look.b).value
            told_by = farm.readings[n][number + 1]
            if shown is None or told_by is None:
                assert shown == told_by, (told(farm, number + 1), look.words)
                continue
            band = costs().tolerance_of(look.how.value)
            assert band is not None
            assert told_by == pytest.approx(shown, abs=band.off(shown)), (told(farm, number + 1), look.words)
            checked += 1
    assert checked > 2000


def test_lamps_and_display_are_those_of_the_bench(farm: Table) -> None:
    by_how = {
        look.how: n for n, look in enumerate(farm.looks) if look.state.kind is StateKind.REST
    }  # fmt: skip
    for number in range(0, len(farm.faults), 17):
        bench = Bench(Setup(job="farm", site=farm.setup.site, faults=(farm.faults[number],)))
        shot = bench.snapshot()
        made = farm.readings[by_how[How.LAMPS]][number + 1]
        assert isinstance(made, tuple)
        assert [one for one, _ in zip(made, shot.inputs, strict=True)] == [one.made for one in shot.inputs]
        display = farm.readings[by_how[How.DISPLAY]][number + 1]
        assert display == (shot.display if shot.powered else ("", ""))


def test_readings_that_may_overlap_are_one_outcome() -> None:
    band = Tolerance(share=0.0, floor=0.1)
    assert outcome((1.0, 1.15, 1.3, 2.0, 2.25, None), band) == (0, 0, 0, 2, 3, 4)
    assert outcome((2.0, 1.0), band) == (0, 1)
    assert outcome((None, 5.0, None), band) == (0, 1, 0)
    assert outcome(("a", "b", "a"), None) == (0, 2, 0)


def test_a_chain_is_halved_at_its_joint_and_dead_heads_are_alike(farm: Table) -> None:
    near = farm.suspect(Fault(FaultKind.PARTED_WIRE, "stop-feed"))
    far = farm.suspect(Fault(FaultKind.PARTED_WIRE, "stop-return"))
    apart = [look for look in farm.apart(near, far) if look.how is How.VOLTS]
    assert any("post-left.2" in (look.a, look.b) for look in apart)
    both = [
        farm.suspect(Fault(kind, "beam-gate")) for kind in (FaultKind.DEAD_SENDER, FaultKind.DEAD_RECEIVER)
    ]
    assert not [look for look in farm.apart(*both) if look.how in (How.DISPLAY, How.LAMPS)]
    assert sorted(suspect for its in farm.classes for suspect in its) == list(range(len(farm.faults) + 1))


def test_classes_are_what_no_look_tells_apart(farm: Table) -> None:
    for alike in farm.classes:
        for other in alike[1:]:
            assert not list(farm.apart(alike[0], other))
    for one, another in zip(farm.classes, farm.classes[1:], strict=False):
        assert next(farm.apart(one[0], another[0]), None) is not None


def test_what_mends_one_core_mends_every_fault_of_it() -> None:
    kinds = (FaultKind.PARTED_WIRE, FaultKind.TIRED_JOINT, FaultKind.EARTH_LEAK, FaultKind.FLICKER)
    harness = Harness(load_site("farm-double").wiring)
    sound = harness.state()
    assert len({mend(Fault(kind, "stop-feed", 1.0)) for kind in kinds}) == 1
    for kind in kinds:
        fault = Fault(kind, "stop-feed", 10.0)
        inject(harness, fault if kind is not FaultKind.PARTED_WIRE else Fault(kind, "stop-feed"))
        harness.remake_wire("stop-feed")
        assert harness.state() == sound
        take_out(harness, fault)


def test_a_fault_of_a_job_is_tried_with_its_own_amount() -> None:
    site = load_site("yard-single")
    place = site.wiring.wires[0].name
    given = Fault(FaultKind.TIRED_JOINT, place, 4000.0)
    table = build(Setup(job="yard", site=site), (given,))
    assert table.faults[table.suspect(given) - 1] == given
    with pytest.raises(ValueError, match="not a fault that this site can have"):
        table.suspect(Fault(FaultKind.PARTED_WIRE, "nowhere"))


def test_a_deaf_receiver_is_told_from_a_dumb_remote_by_the_one_from_the_bag() -> None:
    """Of the two, the own remote is heard with the one and not with the other; it costs its teaching once."""
    mews = build(Setup("test", load_site("mews-double")))
    numbers = {(look.how, look.a): number for number, look in enumerate(mews.looks)}
    own = numbers[(How.HEARD, OWN.name)]
    at = {(fault.kind.value, fault.place): number + 1 for number, fault in enumerate(mews.faults)}
    assert mews.readings[own][at["aerial-off", "aerial"]] == "False"
    assert mews.readings[own][at["dead-remote", "remote-house"]] == "True"
    assert mews.looks[own].needs == ("fetch remote",)
