"""Remotes pressed in a run: a look that counts where somebody could see whether the board heard it."""

from __future__ import annotations

import pytest

from simgate.bench import actions as do
from simgate.bench.radio import OWN
from simgate.bench.record import ScanRecord
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.signals import Note, NoteKind
from simgate.practice.complaint import Complaint
from simgate.practice.diagnosis.inquiry import Inquiry, inquiry_of
from simgate.practice.diagnosis.observation import How
from simgate.practice.diagnosis.par import next_look
from simgate.practice.diagnosis.trail import Trail
from simgate.wiring.faults import Fault, FaultKind

HOUSE, SPARE = "remote-house", "remote-spare"
TEACHING = Note(0, NoteKind.DISPLAY, "Teach a key: call | Press the remote's key now")
LEFT = Note(0, NoteKind.DISPLAY, "Gate shut | Ready: Latch")


@pytest.fixture(scope="module")
def deaf() -> Inquiry:
    """The remote of the house, the only one that is taught, does nothing any more."""
    setup = Setup(
        "deaf", load_site("mews-double"), faults=(Fault(FaultKind.AERIAL_OFF, "aerial"),),
        taught=((HOUSE, 1, "call"),), roll_call=True,
    )  # fmt: skip
    found = inquiry_of(setup, (Complaint(how=How.HEARD, at=HOUSE),))
    assert found is not None
    return found


def pressed(name: str) -> tuple[do.Action, ...]:
    return do.RemoteKey(name, 1, True), do.RemoteKey(name, 1, False)


def left(inquiry: Inquiry, *steps: do.Action | Note) -> int:
    """Suspects left after these steps."""
    records = [
        ScanRecord(1000 * n, (), (), (step,), ()) if isinstance(step, Note) else
        ScanRecord(1000 * n, (step,), (), (), ())
        for n, step in enumerate(steps, 1)
    ]  # fmt: skip
    return len(Trail(inquiry).follow(records).ledger.left)


def test_a_key_on_the_page_that_teaches_shows_whether_it_is_heard(deaf: Inquiry) -> None:
    best = next_look(deaf.first().table, deaf.first().first)
    assert best is not None
    assert best.reason[-1] == "A key that is not taught shows itself on the page of the book that teaches."
    assert left(deaf) == 2
    assert left(deaf, TEACHING, *pressed(SPARE)) == 1
    assert left(deaf, TEACHING, *pressed(OWN.name)) == 1
    assert left(deaf, TEACHING, do.Mains(False), *pressed(SPARE)) == 2


def test_a_key_that_is_not_taught_shows_nothing_elsewhere(deaf: Inquiry) -> None:
    assert left(deaf, *pressed(SPARE)) == 2
    assert left(deaf, TEACHING, LEFT, *pressed(SPARE)) == 2
    taught = Note(0, NoteKind.KEY_TAUGHT, "210530 key 1 = call")
    assert left(deaf, taught, *pressed(SPARE)) == 1
    assert left(deaf, taught, Note(0, NoteKind.KEY_ERASED, "210530 key 1"), *pressed(SPARE)) == 2


def test_a_press_from_far_away_is_another_look(deaf: Inquiry) -> None:
    assert left(deaf, TEACHING, do.CarryRemote(SPARE, 30.0), *pressed(SPARE)) == 2
    assert left(deaf, TEACHING, do.CarryRemote(SPARE, 30.0), do.CarryRemote(SPARE, 5.0), *pressed(SPARE)) == 1
