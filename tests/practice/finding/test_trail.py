"""What a run's records say was looked at, in which state, and what each look told."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from simgate.bench import actions as do
from simgate.bench.record import Event, ScanRecord, Sense
from simgate.board.signals import Note, NoteKind
from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.par import next_look
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import Measured, measure
from simgate.practice.finding_told import Waste, told
from simgate.wiring.meter import Instrument
from tests.golden.runs import replayed, tape_of
from tests.practice.finding.made import CHAIN, actual, finding, measured, run, surprise, the_job, volts

FOUND = (volts("stop-post.2"), volts("stop-barn.1"), volts("stop-barn.2"), volts("post-left.3"))
MEND = do.RemakeWire("stop-barn-out")


def of_tape(name: str) -> Measured:
    """The fault-finding on a golden tape."""
    found = measure(the_job(name), Ending.of(replayed(name)))
    assert found is not None
    return found


def test_each_measurement_halves_what_is_left_until_one_core_is() -> None:
    trail = measured(*FOUND).trail
    taken = trail.ledger.taken
    assert [one.words for one in taken][:1] == ["volts between stop post 2 and board 0V, mains on, at rest"]
    assert [len(one.after) for one in taken] == sorted((len(one.after) for one in taken), reverse=True)
    assert trail.ledger.left == (actual(trail.ledger),)
    assert all(one.looks and one.weighed for one in taken)


def test_instruments_are_fetched_and_places_opened_once() -> None:
    taken = measured(volts("stop-post.2"), volts("stop-post.1"), volts("stop-post.2")).trail.ledger.taken
    assert [one.seconds for one in taken] == [145.0, 15.0, 15.0]  # costs.toml: 40 meter, 90 device, 15 volts


def test_a_point_that_the_planner_does_not_use_is_worked_out_in_every_suspects_copper() -> None:
    """The job's own hint measures to AUX-, the planner to 0V; both tell the same."""
    (own,) = measured(volts("post-left.2", "board.AUX-")).trail.ledger.taken
    (planned,) = measured(volts("post-left.2")).trail.ledger.taken
    assert not own.looks
    assert planned.looks
    assert own.weighed
    assert own.after == planned.after
    assert own.bits == planned.bits > 0.5


def test_a_core_that_was_lifted_is_measured_as_it_hangs() -> None:
    """Ohms along the chain with its feed undone: beyond it only the core itself is left to read."""
    work = (do.Mains(False), do.PartWire("stop-feed"), do.Probe("ohms", "stop-barn.2", "post-left.3"))
    (ohms,) = measured(*work).trail.ledger.taken
    assert not ohms.looks
    assert ohms.words == "ohms between stop barn 2 and post left 3, mains off, at rest"
    assert 0 < len(ohms.after) < len(ohms.before)


def test_what_is_seen_in_passing_counts_when_it_tells_something() -> None:
    (seen,) = measured(do.Operate("stop-barn", True)).trail.ledger.taken
    assert seen.words == "display and input lamps, while stop barn is worked"
    assert (seen.seconds, len(seen.before) - len(seen.after)) == (25.0, 1)
    press = do.Operate("stop-barn", True)
    again = measured(press, do.Operate("stop-barn", False), press)
    assert len(again.trail.ledger.taken) == 1
    assert measured(do.Operate("part-button", True)).trail.ledger.taken == []


def test_looks_after_the_mending_find_nothing_and_are_not_counted() -> None:
    trail = measured(*FOUND, do.Mains(False), MEND, do.Mains(True), volts("board.STOP")).trail
    assert len(trail.ledger.taken) == len(FOUND)
    assert trail.mended == 6000
    (repair,) = trail.repairs
    assert repair.proven
    assert not repair.needless


def test_a_sound_core_made_anew_is_a_needless_swap_and_its_display_tells_something() -> None:
    trail = measured(do.Mains(False), do.RemakeWire("stop-feed"), do.Mains(True)).trail
    (repair,) = trail.repairs
    assert repair.needless
    (seen,) = trail.ledger.taken
    assert seen.words == "display and input lamps after the work"
    places = [fault.place.split("|") for one in seen.after for fault in seen.suspects.sets[one - 1]]
    assert not [its for its in places if "stop-feed" in its]


def test_a_core_undone_and_put_back_is_no_repair() -> None:
    trail = measured(do.Mains(False), do.PartWire("stop-feed"), do.RemakeWire("stop-feed")).trail
    assert trail.repairs == []
    assert trail.as_found


def test_a_break_mended_on_a_guess_is_a_repair_before_proof() -> None:
    found = measured(do.Mains(False), MEND)
    assert found.trail.mended == 2000
    assert len(found.unproven) == 1
    assert found.needless == ()


def test_a_break_mended_by_undoing_and_remaking_its_core_is_one_too() -> None:
    found = measured(do.Mains(False), do.PartWire("stop-barn-out"), MEND)
    assert len(found.unproven) == 1


def test_an_instrument_put_on_ahead_is_one_look_with_what_it_reads_then() -> None:
    """The lock is fed for 2 s only: the meter is on before, and reads when the gate is driven."""
    words = [one.words for one in of_tape("lock-stuck").trail.ledger.taken]
    assert "volts between lock 1 and lock 2, while leaf A is driven" in words
    assert "volts between lock 1 and lock 2, mains on, at rest" not in words


def test_the_page_of_the_line_and_a_head_that_was_worked_on_were_looked_at() -> None:
    assert [one.words for one in of_tape("line-gone").trail.ledger.taken] == [
        "what stands on the line, in the book, mains on, at rest",
        "lens and aim of outer receiver, mains on, at rest",
    ]


