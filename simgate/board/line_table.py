"""The line's table as values: address switches, addresses, and what a beam at each of them guards.

Heads and board read the same table; were there two, a head could call itself what the board never asks.
"""

from __future__ import annotations

from enum import Enum
from functools import cache
from pathlib import Path

from simgate.board.stimuli import Way
from simgate.files import Problem, Shape, UserError, nearest, read, shown

SWITCHES = 4


class Guards(Enum):
    """What a beam of the line guards."""

    NONE = "none"  # it is only shown
    OPENING = "opening"
    CLOSING = "closing"
    BOTH = "both"

    @property
    def ways(self) -> tuple[Way, ...]:
        """The directions that it guards."""
        return _WAYS[self]


_WAYS = {
    Guards.NONE: (),
    Guards.OPENING: (Way.OPENING,),
    Guards.CLOSING: (Way.CLOSING,),
    Guards.BOTH: (Way.OPENING, Way.CLOSING),
}


class Address(Shape, frozen=True):
    """One address. switches: as '-2-4'. name: what the book calls it."""

    switches: str
    name: str
    guards: Guards


class _Table(Shape, frozen=True):
    poll_ms: int
    least_volts: float
    address: list[Address]


@cache
def table() -> _Table:
    """The table. Raises UserError when not every setting of the switches stands in it once."""
    path = Path(__file__).with_name("line.toml")
    found, document = read(path, _Table)
    settings = sorted(address.switches for address in found.address)
    if settings != sorted(all_settings()):
        raise UserError(document.problem(["address"], "not every setting once", "each of the 16 once"))
    return found


def all_settings() -> tuple[str, ...]:
    """Every setting of the switches, all down first."""
    settings = [""]
    for number in range(1, SWITCHES + 1):
        settings = [before + mark for before in settings for mark in ("-", str(number))]
    return tuple(settings)


@cache
def _places() -> dict[str, int]:
    return {address.switches: place for place, address in enumerate(table().address)}


def place_of(switches: str) -> int:
    """Place in the table of a setting ('-2-4'). Raises UserError for what no switches can show."""
    if switches not in _places():
        allowed = nearest(switches, all_settings())
        raise UserError(Problem("line", "switches", shown(switches), allowed))
    return _places()[switches]


def address(place: int) -> Address:
    """The address at a place of the table."""
    return table().address[place]
