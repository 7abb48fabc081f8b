"""Runs of gates with two things wrong: stages, what a repair uncovers, par of each, and what is told."""

from __future__ import annotations

import math

import pytest

from simgate.bench import actions as do
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.advice import FOUND, advice
from simgate.practice.diagnosis.costs import typical
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import LEAST_PAR, followed, measure
from simgate.practice.finding_told import told
from simgate.practice.finding_words import against_par, asked, ended, hidden, part_line, told_line
from simgate.wiring.faults import FaultKind
from tests.golden.runs import replayed
from tests.practice.finding.made import finding, measured, run, the_job, volts

STORM, TRENCH = "after-the-storm", "two-at-once"
FUSE = (
    volts("board.AUX+", "board.AUX-"), do.Mains(False), do.PutAway(), do.ReplaceFuse("aux"),
)  # fmt: skip


def test_what_the_first_repair_uncovers_begins_with_sets_of_two() -> None:
    """The fuse explains all that was seen; not so the display after it, so there was something behind it."""
    trail = measured(*FUSE, do.Mains(True), name=STORM).trail
    assert trail.mended is None
    assert [(stage.suspects.size, stage.mended) for stage in trail.ledger.stages] == [
        (1, False), (1, True), (2, False),
    ]  # fmt: skip
    seen = trail.ledger.taken[-1]
    assert (seen.passing, seen.after) == (True, ())
    assert seen.wider is trail.ledger.suspects
    fuse = trail.ledger.inquiry.truth[0]
    assert all(fuse in its for its in trail.ledger.sets)
    assert trail.ledger.inquiry.truth in trail.ledger.sets
    assert all(len(trail.ledger.suspects.table.faults_of(one)) == 1 for one in trail.ledger.left)


def test_a_good_hand_says_to_prove_it_until_something_more_shows() -> None:
    job = the_job(STORM)
    mended = advice(job, job.setup(), run(*FUSE, name=STORM).records)
    assert mended == FOUND
    more = advice(job, job.setup(), run(*FUSE, do.Mains(True), name=STORM).records)
    assert more.look != FOUND.look
    assert "Each is a set of two faults: nothing less explains all of it." in more.why[0]


def test_the_trail_ends_when_all_is_mended() -> None:
    both = (*FUSE, do.Mains(True), do.Mains(False), do.Renew("beam-gate"))
    found = measured(*both, do.Mains(True), name=STORM)
    assert found.trail.mended == 1000 * len(both)
    assert len(found.trail.repairs) == 2
    assert len(found.unproven) == 1  # the beam was renewed on a guess
    assert found.needless == ()


def test_a_sound_part_renewed_between_is_needless_and_leaves_the_stage_as_it_is() -> None:
    found = measured(*FUSE, do.Mains(True), do.Mains(False), do.Renew("stop-button"), name=STORM)
    assert [repair.needless for repair in found.trail.repairs] == [False, True]
    assert len(found.trail.ledger.stages) == 3
    assert len(found.needless) == 1


def test_part_of_putting_right_whatever_is_left_is_no_guess() -> None:
    """Which core of the beam it is nobody knows yet; the one to the porch is in every set."""
    chain = ("post-left.2", "post-left.3", "stop-porch.1", "stop-porch.2")
    looks: list[do.Action] = [do.Inspect("strip", "board"), *(volts(point) for point in chain)]
    found = measured(*looks, do.Mains(False), do.RemakeWire("stop-porch-out"), name=TRENCH)
    assert len(found.trail.ledger.left) > 1
    assert found.unproven == ()
    guess = measured(do.Mains(False), do.RemakeWire("stop-porch-out"), name=TRENCH)
    assert len(guess.unproven) == 1


@pytest.mark.parametrize("name", [STORM, TRENCH])
def test_par_is_stated_for_each_stage_and_summed(name: str) -> None:
    found = measure(the_job(name), Ending.of(replayed(name)))
    assert found is not None
    story = told(found)
    assert story.par == pytest.approx(math.fsum(part.par for part in story.parts))
    assert story.seconds == pytest.approx(math.fsum(part.seconds for part in story.parts))
    assert all(part.least <= part.par + 1e-9 for part in story.parts)
    own = math.fsum(taken.seconds for taken in found.way)
    assert found.allowed[0] == max(story.par, own, 2 * LEAST_PAR)
    ledger = found.trail.ledger
    for number, stage in enumerate(ledger.stages):
        looks = [one for one in ledger.taken if one.stage == number and one.wider is None]
        weight = stage.suspects.table.weight
        last = looks[-1] if looks else None
        left = stage.suspects.first if last is None else last.after
        table = stage.suspects if last is None else last.suspects
        bits = math.log2(
            math.fsum(map(weight, stage.suspects.first)) / math.fsum(map(table.table.weight, left))
        )
        assert math.fsum(one.bits for one in looks) == pytest.approx(bits)


def test_the_sentences_tell_the_stages() -> None:
    found = finding(*FUSE, do.Mains(True), name=STORM)
    assert asked(found).startswith(f"{found.suspects} single faults fitted the complaint.")
    look = found.looks[-1]
    assert "no single fault fits any more" in told_line(look)
    assert f"{look.after} sets of two faults do" in told_line(look)
    assert ended(found).endswith("left at the end; not all that was wrong was mended.")
    assert against_par(found).endswith("on average, stage by stage:")
    assert part_line(found.parts[1]).startswith("nothing suspected any more")
    assert asked(finding(name=TRENCH)).startswith("No single fault fitted the complaint. What did: ")


def test_a_fault_that_shows_in_no_look_beside_the_other_leaves_the_other_measured() -> None:
    """A tired joint in a core that is parted as well; worn brushes beside it show all the same."""
    site = load_site("garden-arm")
    faults = (typical(FaultKind.PARTED_WIRE, "stop-orange"), typical(FaultKind.WORN_BRUSHES, "motor-a"))
    plain = followed(Setup("two", site, faults=faults), (), ())
    assert plain is not None
    assert hidden(told(plain)) == ""
    weak = (faults[0], typical(FaultKind.TIRED_JOINT, "stop-orange"))
    found = followed(Setup("two", site, faults=weak), (), ())
    assert found is not None
    story = told(found)
    assert (story.hidden, story.unseen) == (1, 0)
    assert hidden(story) == "One of the faults showed in no look as long as another was there."
    assert story.good_hand
