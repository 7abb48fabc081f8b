"""Permits: which direction may move, and the word for why not.

Every movement of the board, of a mode, a jog, a learn cycle or a give-way, asks here. If a second file
decided what a guard forbids, a movement of a rarer kind would one day slip past it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simgate.board.inputs import Inputs
from simgate.board.line import Line
from simgate.board.settings import Settings
from simgate.board.stimuli import INPUTS, NORMALLY_CLOSED, Input, Stimulus, Way

Needs = Mapping[Way, tuple[Input, ...]]

OWN: Needs = {
    Way.OPENING: (Input.STOP, Input.GUARD_O),
    Way.CLOSING: (Input.STOP, Input.GUARD_C),
}
"""Direction -> the inputs that must be made whenever a leaf is driven that way, gravest first."""

NOTHING: Needs = {Way.OPENING: (), Way.CLOSING: ()}

GUARD_C_ALSO: Mapping[str, Needs] = {
    "closing": NOTHING,
    "both": {Way.OPENING: (Input.GUARD_C,), Way.CLOSING: ()},
}
"""Choice of the setting guard-c-use -> what a direction needs beside its own, except to turn round.

A device set for both holds a gate that opens, yet a gate that closes on it must be able to reopen.
"""

EDGE_OWN: Mapping[str, Needs] = {
    "not fitted": NOTHING,
    "closing": {Way.OPENING: (), Way.CLOSING: (Input.EDGE,)},
    "opening": {Way.OPENING: (Input.EDGE,), Way.CLOSING: ()},
    "both": NOTHING,
}
"""Choice of the setting edge-use -> what a direction needs beside its own, also to turn round."""

EDGE_ALSO: Mapping[str, Needs] = {
    **dict.fromkeys(("not fitted", "closing", "opening"), NOTHING),
    "both": {Way.OPENING: (Input.EDGE,), Way.CLOSING: (Input.EDGE,)},
}
"""The same, except to turn round: whoever is pressed by a leaf must be let go, whichever way it went."""

EDGES: Mapping[tuple[Input, bool], Stimulus] = {
    (Input.STOP, False): Stimulus.STOP_PARTED,
    (Input.STOP, True): Stimulus.STOP_REMADE,
    (Input.GUARD_O, False): Stimulus.GUARD_O_BROKEN,
    (Input.GUARD_O, True): Stimulus.GUARD_O_CLEAR,
    (Input.GUARD_C, False): Stimulus.GUARD_C_BROKEN,
    (Input.GUARD_C, True): Stimulus.GUARD_C_CLEAR,
    (Input.EDGE, False): Stimulus.EDGE_AMISS,
    (Input.EDGE, True): Stimulus.EDGE_HEALTHY,
    (Input.CALL, True): Stimulus.CALL,
    (Input.CALL, False): Stimulus.CALL_RELEASED,
    (Input.PART, True): Stimulus.PART,
    (Input.PART, False): Stimulus.PART_RELEASED,
}
"""What a change of an input means to the logic. Made is healthy for the first four, called for the rest."""

GUARDING = (*NORMALLY_CLOSED, Input.EDGE)
"""Inputs whose change may lift a refusal."""


@dataclass(frozen=True, slots=True)
class Uses:
    """How the guards are set: what acts while the gate moves which way."""

    guard_c: str = "closing"
    edge: str = "not fitted"

    @classmethod
    def of(cls, settings: Settings) -> Uses:
        """As set in the book."""
        return cls(settings.choice("guard-c-use"), settings.choice("edge-use"))

    @property
    def edge_fitted(self) -> bool:
        """Whether EDGE means anything."""
        return self.edge != "not fitted"


Permits = tuple[dict[Input, str], dict[Way, str], dict[Way, str]]
"""What is amiss, and by direction why not: whatever is done, and except to turn round."""


def failed_words(one: Input | None) -> str:
    """What is said of a guard that failed its test, '' for none."""
    return f"{one.value} failed its test" if one is not None else ""


class Guards:
    """The permits as the inputs last stood. Looked at only when an input or its use changed.

    amiss: reason by input, for each input that is not as it should be, gravest first.
    failed: guards that stayed made when last tested; only a test that they pass clears them.
    """

    def __init__(self) -> None:
        self.uses = Uses()
        self.amiss: dict[Input, str] = {Input.STOP: "STOP is open"}
        self.failed: tuple[Input, ...] = ()
        self._own: dict[Way, str] = dict.fromkeys(Way, "STOP is open")
        self._also = dict.fromkeys(Way, "")
        self._seen: dict[tuple[tuple[bool, ...], bool], Permits] = {}
        self._line_own = dict.fromkeys(Way, "")
        self._line_all = dict.fromkeys(Way, "")
        self._line_seen = 0
        self._line_known: dict[tuple[tuple[int, str], ...], tuple[dict[Way, str], dict[Way, str]]] = {}

    def look(self, made: tuple[bool, ...], uses: Uses, edge_pressed: bool = False) -> None:
        """Work the permits out again from the filtered inputs, in INPUTS order."""
        if uses != self.uses:
            self.uses = uses
            self._seen.clear()
        key = (made, edge_pressed)
        if key not in self._seen:
            self._seen[key] = self._work_out(made, edge_pressed)
        self.amiss, self._own, self._also = self._seen[key]

    def _work_out(self, made: tuple[bool, ...], edge_pressed: bool) -> Permits:
        uses = self.uses
        amiss = {one: f"{one.value} is open" for one in NORMALLY_CLOSED if not made[INPUTS.index(one)]}
        if uses.edge_fitted and not made[INPUTS.index(Input.EDGE)]:
            amiss[Input.EDGE] = "EDGE is pressed" if edge_pressed else "EDGE is broken"

        def first(inputs: tuple[Input, ...]) -> str:
            return next((amiss[one] for one in inputs if one in amiss), "")

        own = {way: first((*OWN[way], *EDGE_OWN[uses.edge][way])) for way in Way}
        also = {way: first((*GUARD_C_ALSO[uses.guard_c][way], *EDGE_ALSO[uses.edge][way])) for way in Way}
        return amiss, own, also

    def look_at(self, inputs: Inputs, uses: Uses) -> None:
        """`look` at the terminals as they are read."""
        self.look(inputs.made, uses, inputs.edge_pressed)

    def look_at_line(self, line: Line) -> None:
        """Take over what the beams of the line forbid, when they count as something else than before."""
        if line.version == self._line_seen:
            return
        self._line_seen = line.version
        stands = line.stands
        if stands not in self._line_known:
            self._line_known[stands] = (
                {way: line.own_trouble(way) for way in Way},
                {way: line.trouble(way) for way in Way},
            )
        self._line_own, self._line_all = self._line_known[stands]

    @property
    def line_trouble(self) -> str:
        """What the line forbids, whichever way, '' when nothing."""
        return self._line_all[Way.OPENING] or self._line_all[Way.CLOSING]

    def permit(self, way: Way, turning: bool = False, test_follows: bool = False) -> str:
        """Why movement that way is not permitted, '' when it is. turning: to leave the other direction.

        test_follows: it is only the wish to move; before anything does, the guards are tested again.
        """
        also = "" if turning else self._also[way] or self._line_all[way]
        reason = self._own[way] or self._line_own[way] or also
        return reason or ("" if test_follows else self.untrusted(way))

    def distrusted(self, way: Way) -> Input | None:
        """The guard of that direction that failed its test, None when none did."""
        if not self.failed:
            return None
        relied = (*OWN[way], *GUARD_C_ALSO[self.uses.guard_c][way])
        return next((one for one in relied if one in self.failed), None)

    def untrusted(self, way: Way) -> str:
        """`distrusted` in words, '' when none is."""
        return failed_words(self.distrusted(way))

    def tested(self, one: Input, sound: bool) -> None:
        """Keep what a test of `one` has shown."""
        others = tuple(other for other in self.failed if other is not one)
        self.failed = others if sound else (*others, one)

    def trust_untested(self, tested: tuple[Input, ...]) -> None:
        """Another setting: what is not tested any more cannot have failed."""
        self.failed = tuple(one for one in self.failed if one in tested)

    def whole(self) -> str:
        """Why work that moves both ways may not be done: the first guard that is amiss, '' when none is."""
        return next(iter(self.amiss.values()), "") or self.line_trouble
