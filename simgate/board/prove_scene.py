"""What may change around a board under proof: terminals, beams of its line, keys of remotes held down.

Each is one bit of a mask, and each mask is what the board finds at its own screws: volts, the answers of the
line, the codes on the air. Where a guard or a call comes in, the board reads it with the same code as always.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from simgate.board.inputs import EDGE_VOLTS
from simgate.board.line import BROKEN, CLEAR, Answer, Enrolled, Head, LineHeard
from simgate.board.line_table import place_of, table
from simgate.board.radio import FAMILY, Air, Frame, Taught, Use
from simgate.board.stimuli import INPUTS, Input, Word

MADE_VOLTS = 24.0


class Beam(Word):
    """A beam of the line, by what it guards."""

    OPENING = "a line beam of opening"
    CLOSING = "a line beam of closing"
    BOTH = "a line beam of both"


class Remote(Word):
    """A key of a remote, by what it was taught to call for."""

    CALL = "remote call"
    PART = "remote part call"


Source = Input | Beam | Remote

TERMINALS: tuple[Input, ...] = INPUTS[: INPUTS.index(Input.EDGE) + 1]
"""The terminals that a proof is about. END switches are the leaves' affair."""

SCENE: tuple[Source, ...] = (*TERMINALS, *Beam, *Remote)
"""Everything that may change; bit n of a mask is the n-th."""

BIT: Mapping[Source, int] = {one: 1 << index for index, one in enumerate(SCENE)}


def mask_of(*ones: Source) -> int:
    """The mask of some of them."""
    mask = 0
    for one in ones:
        mask |= BIT[one]
    return mask


CALLS = mask_of(Input.CALL, Input.PART, *Remote)
REMOTES = mask_of(*Remote)
BEAMS = mask_of(*Beam)
HEALTHY = mask_of(Input.STOP, Input.GUARD_O, Input.GUARD_C, Input.EDGE, *Beam)
CONTACTS = (1 << len(TERMINALS)) - 1

SCENES: Mapping[str, tuple[Source, ...]] = {
    "terminals": TERMINALS,
    "line": (Input.STOP, Input.GUARD_C, Input.CALL, Input.PART, *Beam),
    "remotes": (Input.STOP, Input.GUARD_C, Input.CALL, Input.PART, *Remote),
    "mixed": (Input.STOP, Input.GUARD_O, Input.EDGE, Input.CALL, Input.PART, Beam.BOTH, Remote.CALL),
}
"""Name -> what changes in a walk. Beams and remotes are walked beside the terminals that do the same, and one
of each together with GUARD-O and EDGE."""

PLACES: Mapping[Beam, int] = {
    Beam.OPENING: place_of("1---"), Beam.CLOSING: place_of("-2--"), Beam.BOTH: place_of("12--"),
}  # fmt: skip
SERIAL = 210417
KEYS: Mapping[Remote, tuple[int, Use]] = {Remote.CALL: (1, Use.CALL), Remote.PART: (2, Use.PART)}
TAUGHT = tuple(Taught(SERIAL + key, key, use) for key, use in KEYS.values())
FRAMES = {one: Frame(FAMILY, SERIAL + key, key, counter=1) for one, (key, _) in KEYS.items()}
ENROLLED: Enrolled = tuple((place, head) for place in PLACES.values() for head in Head)


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """One mask as the board finds it. levels: of the input terminals, in INPUTS order.

    words: how each beam stands by its place. held: what the frames on the air call for.
    """

    volts: tuple[float, ...]
    levels: tuple[bool, ...]
    line: LineHeard
    words: Mapping[int, str]
    air: Air
    held: Mapping[Frame, Use]


@cache
def found(mask: int) -> Found:
    """What the board finds of a mask; the same object each time, so that nothing seems to change.

    An edge amiss is pressed.
    """
    levels = tuple(bool(mask & CONTACTS & 1 << index) for index in range(len(INPUTS)))
    volts = [MADE_VOLTS * level for level in levels]
    edge = INPUTS.index(Input.EDGE)
    volts[edge] = EDGE_VOLTS / 2.0 if levels[edge] else 0.0
    answers = tuple(
        Answer(place, head, clear=bool(mask & BIT[one]))
        for one, place in PLACES.items() for head in Head
    )  # fmt: skip
    words = {place: CLEAR if mask & BIT[one] else BROKEN for one, place in PLACES.items()}
    sent = [one for one in Remote if mask & BIT[one]]
    return Found(
        tuple(volts), levels, LineHeard(table().least_volts + 8.0, answers), words,
        tuple(FRAMES[one] for one in sent), {FRAMES[one]: KEYS[one][1] for one in sent},
    )  # fmt: skip
