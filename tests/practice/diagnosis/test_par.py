"""Par on the reference site: proven where it says so, and the next look with its reason."""

from __future__ import annotations

import pytest

from simgate.practice.diagnosis.observation import How
from simgate.practice.diagnosis.par import Par, fault_set, follow, look_number, next_look, par
from simgate.practice.diagnosis.table import Table
from simgate.wiring.faults import Fault, FaultKind

STOP_OPEN = Fault(FaultKind.PARTED_WIRE, "stop-barn-in")


@pytest.fixture(scope="module")
def stop(farm: Table) -> tuple[int, ...]:
    return fault_set(farm, farm.suspect(STOP_OPEN))


@pytest.fixture(scope="module")
def best(farm: Table, stop: tuple[int, ...]) -> Par:
    return par(farm, stop)


def test_the_fault_set_shows_alike_and_holds_the_whole_chain(farm: Table, stop: tuple[int, ...]) -> None:
    places = {farm.faults[n - 1].place for n in stop if farm.faults[n - 1].kind is FaultKind.PARTED_WIRE}
    assert places >= {
        "stop-feed",
        "stop-post-in",
        "stop-post-out",
        "stop-barn-in",
        "stop-barn-out",
        "stop-return",
    }
    assert not any("motor" in farm.faults[n - 1].place for n in stop)


def test_par_is_stated_with_a_proven_bound(best: Par) -> None:
    assert best.mending < best.least <= best.seconds
    assert best.proven
    assert best.within == pytest.approx(0.0, abs=1e-9)


def test_a_larger_set_has_a_bound_below_its_par(farm: Table) -> None:
    everything = tuple(range(1, len(farm.faults) + 1))
    found = par(farm, everything)
    assert 0.0 < found.mending < found.least < found.seconds
    assert found.within < 0.6  # 143 % by entropy and Huffman's code alone


def test_the_next_look_is_told_with_its_reason(farm: Table, stop: tuple[int, ...], best: Par) -> None:
    look = next_look(farm, stop)
    assert look is not None
    assert look.bits > 0.0
    assert look.expected < look.suspects == len(stop)
    assert look.reason[0].startswith("It halves what is left: 23.8 V would leave 6")
    assert "to fetch the meter" in look.reason[1]
    assert next_look(farm, stop[:1]) is None


def test_no_suspect_is_named_by_the_reason(farm: Table, stop: tuple[int, ...]) -> None:
    look = next_look(farm, stop)
    assert look is not None
    for fault in farm.faults:
        assert fault.kind.value not in " ".join(look.reason)
        assert fault.kind.value.replace("-", " ") not in " ".join(look.reason)


def test_following_good_looks_leaves_what_one_mending_puts_right(farm: Table, stop: tuple[int, ...]) -> None:
    actual = farm.suspect(STOP_OPEN)
    looks: list[int] = []
    left = stop
    while (look := next_look(farm, left, looks)) is not None:
        looks.append(look.look)
        left = tuple(n for n in left if farm.outcomes[look.look][n] == farm.outcomes[look.look][actual])
    steps = follow(farm, actual, looks, stop)
    assert [step.look for step in steps] == looks
    assert all(step.after < step.before and step.bits > 0.0 for step in steps)
    assert actual in left
    assert len(looks) <= 6


def test_a_look_that_tells_nothing_is_worth_no_bits(farm: Table, stop: tuple[int, ...]) -> None:
    idle = look_number(farm, How.VOLTS, "lamp.1", "board.0V")
    assert idle is not None
    assert idle == look_number(farm, How.VOLTS, "board.0V", "lamp.1")
    step, again = follow(farm, farm.suspect(STOP_OPEN), [idle, idle], stop)
    assert step.bits == again.bits == 0.0
    assert step.before == step.after
    assert step.best is not None


def test_no_suspects_are_an_error(farm: Table) -> None:
    with pytest.raises(ValueError, match="suspects"):
        par(farm, ())
