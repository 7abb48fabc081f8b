"""What a standard asks at the main closing edge, by how a gate is activated and who uses it.

The table is data with its source beside it (activation.toml); this file only reads it and puts a cell
into words. It decides nothing: on a real gate the standard in force and a licensed person do.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path

from simgate.files import Document, Problem, Shape, UserError, nearest, read

TABLE = Path(__file__).with_name("activation.toml")


class Activation(Enum):
    """How the gate comes to move."""

    HOLD_TO_RUN = "hold-to-run"
    IMPULSE_IN_SIGHT = "impulse-in-sight"
    IMPULSE_OUT_OF_SIGHT = "impulse-out-of-sight"
    AUTOMATIC = "automatic"


class Users(Enum):
    """Who uses it."""

    TRAINED = "trained"
    TRAINED_PUBLIC = "trained-public"
    UNTRAINED = "untrained"


class _Table(Shape, frozen=True):
    source: str
    means: dict[str, str]
    users: dict[str, str]
    least: dict[str, dict[str, list[list[str]]]]


@dataclass(frozen=True, slots=True)
class Demand:
    """Least protection: any one of `combinations` of letters, each needed whole; none: not allowed.

    words: 'C and D, or E'.
    """

    combinations: tuple[tuple[str, ...], ...]
    words: str
    source: str

    @property
    def allowed(self) -> bool:
        """Whether that activation may be used at all."""
        return bool(self.combinations)


def demand(activation: Activation, users: Users) -> Demand:
    """What the table asks for one kind of activation and of users."""
    table = _table()
    cells = tuple(tuple(letters) for letters in table.least[activation.value][users.value])
    words = ", or ".join(" and ".join(letters) for letters in cells) or "not allowed"
    return Demand(cells, words, table.source)


def letters() -> dict[str, str]:
    """What each letter stands for."""
    return dict(_table().means)


def words_for(users: Users) -> str:
    """The kind of users in words."""
    return _table().users[users.value]


@cache
def _table() -> _Table:
    table, document = read(TABLE, _Table, TABLE.name)
    problems = list(_mistakes(table, document))
    if problems:
        raise UserError(problems)
    return table


def _mistakes(table: _Table, document: Document) -> list[Problem]:
    """Cells that are missing, and letters that mean nothing."""
    problems = []
    for activation in Activation:
        row = table.least.get(activation.value, {})
        for users in Users:
            if users.value not in row:
                problems.append(
                    document.problem(["least", activation.value, users.value], "nothing", "a list of letters")
                )
            for letter in (letter for letters in row.get(users.value, []) for letter in letters):
                if letter not in table.means:
                    problems.append(
                        document.problem(
                            ["least", activation.value, users.value], letter, nearest(letter, table.means)
                        )
                    )
    return problems
