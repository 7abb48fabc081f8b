"""What a mode is: the one response to each stimulus in each condition, and what a response leads to.

The behaviour of a gate is data (`modes.py` reads it). What a response leads to stands in `AFTER`, and nothing
else may decide it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from simgate.board.stimuli import Condition, Response, Stimulus, Way

C, R = Condition, Response

WAYS: Mapping[Condition, Way] = {
    C.OPENING: Way.OPENING,
    C.PART_OPENING: Way.OPENING,
    C.CLOSING: Way.CLOSING,
}
"""Conditions in which leaves are driven, and which way. To enter one, a permit is needed."""

STOPPED: Mapping[Condition, Condition] = {
    C.OPENING: C.STOPPED_OPENING,
    C.PART_OPENING: C.STOPPED_OPENING,
    C.HELD: C.STOPPED_OPENING,
    C.PART_HELD: C.STOPPED_OPENING,
    C.CLOSING: C.STOPPED_CLOSING,
}
"""Where a stop leaves a gate that was on its way."""

_FROM_OPEN = {C.HELD: C.CLOSING, C.PART_HELD: C.CLOSING, C.OPENING: C.CLOSING, C.PART_OPENING: C.CLOSING}
_AT_REST = {C.OPEN: C.OPEN, C.PART_OPEN: C.PART_OPEN}  # a stop here ends the pause

AFTER: Mapping[Response, Mapping[Condition, Condition]] = {
    R.OPEN: {
        C.PART_HELD: C.HELD,  # it still waits, but then for the whole way
        **dict.fromkeys(
            (C.SHUT, C.PART_OPENING, C.PART_OPEN, C.STOPPED_OPENING, C.STOPPED_CLOSING), C.OPENING
        ),
    },
    R.OPEN_PART: {C.SHUT: C.PART_OPENING},
    R.CLOSE: dict.fromkeys((C.OPEN, C.PART_OPEN, C.STOPPED_OPENING, C.STOPPED_CLOSING), C.CLOSING),
    R.STOP: {**STOPPED, **_AT_REST},
    R.REVERSE: {C.CLOSING: C.OPENING, **_FROM_OPEN},
    R.HOLD: {C.OPENING: C.HELD, C.PART_OPENING: C.PART_HELD},
    R.RESUME: {C.HELD: C.OPENING, C.PART_HELD: C.PART_OPENING},
    R.GIVE_WAY: {C.OPENING: C.STOPPED_OPENING, C.PART_OPENING: C.STOPPED_OPENING},
    R.REST: {C.OPENING: C.OPEN, C.PART_OPENING: C.PART_OPEN, C.CLOSING: C.SHUT},
    R.START_PAUSE: {C.OPENING: C.OPEN, C.PART_OPENING: C.PART_OPEN, **_AT_REST},
    R.RESTART_PAUSE: _AT_REST,
    R.CUT_PAUSE: dict.fromkeys((C.OPEN, C.PART_OPEN), C.CLOSING),
    R.SHUT_SOON: _AT_REST,
    R.IGNORE: {condition: condition for condition in Condition},
}
"""The condition after a response; a response is possible only in the conditions it has here."""

Row = Mapping[Stimulus, Response]


@dataclass(frozen=True, slots=True)
class Table:
    """One mode: the response to each of MODE_STIMULI in each condition.

    closes_itself: the mode has a pause after which it shuts. while_held: it moves only while a call
    is held, so it may move, slowly, before the learn cycle. part_closes: PART is the call that shuts.
    notes: sentences for cells that surprise.
    """

    name: str
    title: str
    summary: str
    closes_itself: bool
    while_held: bool
    part_closes: bool
    cells: Mapping[Condition, Row]
    notes: Mapping[Condition, Mapping[Stimulus, str]] = field(default_factory=dict)

    def __hash__(self) -> int:  # the cells are dictionaries, which have none
        return hash((self.name, self.title, self.summary))

    def without_part(self) -> Table:
        """The mode on a site without part opening: PART is nothing, or only the call that shuts."""
        dead = () if self.part_closes else (Stimulus.PART, Stimulus.PART_RELEASED)
        cells = {
            condition: {
                stimulus: R.IGNORE if stimulus in dead or response is R.OPEN_PART else response
                for stimulus, response in row.items()
            }
            for condition, row in self.cells.items()
        }
        return replace(self, cells=cells)


@dataclass(frozen=True, slots=True)
class Common:
    """The response to each of COMMON_STIMULI in each condition, whatever the mode.

    variants: (setting, choice, cells that differ while the setting has that choice).
    """

    cells: Mapping[Condition, Row]
    variants: tuple[tuple[str, str, Mapping[Condition, Row]], ...]

    def when(self, choices: Mapping[str, str]) -> Mapping[Condition, Row]:
        """The table as it applies with these setting choices; one that is not named changes nothing."""
        cells = {condition: dict(row) for condition, row in self.cells.items()}
        for setting, choice, changes in self.variants:
            if choices.get(setting) == choice:
                for condition, row in changes.items():
                    cells[condition].update(row)
        return cells

    def settings(self) -> tuple[str, ...]:
        """The choice settings that the table depends on."""
        return tuple(dict.fromkeys(setting for setting, _, _ in self.variants))


def possible(condition: Condition) -> tuple[Response, ...]:
    """The responses that make sense in `condition`."""
    return tuple(response for response in Response if condition in AFTER[response])
