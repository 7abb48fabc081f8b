"""Heads as a job has them at its start, the lamp on a receiver, and the end resistor of an edge."""

from __future__ import annotations

import pytest

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.inputs import edge_ohms
from simgate.board.stimuli import INPUTS, Input
from simgate.files import UserError
from simgate.wiring.heads import HeadSpec

MEWS, DEPOT = load_site("mews-double"), load_site("depot-double")
BOXED = HeadSpec(aim=(11.0, -3.0), fitted=False)


def mews(**given: object) -> Bench:
    """The mews, learned."""
    return Bench(Setup("test", MEWS, learned=True, **given))  # type: ignore[arg-type]  # tests name real fields


def lamps(bench: Bench) -> list[str]:
    """What was seen of the lamps on the receivers, without the run before it."""
    told = [event.text for record in bench.records for event in record.events]
    return [text.rpartition(" the ")[2] for text in told if text.startswith("The lamp on the receiver")]


def test_a_head_that_a_job_has_in_its_box_looks_past_the_other_once_it_is_fitted() -> None:
    bench = mews(heads=(("inner-receiver", BOXED),))
    head = bench.harness.heads["inner-receiver"]
    assert not head.fitted
    bench.act(a.FitHead("inner-receiver", True))
    assert (head.fitted, head.across, head.up, head.switches) == (True, 11.0, -3.0, "----")
    assert head.spec.switches == "12--"  # what is meant stays what the site says


def test_where_no_job_says_otherwise_a_new_head_looks_straight() -> None:
    bench = mews()
    bench.act(a.FitHead("inner-receiver", True))
    head = bench.harness.heads["inner-receiver"]
    assert (head.across, head.up) == (0.0, 0.0)


def test_how_heads_stand_is_part_of_what_a_tape_is_for() -> None:
    plain, boxed = Setup("test", MEWS), Setup("test", MEWS, heads=(("inner-receiver", BOXED),))
    assert plain.fingerprint() != boxed.fingerprint()


def test_the_lamp_on_a_receiver_is_seen_to_go_dark_and_to_light() -> None:
    bench = mews()
    for action in (a.Turn("inner-receiver", 12.0, 0.0), a.Turn("inner-receiver", -12.0, 0.0)):
        bench.act(action)
        bench.run(200)
    assert lamps(bench) == ["line beam inside goes dark", "line beam inside lights"]
    bench.act(a.Block("outer", True))
    bench.run(200)
    assert lamps(bench)[-1] == "line beam outside goes dark"


def test_a_head_is_put_right_by_its_own_hands_and_not_as_a_whole() -> None:
    assert "inner-receiver" not in mews().snapshot().renewable
    with pytest.raises(UserError):
        mews().act(a.Renew("inner-receiver"))


def test_an_end_resistor_across_the_first_edge_halves_what_the_chain_reads() -> None:
    """E5: two times 8.2 kohm side by side are 4.1 kohm."""
    bench = Bench(Setup("test", DEPOT))
    assert bench.snapshot().edge_ends == (("edge-a", False), ("edge-b", False))
    for fitted, ohms in ((True, 4100.0), (False, 8200.0)):
        bench.act(a.EndResistor("edge-a", fitted))
        bench.run(50)
        assert dict(bench.snapshot().edge_ends)["edge-a"] is fitted
        volts = bench.solution.inputs[INPUTS.index(Input.EDGE)]
        assert edge_ohms(volts) == pytest.approx(ohms, rel=0.01)


@pytest.mark.parametrize(
    ("action", "found"),
    [
        (a.EndResistor("edge-a", False), "no resistor across its far screws"),
        (a.EndResistor("edge-end", True), "edge-end"),
    ],
)
def test_a_resistor_that_is_not_there_cannot_be_taken_out(action: a.EndResistor, found: str) -> None:
    with pytest.raises(UserError, match=found):
        Bench(Setup("test", DEPOT)).act(action)
