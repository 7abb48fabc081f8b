"""Vehicle, person and dog on the drive: when they go, what they break, and what a leaf does to them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from simgate.bench import actions as a
from simgate.bench.passer_kinds import kinds
from simgate.bench.record import Happening, PassingView
from simgate.bench.replay import replay
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.bench.tape import TapeWriter, read_tape
from simgate.board.stimuli import Condition
from simgate.files import UserError, shipped
from simgate.plant.spec import DriveSpec, MotorSpec, RackLinkage, SlideSpec
from simgate.practice.conduct import conduct_faults
from simgate.practice.ending import Ending
from tests.bench.made import SINGLE, setup, touch


def happened(bench: Bench) -> list[str]:
    """What became of the passers so far, in order: 'person goes'."""
    return [f"{one.kind} {one.happening.value}" for record in bench.records for one in record.passing]


def only(bench: Bench) -> PassingView:
    """The one who is on the drive."""
    (view,) = bench.snapshot().passing
    return view


def opened(mode: str = "Latch", site: str = "yard-single") -> Bench:
    """A gate that a call has opened."""
    bench = Bench(setup(mode, site=site))
    touch(bench, "call-button")
    bench.run(60_000)
    assert bench.board.condition is Condition.OPEN
    return bench


def until(bench: Bench, what: str, limit: int = 60_000) -> None:
    """Run until that has become of a passer."""
    end = bench.tick + limit
    while what not in happened(bench):
        assert bench.tick < end, f"no '{what}' in {happened(bench)}"
        bench.run_to_next(1000)


# On the way ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", kinds())
@pytest.mark.parametrize("way", ["in", "out"])
def test_anybody_passes_an_open_gate_and_is_gone(kind: str, way: str) -> None:
    bench = opened()
    bench.act(a.Send(kind, way))
    bench.run(30_000)
    assert happened(bench) == [f"{kind} came", f"{kind} goes", f"{kind} through"]
    assert bench.snapshot().passing == ()


def test_a_passer_walks_at_its_own_pace() -> None:
    bench = opened()
    bench.act(a.Send("person", "in"))
    bench.run(10)
    start = only(bench).position
    bench.run(2000)
    assert start - only(bench).position == pytest.approx(2 * 1.2)


@pytest.mark.parametrize(("kind", "way"), [("vehicle", "in"), ("person", "out")])
def test_before_a_shut_gate_one_waits_clear_of_swing_and_beams(kind: str, way: str) -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    bench.act(a.Send(kind, way))
    bench.run(20_000)
    view = only(bench)
    assert view.waiting
    assert not view.in_swing
    assert not any(beam.crossed for beam in bench.snapshot().beams)
    assert happened(bench) == [f"{kind} came", f"{kind} waits"]


def test_a_part_opening_is_enough_for_a_person_and_too_narrow_for_a_vehicle() -> None:
    bench = Bench(setup("Latch", part_width=70))
    touch(bench, "part-button")
    bench.run(40_000)
    assert bench.board.condition is Condition.PART_OPEN
    bench.act(a.Send("vehicle", "out"))
    bench.act(a.Send("person", "in"))
    bench.run(20_000)
    assert "person through" in happened(bench)
    assert "vehicle goes" not in happened(bench)


def test_two_from_both_sides_go_one_after_the_other() -> None:
    bench = opened()
    bench.act(a.Send("vehicle", "in"))
    bench.act(a.Send("vehicle", "out"))
    inside = []
    for _ in range(300):
        bench.run(100)
        inside.append(sum(view.in_swing for view in bench.snapshot().passing))
    assert max(inside) == 1
    assert happened(bench).count("vehicle through") == 2


def test_those_who_come_the_same_way_keep_their_distance() -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    for _ in range(4):
        bench.act(a.Send("vehicle", "in"))
    bench.run(60_000)
    positions = [view.position for view in bench.snapshot().passing]
    length = kinds()["vehicle"].length / 1000
    gaps = [behind - before - length for before, behind in pairwise(positions)]
    assert all(gap >= 0.49 for gap in gaps)
    with pytest.raises(UserError, match="a place free"):
        bench.act(a.Send("dog", "in"))


# Beams and loops ----------------------------------------------------------------------------------


def test_a_person_in_the_beam_reopens_a_closing_gate_and_a_small_dog_passes_under_it() -> None:
    for kind, breaks in (("person", True), ("dog", False)):
        bench = opened()
        bench.act(a.Send(kind, "in"))
        crossed = False
        for _ in range(60):
            bench.run(100)
            (beam,) = bench.snapshot().beams
            crossed = crossed or beam.crossed
            assert beam.made is not beam.crossed or not beam.powered
        assert crossed is breaks


def test_the_way_is_cleared_at_once_and_the_beam_with_it() -> None:
    bench = opened()
    bench.act(a.Send("vehicle", "in"))
    while not bench.snapshot().beams[0].crossed:
        bench.run(100)
    bench.run(100)
    assert not bench.snapshot().beams[0].made
    bench.act(a.ClearWay())
    bench.run(200)
    assert bench.snapshot().passing == ()
    assert bench.snapshot().beams[0].made


def test_only_a_vehicle_is_felt_by_a_loop_and_only_over_it() -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    bench.act(a.Send("person", "in"))
    bench.run(20_000)
    assert not bench.passers.over(only(bench).position, 2.0)
    bench.act(a.ClearWay())
    bench.act(a.Send("vehicle", "in"))
    bench.run(20_000)
    front = only(bench).position
    assert bench.passers.over(front + 2.0, 1.0)
    assert not bench.passers.over(front - 1.0, 1.0)
    assert not bench.passers.over(front + 6.0, 1.0)


LOOP = """
[[loop]]
name = "loop-in"
label = "loop inside, for leaving"
contact = "normally open"
offset_m = -4.5
"""
LOOP_WIRES = (("COM", "1"), ("CALL", "2"), ("AUX+", "+"), ("AUX-", "-"))


def test_a_vehicle_from_inside_opens_the_gate_over_a_loop_and_a_person_does_not(tmp_path: Path) -> None:
    wires = [
        f'[[wire]]\nname = "loop-{end}"\na = "board.{terminal}"\nb = "loop-in.{sign}"\n'
        'length_m = 5\nsize_mm2 = 0.5\ncolour = "grey"\n'
        for end, (terminal, sign) in enumerate(LOOP_WIRES)
    ]
    path = tmp_path / "looped.toml"
    path.write_text(SINGLE.text + LOOP + "\n".join(wires))
    start = Setup("test", load_site(str(path)), settings=(("mode", "Latch"), ("leaves", 1)), learned=True)
    for kind, opens in (("person", False), ("vehicle", True)):
        bench = Bench(start)
        bench.act(a.Send(kind, "out"))
        bench.run(60_000)
        assert (f"{kind} through" in happened(bench)) is opens
        assert (bench.board.condition is Condition.SHUT) is not opens
        assert not bench.contacts.present["loop-in"]


# In the way of a leaf -----------------------------------------------------------------------------


def struck(kind: str = "person", way: str = "out") -> Bench:
    """A gate that closes on somebody in its swing, because its beam was linked out."""
    bench = opened()
    bench.act(a.AddLink("board.COM", "board.GUARD-C"))
    bench.act(a.Send(kind, way))
    until(bench, f"{kind} goes")
    bench.run(700)
    touch(bench, "call-button")
    return bench


def test_a_leaf_that_closes_on_somebody_really_presses_and_the_board_feels_it_by_itself() -> None:
    bench = struck("vehicle")
    until(bench, "vehicle struck")
    assert bench.plant.leaves[0].body is not None
    while bench.board.condition is Condition.CLOSING:
        bench.run(10)
    assert only(bench).peak_force > 100.0
    assert only(bench).peak_force == bench.plant.leaves[0].peak_body_force
    assert bench.board.condition is not Condition.SHUT


def test_whoever_is_pressed_stands_until_the_leaf_has_gone_and_then_goes_on() -> None:
    bench = struck("vehicle")
    until(bench, "vehicle struck")
    at = only(bench).position
    bench.run(50)
    assert only(bench).position == at
    bench.run(60_000)
    if bench.snapshot().passing:  # the gate stopped in front of it: it waits in the swing for a call
        touch(bench, "call-button")
        bench.run(60_000)
    assert happened(bench)[-1] == "vehicle through"


def test_a_person_in_the_way_of_a_closing_leaf_is_told_as_a_hazard_and_marked() -> None:
    bench = struck()
    until(bench, "person in the way")
    assert only(bench).in_way_of == ("A",)
    assert any("HAZARD" in event.text for record in bench.records for event in record.events)


def test_a_hazard_and_a_blow_are_broken_conduct_and_an_empty_vehicle_in_the_way_is_none() -> None:
    bench = struck()
    until(bench, "person in the way")
    ending = Ending(bench.snapshot(), bench.records, (), bench.setup)
    assert [fault.name for fault in conduct_faults(ending, ("people-in-swing",))] == ["people-in-swing"]
    bench = struck("vehicle")
    seen = Ending(bench.snapshot(), bench.records, (), bench.setup)
    assert not conduct_faults(seen, ("people-in-swing",))
    until(bench, "vehicle struck")
    (fault,) = conduct_faults(Ending(bench.snapshot(), bench.records, (), bench.setup), ("people-in-swing",))
    assert fault.why == "leaf A struck the vehicle"


def test_nobody_walks_into_a_leaf_that_stands_in_the_way() -> None:
    """A dog goes in while the leaf closes; the leaf is stopped before it, and it stands."""
    bench = opened(site="farm-double")
    touch(bench, "call-button")
    bench.run(9_000)
    bench.act(a.Send("dog", "in"))
    until(bench, "dog goes")
    for _ in range(400):
        bench.run(20)
        if not bench.snapshot().passing:
            break
    assert all(leaf.stop_force < 1e6 for leaf in bench.plant.leaves)
    assert "dog struck" in happened(bench) or "dog through" in happened(bench) or only(bench).waiting


def test_a_leaf_that_slides_presses_on_who_stands_across_the_gate_line() -> None:
    slide = SlideSpec(travel=3.0, width=3.2, height=1.6, mass=180.0)
    drive = DriveSpec(MotorSpec(1.2, 0.06, 2.0e-5, 30.0, holding=5.0), RackLinkage(pinion_radius=0.04))
    plant = replace(SINGLE.plant, leaves=((slide, drive),))
    bench = Bench(Setup("test", replace(SINGLE, plant=plant), settings=(("leaves", 1),), places=(3.0,)))
    bench.act(a.Send("vehicle", "in"))
    until(bench, "vehicle goes")
    while not only(bench).in_swing:
        bench.run(10)
    (leaf,) = bench.plant.leaves
    assert leaf.body is not None
    assert leaf.body[1] == pytest.approx(3.0 - only(bench).lane[0])  # type: ignore[index]  # it goes through
    leaf.released = True
    leaf.push = -400.0
    until(bench, "vehicle struck", 20_000)
    assert only(bench).force > 0.0


# Hands and tape -----------------------------------------------------------------------------------


def test_a_test_body_and_somebody_on_the_drive_exclude_each_other() -> None:
    bench = opened(site="farm-double")
    bench.act(a.Send("person", "in"))
    with pytest.raises(UserError, match="let them pass first"):
        bench.act(a.PlaceBody("A", 1.5, 40))
    bench.act(a.ClearWay())
    bench.act(a.PlaceBody("A", 1.5, 40))
    with pytest.raises(UserError, match="take the body away first"):
        bench.act(a.Send("person", "in"))


@pytest.mark.parametrize(("kind", "way", "said"), [("cat", "in", "kind"), ("dog", "up", "way")])
def test_what_cannot_be_sent_is_refused_in_words(kind: str, way: str, said: str) -> None:
    with pytest.raises(UserError, match=said):
        Bench(setup(site="yard-single")).act(a.Send(kind, way))


def test_taking_a_test_body_away_leaves_who_is_pressed_where_they_are() -> None:
    bench = struck("vehicle")
    until(bench, "vehicle struck")
    bench.act(a.RemoveBody("A"))
    assert bench.plant.leaves[0].body is not None


def test_a_run_with_passers_replays_bit_for_bit(tmp_path: Path) -> None:
    start = setup("Self-close", site="yard-single", pause=3)
    bench = Bench(start, TapeWriter(tmp_path / "run.tape", start))
    touch(bench, "call-button")
    bench.act(a.Send("vehicle", "in"))
    bench.run(5_000)
    bench.act(a.Send("dog", "out"))
    bench.run(30_000)
    bench.act(a.ClearWay())
    bench.act(a.HandOver())
    tape = read_tape(tmp_path / "run.tape")
    assert replay(tape, start).digest() == bench.digest() == tape.digest


def test_one_who_waits_lets_time_be_skipped_and_one_who_moves_does_not() -> None:
    bench = Bench(setup("Latch", site="yard-single"))
    bench.act(a.Send("person", "in"))
    bench.run(1000)
    moving = bench.passers.moving
    bench.run(20_000)
    assert (moving, bench.passers.moving, bench._busy) == (True, False, False)


def test_everything_that_can_happen_is_told_at_least_once_in_these_runs() -> None:
    bench = struck("vehicle")
    bench.run(100_000)
    touch(bench, "call-button")
    bench.run(60_000)
    person = struck()
    person.run(10_000)
    told = {word.split(" ", 1)[1] for word in happened(bench) + happened(person)}
    assert told | {"waits"} == {happening.value for happening in Happening}


@pytest.mark.parametrize("name", shipped("sites"))
@pytest.mark.parametrize("way", ["in", "out"])
def test_whoever_fits_passes_any_shipped_gate_that_stands_open_and_who_does_not_is_refused(
    name: str, way: str
) -> None:
    site = load_site(name)
    leaves = [leaf for leaf, _ in site.plant.leaves]
    start = Setup(
        "test", site, settings=(("leaves", len(leaves)),), places=tuple(one.reach for one in leaves)
    )
    for kind in kinds().values():
        bench = Bench(start)
        if kind.needs > bench.passers.opening:
            with pytest.raises(UserError, match="what fits"):
                bench.act(a.Send(kind.name, way))
        else:
            bench.act(a.Send(kind.name, way))
            bench.run(30_000)
            assert happened(bench)[-1] == f"{kind.name} through"