def test_a_measurement_on_a_moving_gate_is_named_as_not_weighed() -> None:
    note = Note(500, NoteKind.MOVING, "A opening")
    records = (ScanRecord(500, (), (), (note,), ()), *run(volts("stop-post.2")).records)
    found = measure(the_job(), replace(run(), records=records))
    assert found is not None
    (taken,) = found.trail.ledger.taken
    assert (taken.weighed, taken.bits, taken.seconds) == (False, 0.0, 145.0)
    assert taken.words.endswith("while a leaf is driven")


def test_a_leaf_that_came_to_its_stop_was_seen_all_the_way() -> None:
    job = "ends-slow-down"
    event = Event(500, Sense.HEARD, "Leaf A meets a stop")
    found = measure(the_job(job), replace(run(name=job), records=(ScanRecord(500, (), (), (), (event,)),)))
    assert found is not None
    (seen,) = found.trail.ledger.taken
    assert seen.words == "the input lamps while leaf A goes all the way"
    assert len(seen.after) == 1
    assert seen.seconds == costs().state.swung + costs().place.look
    moving = ScanRecord(100, (), (), (Note(100, NoteKind.MOVING, "A opening"),), ())
    driven = measure(
        the_job(job), replace(run(name=job), records=(moving, ScanRecord(500, (), (), (), (event,))))
    )
    assert driven is not None
    assert driven.seconds == found.seconds  # driven there, too: no run is shorter than a proven par
    assert told(driven).least <= driven.seconds


@pytest.mark.parametrize(
    ("actions", "waste"),
    [
        ((volts("lamp.1"),), Waste.IRRELEVANT),
        ((volts("stop-post.2"), volts("stop-post.2")), Waste.REDUNDANT),
        ((volts("stop-post.2"), volts("stop-post.1")), Waste.REDUNDANT),
        ((volts("stop-post.2"),), Waste.NONE),
    ],
)
def test_wasteful_checks_by_their_names(actions: tuple[do.Action, ...], waste: Waste) -> None:
    """X3: premature, redundant and irrelevant checks, named by a US Army course on bracketing, as reprinted;
    what exactly counts as which is ours (finding_told.py).
    """
    assert finding(*actions).looks[-1].waste is waste


@pytest.mark.parametrize(
    ("put_in", "state", "fetched"),
    [
        (do.SpareBeam("beam-gate", True), "spare", "spare"),
        (do.AddLink("board.COM", "board.GUARD-C"), "linked", "link"),
    ],
)
def test_what_is_put_in_for_a_look_is_paid_also_when_it_tells_nothing(
    put_in: do.Action, state: str, fetched: str
) -> None:
    (taken,) = measured(do.Mains(False), put_in, do.Mains(True)).trail.ledger.taken
    table = costs()
    assert taken.bits == 0.0
    assert taken.seconds >= table.of_state(state) + table.to_fetch(fetched) + table.place.look


def test_the_three_wasteful_checks_are_called_as_the_course_calls_them() -> None:
    """X3: premature, redundant, irrelevant, and no fourth; what the table has no look for is not weighed."""
    assert {one.value for one in Waste if one not in (Waste.NONE, Waste.UNKNOWN)} == {
        "premature",
        "redundant",
        "irrelevant",
    }


def test_bits_add_up_to_the_surprise_that_it_is_this_one() -> None:
    ledger = measured(*FOUND).trail.ledger
    bits = math.fsum(one.bits for one in ledger.taken)
    assert bits == pytest.approx(surprise(ledger))


@pytest.mark.parametrize("instrument", list(Instrument))
def test_every_instrument_is_a_look_that_costs_its_time(instrument: Instrument) -> None:
    places = {
        Instrument.CLAMP: ("stop-feed", ""),
        Instrument.VOLTS_AC: ("board.MAINS-L", "board.MAINS-N"),
    }.get(instrument, ("stop-post.1", "stop-post.2"))
    live = instrument in (Instrument.VOLTS, Instrument.CLAMP, Instrument.VOLTS_AC)
    probe = do.Probe(instrument.value, *places)
    (taken,) = measured(do.Mains(live), probe).trail.ledger.taken
    assert taken.seconds > 0.0
    assert taken.weighed
    assert taken.after


def test_a_look_that_finds_it_is_not_premature_whatever_it_cost() -> None:
    look = finding(*of_actions("edge-parallel"), name="edge-parallel").looks[0]
    assert (look.after, look.waste) == (1, Waste.NONE)
    assert look.best


def of_actions(name: str) -> list[do.Action]:
    """What was done on a golden tape, up to the first measurement."""
    actions = [action for _, action in tape_of(name).actions]
    first = next(n for n, action in enumerate(actions) if isinstance(action, do.Probe))
    return actions[: first + 1]


def test_a_look_that_tells_less_than_half_of_the_best_for_its_time_is_premature() -> None:
    """Every point of the chain after the first look, each held to the rule by its own figures."""
    seen = set()
    for point in (*CHAIN[1:], "lamp.1"):
        actions = (volts("post-left.2"), volts(point))
        found = measured(*actions)
        taken, look = found.trail.ledger.taken[-1], finding(*actions).looks[-1]
        best = next_look(taken.suspects.table, taken.before, opened=taken.opened)
        assert best is not None
        slow = taken.hoped / taken.seconds < 0.5 * best.bits / best.seconds
        early = slow and taken.bits > 0.0 and not taken.suspects.solved(taken.after)
        assert (look.waste is Waste.PREMATURE) is early
        seen.add(look.waste)
    assert Waste.PREMATURE in seen
