"""By which table the gate of a snapshot works: its mode's cells as set, and those common to all modes."""

from __future__ import annotations

from collections.abc import Mapping

from simgate.bench.record import Snapshot
from simgate.board.mode_table import Row, Table
from simgate.board.modes import common
from simgate.board.stimuli import Condition


def table_of(shot: Snapshot) -> Table:
    """The mode's table as the gate works by it."""
    return shot.table.without_part() if shot.settings.get("part-opening") == "not in use" else shot.table


def cells_of(shot: Snapshot) -> Mapping[Condition, Row]:
    """Every cell that applies now: the mode's own and the common ones."""
    always = common().when({key: str(shot.settings[key]) for key in common().settings()})
    table = table_of(shot)
    return {condition: {**table.cells[condition], **always[condition]} for condition in Condition}
