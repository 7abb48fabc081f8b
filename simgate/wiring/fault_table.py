"""What is said of each kind of fault: faults.toml as values.

Apart from `faults.py`, so that a text or a weight can change without the code that changes copper.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import msgspec

from simgate.files import Problem, Shape, UserError, nearest, read, shown
from simgate.wiring.spec import FaultKind


class FaultRow(Shape, frozen=True):
    """A kind of fault in words. does: what it changes. sits: where it can be. seconds: to mend it.

    weight: how often it turns up beside the others (invented).

    least, most: of its amount, 0 for a kind without one. unit: of both.
    """

    words: str
    does: str
    sits: str
    shows: str
    mended: str
    seconds: float
    weight: float
    least: float = 0.0
    most: float = 0.0
    unit: str = "ohm"


_Rows = msgspec.defstruct(
    "_Rows",
    [(kind.value.replace("-", "_"), FaultRow) for kind in FaultKind],
    bases=(Shape,),
    frozen=True,
    rename="kebab",
)


@cache
def _rows() -> dict[str, FaultRow]:
    table = read(Path(__file__).with_name("faults.toml"), _Rows)[0]
    return {field.encode_name: getattr(table, field.name) for field in msgspec.structs.fields(_Rows)}


def row(kind: FaultKind) -> FaultRow:
    """What faults.toml says of a kind."""
    return _rows()[kind.value]


def kind_of(name: str) -> FaultKind:
    """The kind of that name ('parted-wire'). Raises UserError for any other."""
    names = {kind.value: kind for kind in FaultKind}
    if name not in names:
        raise UserError(Problem("fault", "kind", shown(name), nearest(name, names)))
    return names[name]
