"""Whoever works the bench and has stepped in is met by a leaf like any other person."""

from __future__ import annotations

import pytest

from simgate.bench import actions as a
from simgate.bench.record import PassingView
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.bench.swing import TOUCH
from simgate.board.stimuli import Condition
from simgate.files import UserError
from simgate.practice.conduct import conduct_faults
from simgate.practice.ending import Ending
from tests.bench.made import setup, touch


def told(bench: Bench) -> list[str]:
    """What could be seen, in order."""
    return [event.text for record in bench.records for event in record.events]


def you(bench: Bench) -> PassingView:
    """You, as you stand in the swing."""
    view = bench.snapshot().you
    assert view is not None
    return view


def at(bench: Bench) -> Condition:
    """The condition now; a call, so that a checker does not take it for unchanging."""
    return bench.board.condition


def shut_on_you(bench: Bench) -> None:
    """Open the gate, step into its swing, and tell it to shut."""
    touch(bench, "call-button")
    bench.run(60_000)
    assert at(bench) is Condition.OPEN
    bench.act(a.Step(True))
    touch(bench, "call-button")


def closing_on_you(mode: str = "Latch", site: str = "farm-double") -> Bench:
    """A gate that is open, with you in the swing, and told to shut; run until the board has noticed."""
    bench = Bench(setup(mode, site=site))
    shut_on_you(bench)
    for _ in range(4_000):
        bench.run(10)
        if at(bench) is not Condition.CLOSING:
            return bench
    raise AssertionError("the board has noticed nothing")


@pytest.mark.parametrize("site", ["farm-double", "yard-single"])
def test_a_leaf_that_shuts_on_you_presses_on_you_and_the_board_notices_an_obstacle(site: str) -> None:
    bench = closing_on_you(site=site)
    words = told(bench)
    assert any(text.startswith("HAZARD: you are in the way of leaf") for text in words)
    assert any(text.startswith("Leaf ") and text.endswith(" strikes you") for text in words)
    assert you(bench).peak_force > TOUCH
    assert any(acted.stimulus.value == "obstacle" for record in bench.records for acted in record.acted)


def test_you_are_met_as_a_person_is_who_stands_at_the_same_place() -> None:
    """The same leaf, the same place: the same force as on somebody of that kind who was sent there."""
    bench = closing_on_you(site="yard-single")
    met = bench.plant.leaves[0].body
    other = Bench(setup("Latch", site="yard-single"))
    touch(other, "call-button")
    other.run(60_000)
    assert met is not None
    other.plant.leaves[0].place_body(*met)
    touch(other, "call-button")
    other.run(bench.tick - other.tick)
    assert other.plant.leaves[0].peak_body_force == pytest.approx(bench.plant.leaves[0].peak_body_force)


def test_a_leaf_that_opens_on_you_stops_at_you() -> None:
    bench = Bench(setup("Latch"))
    bench.act(a.Step(True))
    touch(bench, "call-button")
    bench.run(40_000)
    assert any(text.endswith(" strikes you") for text in told(bench))
    assert any(acted.stimulus.value == "obstacle" for record in bench.records for acted in record.acted)


def test_out_of_the_swing_you_are_in_nobodys_way() -> None:
    bench = Bench(setup("Latch"))
    bench.act(a.Step(True))
    bench.act(a.Step(False))
    touch(bench, "call-button")
    bench.run(60_000)
    assert at(bench) is Condition.OPEN
    assert bench.snapshot().you is None
    assert not any(" you" in text for text in told(bench))


def test_being_struck_is_a_fault_of_conduct_even_with_the_mains_off() -> None:
    """A released leaf that wind or a hand swings shut hits whoever stands there."""
    setting = setup("Latch", site="yard-single")
    bench = Bench(setting)
    touch(bench, "call-button")
    bench.run(60_000)
    for action in (a.Mains(False), a.Release("A", True), a.Step(True), a.Push("A", -150.0)):
        bench.act(action)
    bench.run(20_000)
    assert you(bench).peak_force > TOUCH
    ending = Ending(bench.snapshot(), bench.records, (), setting)
    (fault,) = conduct_faults(ending, ("hands-in-swing", "people-in-swing"))
    assert (fault.name, fault.why) == ("hands-in-swing", "leaf A struck a person in the swing")


def test_nobody_walks_or_drives_into_you_and_you_step_in_front_of_nobody() -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    touch(bench, "call-button")
    bench.run(60_000)
    bench.act(a.Step(True))
    bench.act(a.Send("vehicle", "in"))
    bench.run(20_000)
    (vehicle,) = bench.snapshot().passing
    assert vehicle.waiting
    assert not vehicle.in_swing
    bench.act(a.Step(False))
    while not bench.snapshot().passing[0].in_swing:
        bench.run(100)
    with pytest.raises(UserError, match="somebody who goes through"):
        bench.act(a.Step(True))


def test_a_test_body_nearer_to_the_leaf_is_met_before_you_and_you_after_it_is_gone() -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    touch(bench, "call-button")
    bench.run(60_000)
    bench.act(a.Step(True))
    before = bench.plant.leaves[0].body
    bench.act(a.PlaceBody("A", 1.5, 80.0))
    assert bench.plant.leaves[0].body != before
    bench.act(a.RemoveBody("A"))
    assert bench.plant.leaves[0].body == before
    bench.act(a.Step(False))
    assert bench.plant.leaves[0].body is None


def test_where_a_leaf_stands_across_the_middle_you_stand_beside_it() -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    touch(bench, "call-button")
    bench.run(9_000)
    bench.act(a.Mains(False))
    bench.run(3_000)
    leaf = bench.plant.leaves[0]
    assert 0.2 < leaf.place < 1.4
    bench.act(a.Step(True))
    bench.run(1_000)
    assert leaf.body_force == 0.0
    assert you(bench).force == 0.0


def test_a_run_with_you_in_the_swing_ends_the_same_again() -> None:
    assert closing_on_you().digest() == closing_on_you().digest()


@pytest.mark.parametrize("use", ["closing", "both"])
def test_whoever_presses_the_edge_as_well_is_let_go(use: str) -> None:
    """Current and edge tell of the same meeting, the edge a filter later: it must not hold the leaf there.

    EN 12453 Annex A (as paraphrased by the DHF): no more than 25 N are left 5 s after the leaf was met.
    """
    settings = (("mode", "Latch"), ("leaves", 2), ("edge-use", use))
    bench = Bench(Setup("test", load_site("depot-double"), settings, learned=True))
    shut_on_you(bench)
    for _ in range(4_000):
        bench.run(10)
        if you(bench).peak_force > TOUCH:
            break
    bench.run(5_000)
    assert any("EDGE pressed" in text for text in told(bench))
    assert you(bench).peak_force > 25.0 > you(bench).force
    assert at(bench) is Condition.OPENING


@pytest.mark.parametrize("site", ["works-slide", "garden-arm"])
def test_a_leaf_that_goes_away_and_springs_on_its_stop_is_no_hazard(site: str) -> None:
    """It settles in its gear after the blow, and springs back from its open stop: it comes at nobody."""
    bench = Bench(Setup("test", load_site(site), (("mode", "Latch"), ("leaves", 1)), learned=True))
    touch(bench, "call-button")
    bench.run(60_000)
    bench.act(a.Step(True))
    touch(bench, "call-button")
    for _ in range(4_000):
        bench.run(10)
        if you(bench).peak_force > TOUCH:
            break
    bench.run(60_000)
    assert at(bench) is Condition.OPEN
    assert sum(text.startswith("HAZARD: you are in the way of leaf A") for text in told(bench)) == 1
