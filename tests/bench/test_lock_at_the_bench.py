"""The lock at a whole gate: fed by LOCK through its wires, holding leaf A behind its bolt."""

from __future__ import annotations

from pathlib import Path

import pytest

from simgate.bench import actions as a
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition
from simgate.files import UserError, find

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


def test_a_latch_without_a_lock_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UserError) as refused:
        load_site(site(tmp_path, DEPOT.replace("lock = true", 'latch = "A"', 1)))
    assert any("lock = true" in problem.allowed for problem in refused.value.problems)
