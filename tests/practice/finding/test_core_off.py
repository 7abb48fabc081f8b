"""A run with a core taken off, a link or the plug in: its looks are those of the table, at their cost."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from simgate.bench import actions as do
from simgate.bench.record import ScanRecord
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.signals import LEAVES, Note, NoteKind
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.inquiry import Inquiry, inquiry_of
from simgate.practice.diagnosis.observation import How, Observation
from simgate.practice.diagnosis.reached import work
from simgate.practice.diagnosis.states import LIFTED, StateKind
from simgate.practice.diagnosis.trail import Trail
from simgate.practice.diagnosis.way import good_way
from simgate.wiring.faults import Fault, FaultKind

LEAK = Fault(FaultKind.EARTH_LEAK, "motor-a-brown", 100.0)  # whose core the good hand need not lift
MOTOR = (Complaint(among=("motor-a-brown", "motor-a-blue", "lamp-black", "lamp-red")),)


@pytest.fixture(scope="module")
def leak() -> Inquiry:
    found = inquiry_of(Setup("leak", load_site("farm-double"), faults=(LEAK,)), MOTOR)
    assert found is not None
    return found


def by_hand(inquiry: Inquiry, look: Observation) -> Iterator[do.Action | Note]:
    """What hands do for a look, and put back afterwards."""
    kind = look.state.kind
    if kind is StateKind.JOG:
        leaf = LEAVES[look.state.leaf]
        yield Note(0, NoteKind.MOVING, f"{leaf} opening")
        yield Note(0, NoteKind.RESTING, f"{leaf}")
        return
    isolated = kind in (*LIFTED, StateKind.DEAD)
    if isolated:
        yield do.Mains(False)
    yield from work(inquiry.stand.harness.spec, look.state)
    yield do.Probe({How.VOLTS: "volts", How.OHMS: "ohms"}[look.how], look.a, look.b)
    yield do.PutAway()
    if kind in LIFTED:
        yield do.RemakeWire(look.state.of)
    if kind is StateKind.WET_CORE_OFF:
        yield do.Rain(0.0)
    if isolated:
        yield do.Mains(True)


def followed(inquiry: Inquiry, *steps: do.Action | Note) -> Trail:
    records = [
        ScanRecord(1000 * n, (), (), (step,), ()) if isinstance(step, Note) else
        ScanRecord(1000 * n, (step,), (), (), ())
        for n, step in enumerate(steps, 1)
    ]  # fmt: skip
    return Trail(inquiry).follow(records)


def test_a_run_that_follows_the_good_hand_on_a_leak_takes_what_the_good_hand_takes(leak: Inquiry) -> None:
    way = good_way(leak)
    looks = [leak.stand.looks[look] for taken in way for look in taken.looks]
    assert looks[-1].state.kind is StateKind.CORE_OFF  # nothing else shows a leak behind a winding
    steps = [step for look in looks for step in by_hand(leak, look)]
    ledger = followed(leak, *steps).ledger
    assert all(taken.weighed and taken.looks for taken in ledger.taken)
    assert [taken.seconds for taken in ledger.taken] == [taken.seconds for taken in way]
    assert ledger.solved()
    left = {ledger.suspects.sets[one - 1] for one in ledger.left}
    known = {leak.first().sets[one - 1] for one in way[-1].after}
    assert left == {its for its in known if its[0].place != "motor-a-blue"}  # which is made anew, put back
    assert (LEAK,) in left


def test_a_core_that_was_lifted_wet_and_a_link_are_looks_of_the_table(leak: Inquiry) -> None:
    trail = followed(
        leak,
        do.Mains(False), do.Rain(100.0), do.PartWire("lamp-black"), do.Probe("ohms", "lamp.2", "board.0V"),
        do.PutAway(), do.RemakeWire("lamp-black"), do.Rain(0.0), do.AddLink("board.COM", "board.STOP"),
        do.Mains(True),
    )  # fmt: skip
    wet, linked = trail.ledger.taken
    (number,) = wet.looks
    look = leak.stand.looks[number]
    assert (look.state.kind, look.state.of, look.how) == (StateKind.WET_CORE_OFF, "lamp-black", How.OHMS)
    assert wet.words == "ohms between lamp 2 and board 0V, isolated and wetted, core lamp black off its screw"
    assert wet.seconds == look.seconds + 40 + 120 + 90 + 30  # meter, water, lamp and board, costs.toml
    assert (linked.bits, linked.seconds) == (0.0, 100 + 10 + 5)  # costs.toml; it was put in to look, in vain


def test_with_more_undone_than_the_table_knows_a_reading_is_worked_out_apart(leak: Inquiry) -> None:
    two = (do.PartWire("motor-a-brown"), do.PartWire("motor-a-blue"))
    probe = do.Probe("ohms", "motor-a.2", "board.0V")
    (apart,) = followed(leak, do.Mains(False), *two, probe).ledger.taken
    assert not apart.looks
    assert apart.weighed
    (known,) = followed(leak, do.Mains(False), two[1], probe).ledger.taken
    assert known.looks
    assert known.after == apart.after  # with the other end of the winding off as well it reads the same
