"""Sets of faults that fit what was seen: all of them on a small set, whatever order they are tried in."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench import actions as do
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.practice.diagnosis.costs import costs, typical
from simgate.practice.diagnosis.evidence import Seen
from simgate.practice.diagnosis.inquiry import HELD, TRIED, Inquiry
from simgate.practice.diagnosis.ledger import Ledger
from simgate.practice.diagnosis.likely import Account, compared, likely
from simgate.practice.diagnosis.stand import Stand
from simgate.practice.diagnosis.table import Faults, Table, mends, touches, with_pairs
from simgate.practice.diagnosis.way import good_way
from simgate.practice.diagnosis.worlds import World, left_of
from simgate.wiring.faults import Fault, FaultKind

K = FaultKind
SITE = load_site("garden-arm")
SINGLES = tuple(
    typical(kind, place)
    for kind, place in (
        (K.PARTED_WIRE, "stop-com-white"), (K.PARTED_WIRE, "stop-orange"), (K.BLOWN_FUSE, "aux"),
        (K.DEAD_RECEIVER, "beam-gate"), (K.PARTED_WIRE, "beam-tx-red"), (K.BURNT_CONTACT, "stop-button"),
        (K.TIRED_JOINT, "beam-rx-red"), (K.PARTED_WIRE, "encoder-a-red"), (K.STIFF_HINGE, "leaf-A"),
    )
)  # fmt: skip


@cache
def whole() -> Table:
    """Every one of them and every two, tried one by one."""
    return with_pairs(Setup("garden", SITE), SINGLES)


@cache
def inquiry(*truth: int) -> Inquiry:
    """Into a gate with these of SINGLES."""
    return Inquiry(Setup("garden", SITE, faults=tuple(SINGLES[n] for n in truth)), (), SINGLES)


PAIRS = [
    pair
    for pair in combinations(range(len(SINGLES)), 2)
    if (SINGLES[pair[0]], SINGLES[pair[1]]) in whole().pairs
]


def fitting(size: int, truth: Faults, looks: Sequence[int]) -> set[frozenset[Fault]]:
    """The sets of so many faults that show at all of these looks what the truth does, by the whole table."""
    table = whole()
    number = next(n for n in table.suspects if set(table.faults_of(n)) == set(truth))
    return {
        frozenset(table.faults_of(one))
        for one in table.suspects
        if len(table.faults_of(one)) == size
        and all(
            touches(
                table.readings[look][one],
                table.readings[look][number],
                costs().tolerance_of(table.looks[look].how.value),
            )
            for look in looks
        )
    }


LOOKS = st.lists(st.integers(0, 10_000), max_size=5)


@settings(max_examples=25, deadline=None)
@given(pair=st.sampled_from(PAIRS), numbers=LOOKS)
def test_the_suspects_are_the_smallest_sets_that_fit_everything_seen(
    pair: tuple[int, int], numbers: list[int]
) -> None:
    """Whatever is looked at: just the sets that trying every one and every two brings out; bits add up."""
    about = inquiry(*pair)
    ledger, taken = Ledger(about), list(about.complaint.looks)
    for number in numbers:
        look = number % len(ledger.looks)
        ledger.take("look", (look,))
        taken.append(look)
        size = 1 if fitting(1, about.truth, taken) else 2
        assert ledger.suspects.size == size
        assert {frozenset(its) for its in ledger.sets} == fitting(size, about.truth, taken)
        assert size == 1 or set(about.truth) in [set(its) for its in ledger.sets]
    for number, stage in enumerate(ledger.stages):
        told = [one for one in ledger.taken if one.stage == number and one.wider is None]
        weight = stage.suspects.table.weight
        last = told[-1].after if told else stage.suspects.first
        first = math.fsum(map(weight, stage.suspects.first))
        assert math.fsum(one.bits for one in told) == pytest.approx(
            math.log2(first / math.fsum(map(weight, last)))
        )


@settings(max_examples=15, deadline=None)
@given(pair=st.sampled_from(PAIRS), order=st.booleans(), numbers=LOOKS)
def test_when_all_is_mended_the_gate_reads_sound(
    pair: tuple[int, int], order: bool, numbers: list[int]
) -> None:
    """One after the other, with looks between: what is left of every set is what its mending leaves."""
    about = inquiry(*pair)
    ledger, done = Ledger(about), []
    for fault in about.truth if order else reversed(about.truth):
        for number in numbers:
            ledger.take("look", (number % len(ledger.looks),))
        done += sorted(mends((fault,)))
        ledger.work(tuple(done), known=True)
        table = ledger.suspects.table
        assert all(not mends(table.faults_of(one)) & set(done) for one in ledger.left)
    assert ledger.suspects.seen == about.row(())
    assert ledger.stages[-1].mended


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: "+".join(SINGLES[n].place for n in pair))
def test_a_good_hand_finds_both(pair: tuple[int, int]) -> None:
    """Every look of its way is counted, none twice over, and after the last one something is sure."""
    about = inquiry(*pair)
    way = good_way(about)
    assert way
    last = way[-1]
    suspects, left = (last.wider, last.wider.first) if last.wider else (last.suspects, last.after)
    assert suspects.solved(left)
    assert all(one.stage <= other.stage for one, other in pairwise(way))
    assert all(one.bits > 0.0 for one in way)


def test_the_truth_is_held_wherever_it_would_come_and_a_cap_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    about = Inquiry(Setup("garden", SITE, faults=(SINGLES[5], SINGLES[6])), (), SINGLES)
    monkeypatch.setattr("simgate.practice.diagnosis.inquiry.TRIED", 1)
    found = about.wider((), 1, (about.complaint,), ())
    assert found.capped
    assert about.truth in found.sets
    assert len(found.sets) <= 2 <= HELD < TRIED


def test_three_at_once_are_found_as_well() -> None:
    """One by one: none, and no two, shows all three inputs so."""
    truth = (SINGLES[0], SINGLES[3], typical(K.MISSING_LINK, "board.COM|board.GUARD-O"))
    every = (*SINGLES, truth[2])
    about = Inquiry(Setup("garden", SITE, faults=truth), (), every)
    first = about.first()
    assert first.size == 3
    assert truth in first.sets
    for its in first.sets:
        assert truth[2] in its
    assert good_way(about)[-1].after


def test_what_a_base_and_one_more_accounts_for_comes_first() -> None:
    """In the order of what is left unaccounted for, then of likelihood; no set twice."""
    one, other, third, fourth = SINGLES[:4]
    singles = [
        Account((one,), 0b01, 0), Account((other,), 0b10, 0), Account((third,), 0b01, 0b100),
        Account((fourth,), 0, 0),
    ]  # fmt: skip
    found = list(likely(singles, [], 2, 0b11))
    assert found[0] == (one, other)
    assert len(found) == len(set(found)) == 6
    assert {frozenset(its) for its in found} == {frozenset(its) for its in combinations(SINGLES[:4], 2)}
    based = list(likely(singles, [singles[2]], 2, 0b11))
    assert {frozenset(its) for its in based[:3]} == {frozenset((third, its)) for its in (one, other, fourth)}
    assert sorted(map(hash, based)) == sorted(map(hash, found))
    assert len(set(likely(singles, [], 3, 0b11))) == 4


def test_lamps_are_compared_one_by_one() -> None:
    """Each of two faults puts out a lamp of its own; neither shows the picture as a whole."""
    seen, sound = [(False, False, True)], [(True, True, True)]
    assert compared([(False, True, True)], seen, sound, [None]) == (0b001, 0)
    assert compared([(True, False, False)], seen, sound, [None]) == (0b010, 0b100)
    assert compared(["dark"], ["light"], ["light"], [None]) == (0, 1)


# On the stand -------------------------------------------------------------------------------------


def some_sets(stand: Stand) -> Iterator[Faults]:
    every = stand.faults()
    for its in [*combinations(every[::29], 2), *combinations(every[::61], 3)]:
        if stand.together(*its):
            yield its


def test_a_few_looks_read_as_among_all_of_them() -> None:
    stand = Stand(Setup("garden", SITE))
    numbers = range(0, len(stand.looks), 7)
    before = stand.harness.state()
    for its in some_sets(stand):
        row = list(stand.read(*its))
        assert stand.some(numbers, *its) == tuple(row[number] for number in numbers)
        assert stand.harness.state() == before


def test_what_work_leaves_of_faults_is_what_it_leaves_in_a_world_of_theirs() -> None:
    """Only the copper is asked, without anything solved; a world solves all of it."""
    setup = Setup("garden", SITE)
    stand = Stand(setup)
    work: list[do.Action] = [
        do.RemakeWire("stop-orange"), do.Renew("beam-gate"), do.ReplaceFuse("aux"),
        do.SwapWires("motor-a-brown", "motor-a-blue"), do.PartWire("beam-tx-red"),
    ]  # fmt: skip
    for its in some_sets(stand):
        world = World(stand, its)
        for action in work:
            world.do(action)
        assert left_of(setup, its, work) == world.left, its


def test_what_was_seen_after_work_counts_for_what_that_work_leaves() -> None:
    """The fuse in, the display as before: something that shows alike beside it, and behind it."""
    about = inquiry(2, 3)
    done = (do.ReplaceFuse("aux"),)
    after = Seen(done, about.at_once)
    assert about.fits((SINGLES[2],), (about.complaint,))
    assert not about.fits((SINGLES[2],), (about.complaint, after))
    assert about.fits((SINGLES[2], SINGLES[4]), (about.complaint, after))
    assert not about.fits((SINGLES[2], SINGLES[8]), (about.complaint, after))
    hanging = Seen((*done, do.PartWire("stop-orange")), probe=do.Probe("volts", "board.STOP", "board.0V"))
    assert about.fits(about.truth, (about.complaint, after, hanging))
    assert not about.fits((SINGLES[1], *about.truth), (about.complaint, after, hanging))
