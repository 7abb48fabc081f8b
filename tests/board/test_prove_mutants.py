"""The prover is tried on mistakes: each unsafe one is found, and what is none is proven."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from simgate.board import chart_program, guards, modes
from simgate.board.mode_table import Common, Row, Table, possible
from simgate.board.prove import PROPERTIES, prove
from simgate.board.stimuli import Condition
from tests.board import mutants
from tests.board.mutants import COMMON, MODES, PERMITS, Mutant, Permit


def with_cell(cells: Mapping[Condition, Row], mutant: Mutant) -> dict[Condition, Row]:
    """The cells with the one that is wrong."""
    found: dict[Condition, Row] = {**cells}
    row = {**found.get(mutant.condition, {})}
    assert row.get(mutant.stimulus) is not mutant.response
    assert mutant.response in possible(mutant.condition)
    found[mutant.condition] = {**row, mutant.stimulus: mutant.response}
    return found


def judge(table: Table, mutant: Mutant | Permit) -> None:
    """The prover says what the person said."""
    proof = prove(table, dict(mutant.settings), until=mutant.breaks)
    if mutant.harmless:
        assert proof.broken == ()
    else:
        assert mutant.breaks in proof.broken


def test_at_least_sixty_mistakes_are_tried_and_each_is_judged_one_way() -> None:
    every = (*MODES, *COMMON, *PERMITS)
    assert len(every) >= 80
    assert sum(bool(one.breaks) for one in every) >= 55
    assert all(bool(one.breaks) is not bool(one.harmless) for one in every)


@pytest.mark.parametrize("mutant", MODES, ids=lambda one: one.name)
def test_a_wrong_cell_of_a_mode(mutant: Mutant) -> None:
    table = modes.shipped_modes()[mutant.mode]
    judge(replace(table, cells=with_cell(table.cells, mutant)), mutant)


@pytest.mark.parametrize("mutant", COMMON, ids=lambda one: one.name)
def test_a_wrong_cell_of_the_common_table(mutant: Mutant, monkeypatch: pytest.MonkeyPatch) -> None:
    real = modes.common()
    cells = with_cell(real.when(dict(mutant.settings)), mutant)
    wrong = Common({**real.cells, mutant.condition: cells[mutant.condition]}, ())
    rest = tuple(
        (setting, choice, {c: row for c, row in changes.items() if c is not mutant.condition})
        for setting, choice, changes in real.variants
    )
    monkeypatch.setattr(chart_program, "common", lambda: replace(wrong, variants=rest))
    chart_program.program.cache_clear()
    try:
        judge(modes.shipped_modes()[mutant.mode], mutant)
    finally:
        chart_program.program.cache_clear()


@pytest.mark.parametrize("permit", PERMITS, ids=lambda one: one.name)
def test_a_wrong_permit(permit: Permit, monkeypatch: pytest.MonkeyPatch) -> None:
    table = getattr(guards, permit.table)
    if permit.choice:
        entry = {**table[permit.choice], permit.way: permit.inputs}
        monkeypatch.setitem(table, permit.choice, entry)
    else:
        monkeypatch.setitem(table, permit.way, permit.inputs)
    judge(modes.shipped_modes()["Latch"], permit)


def test_the_judgements_name_properties_that_there_are() -> None:
    keys = {one.key for one in PROPERTIES} | {"trap", "answered"}
    assert {one.breaks for one in (*MODES, *COMMON, *PERMITS) if one.breaks} <= keys
    assert mutants.NEVER
