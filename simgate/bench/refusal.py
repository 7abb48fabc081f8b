"""How hands are refused: one error that says what was tried, what was found and what is possible."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from simgate.bench.actions import Action
from simgate.files import Problem, UserError, nearest, shown

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

Hand = tuple[Callable[["Bench", Any], None], Callable[["Bench", Any], None]]
"""(check, do) of one kind of action; a check raises UserError and changes nothing."""


def refused(what: str, found: str, allowed: str) -> UserError:
    """The one error of hands: what was tried, what was found, what is possible."""
    return UserError(Problem("bench", what, found, allowed))


def known(what: str, name: str, names: Iterable[str]) -> None:
    """Raise UserError, with the nearest, unless `name` is one of `names`."""
    names = tuple(names)
    if name not in names:
        raise refused(what, shown(name), nearest(name, names))


def always(bench: Bench, action: Action) -> None:
    """Possible at any time."""
