"""The lock at a whole gate: fed by LOCK through its wires, holding leaf A behind its bolt."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.senses import DRAWS, FALLS, HUMS
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition
from simgate.files import UserError, find
from simgate.plant.wind import torque

DEPOT = find("sites", "depot-double").read_text(encoding="utf-8")


def site(tmp_path: Path, text: str) -> str:
    path = tmp_path / "latched.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def latched(tmp_path: Path, use: str) -> Bench:
    """The depot's gate, its lock holding leaf A, learned with the lock in use, then set to `use`."""
    where = load_site(site(tmp_path, DEPOT.replace("lock = true", 'lock = true\nlatch = "A"', 1)))
    settings = (("mode", "Latch"), ("lock-use", "pulse"))
    bench = Bench(Setup("test", where, settings=settings, learned=True))
    bench.board.settings.change("lock-use", use)
    bench.run(500)
    return bench


def now(bench: Bench) -> Condition:
    """The condition: a call, which a type checker does not take to stay as asked."""
    return bench.board.condition


def call(bench: Bench, ms: int) -> None:
    button = next(d.name for d in bench.setup.site.wiring.devices if "call" in d.name or "key" in d.name)
    bench.act(a.Operate(button, True))
    bench.run(300)
    bench.act(a.Operate(button, False))
    bench.run(ms)


@pytest.mark.parametrize("use", ["pulse", "stroke and pulse"])
def test_a_lock_that_is_fed_lets_the_gate_open(tmp_path: Path, use: str) -> None:
    bench = latched(tmp_path, use)
    lock = bench.plant.lock
    assert lock is not None
    assert lock.holds
    call(bench, 60_000)
    assert now(bench) is Condition.OPEN
    assert bench.plant.leaves[0].angle > 1.0
    call(bench, 60_000)
    assert now(bench) is Condition.SHUT
    assert lock.holds


def test_without_it_in_the_book_leaf_a_stalls_against_the_bolt_and_the_board_says_so(tmp_path: Path) -> None:
    bench = latched(tmp_path, "not fitted")
    call(bench, 20_000)
    assert now(bench) is not Condition.OPEN
    assert bench.plant.leaves[0].angle < 0.05
    said = [n.detail for r in bench.records for n in r.notes if n.kind is NoteKind.DISPLAY]
    assert any("Leaf A met" in words for words in said)


def test_a_parted_wire_of_the_lock_is_the_same_to_the_leaf(tmp_path: Path) -> None:
    bench = latched(tmp_path, "pulse")
    bench.harness.part_wire("lock-red")
    bench.run(100)
    call(bench, 20_000)
    assert bench.plant.leaves[0].angle < 0.05


def mill(wind: float, use: str) -> Bench:
    """The mill's boarded leaf, learned on a calm day, on a day with that wind on the bolt."""
    settings = (("leaves", 1), ("mode", "Latch"), ("sensitivity", "low"), ("lock-use", use))
    bench = Bench(Setup("test", load_site("mill-single"), settings=settings, learned=True, wind=wind))
    bench.run(1000)
    return bench


def test_after_a_power_cut_a_leaf_held_by_its_bolt_is_not_said_to_stand_open() -> None:
    """The first thing that a lost leaf meets is taken for its open stop: the board says so, and no more."""
    bench = mill(0.0, "pulse")
    bench.harness.part_wire("lock-red")
    bench.act(a.Mains(False))
    bench.run(2_000)
    bench.act(a.Mains(True))
    bench.run(1_000)
    call(bench, 40_000)
    assert bench.plant.leaves[0].angle < 0.05
    assert now(bench) is Condition.OPEN
    assert bench.board.display == ("Taken to be open", "Place not known: moves slowly")


def heard(bench: Bench) -> list[str]:
    """What was heard of the lock."""
    words = (HUMS, DRAWS, FALLS)
    return [event.text for record in bench.records for event in record.events if event.text in words]


def test_wind_that_leans_on_the_bolt_holds_it_against_a_fed_coil() -> None:
    """Statics: the coil draws up to (40 s^2 - 10) / 0.6 N, s its share of 24 V; wind presses with M / w."""
    bench = mill(6.0, "pulse")
    lock, (leaf,) = bench.plant.lock, bench.plant.leaves
    assert lock is not None
    moment = torque(6.0, bench.setup.site.plant.force_coefficient, 0.9 * 3.0 * 1.8, 3.0)
    motor = bench.setup.site.plant.leaves[0][1].motor
    held = 20.0 + motor.constant * motor.no_load * motor.reduction / motor.back_efficiency  # hinge and drive
    assert abs(3.0 * leaf.bolt_force - moment) <= held  # it stays pressed as hard as it swung into it
    assert leaf.bolt_force > (40.0 - 10.0) / 0.6
    call(bench, 600)
    assert heard(bench) == [HUMS]
    bench.run(20_000)  # it gives way, and the load is off the bolt for what is left of the pulse
    assert heard(bench) == [HUMS, DRAWS, FALLS]
    assert leaf.angle < 0.01


def test_a_stroke_takes_the_load_off_the_bolt_and_the_count_stays_true() -> None:
    bench = mill(6.0, "stroke and pulse")
    for _ in range(4):  # a count that lost a little at each stroke would miss the open stop by the second
        call(bench, 40_000)
        assert now(bench) is Condition.OPEN
        call(bench, 40_000)
        assert now(bench) is Condition.SHUT
    assert heard(bench) == [HUMS, DRAWS, FALLS] * 4


def test_the_wind_of_the_day_is_not_the_wind_in_which_it_learned() -> None:
    calm, windy = mill(0.0, "pulse"), mill(6.0, "pulse")
    assert calm.board.learned_data() == windy.board.learned_data()
    assert (calm.plant.wind, windy.plant.wind) == (0.0, 6.0)
    assert calm.setup.fingerprint() != windy.setup.fingerprint()


def test_a_latch_without_a_lock_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UserError) as refused:
        load_site(site(tmp_path, DEPOT.replace("lock = true", 'latch = "A"', 1)))
    assert any("lock = true" in problem.allowed for problem in refused.value.problems)


def test_a_bolt_that_draws_draws_at_its_own_time_however_time_is_run() -> None:
    stepped, run = mill(0.0, "pulse"), mill(0.0, "pulse")
    for bench in (stepped, run):
        bench.act(a.Operate("call-button", True))
    for _ in range(100):
        stepped.run(10)
    run.run(1_000)
    assert DRAWS in heard(run)
    assert stepped.records == run.records
