"""Mistakes for the prover to find: single cells of modes and of the common table, single entries of permits.

Each says which property it breaks, or why it hurts nobody. The judgement is a person's, made before the
prover was asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from simgate.board.stimuli import Condition, Input, Response, Stimulus, Way

C, S, R, I = Condition, Stimulus, Response, Input  # noqa: E741

NEVER = "never asked: nothing is driven and no pause runs there"
COMFORT = "a nuisance: it stops or stays more often, and moves no more than before"


@dataclass(frozen=True, slots=True)
class Mutant:
    """One cell that is wrong. breaks: key of the property that it breaks; harmless: else why it is none."""

    mode: str
    condition: Condition
    stimulus: Stimulus
    response: Response
    breaks: str = ""
    harmless: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """For the report of the test."""
        where = f"{self.condition.value} {self.stimulus.value}".replace(" ", "-")
        return f"{self.mode}:{where}:{self.response.value.replace(' ', '-')}".replace(" ", "-")


LATCH = (
    Mutant("Latch", C.SHUT, S.PASSED, R.OPEN, "asked-to-open"),
    Mutant("Latch", C.SHUT, S.CALL_RELEASED, R.OPEN, "asked-to-open"),
    Mutant("Latch", C.SHUT, S.PAUSE_OVER, R.OPEN, harmless=NEVER),
    Mutant("Latch", C.SHUT, S.ARRIVED, R.OPEN, harmless=NEVER),
    Mutant("Latch", C.OPENING, S.ARRIVED, R.REVERSE, "asked-to-shut"),
    Mutant("Latch", C.OPENING, S.ARRIVED, R.IGNORE, "truth"),
    Mutant("Latch", C.OPENING, S.CALL_RELEASED, R.REVERSE, "asked-to-shut"),
    Mutant("Latch", C.OPENING, S.PASSED, R.REVERSE, "asked-to-shut"),
    Mutant("Latch", C.OPENING, S.PASSED, R.STOP, harmless=COMFORT),
    Mutant("Latch", C.OPEN, S.PASSED, R.CLOSE, "asked-to-shut"),
    Mutant("Latch", C.OPEN, S.CALL_RELEASED, R.CLOSE, "asked-to-shut"),
    Mutant("Latch", C.OPEN, S.CALL, R.IGNORE, "trap"),
    Mutant("Latch", C.PART_OPEN, S.PART, R.IGNORE, harmless=COMFORT),
    Mutant("Latch", C.CLOSING, S.ARRIVED, R.IGNORE, "truth"),
    Mutant("Latch", C.CLOSING, S.CALL, R.IGNORE, harmless="the guards still turn it round"),
    Mutant("Latch", C.CLOSING, S.CALL, R.STOP, harmless=COMFORT),
    Mutant("Latch", C.CLOSING, S.PASSED, R.REVERSE, harmless="it opens, as the guard just made it do"),
    Mutant("Latch", C.STOPPED_OPENING, S.CALL_RELEASED, R.CLOSE, "asked-to-shut"),
    Mutant("Latch", C.STOPPED_OPENING, S.PASSED, R.OPEN, "asked-to-open"),
    Mutant("Latch", C.STOPPED_CLOSING, S.CALL_RELEASED, R.OPEN, "asked-to-open"),
    Mutant("Latch", C.STOPPED_CLOSING, S.CALL, R.IGNORE, harmless="PART shuts it, from where CALL opens it"),
    Mutant("Latch", C.HELD, S.CALL_RELEASED, R.REVERSE, "asked-to-shut"),
    Mutant("Latch", C.HELD, S.PASSED, R.REVERSE, "asked-to-shut"),
    Mutant("Latch", C.PART_HELD, S.CALL, R.IGNORE, harmless=COMFORT),
)
HOLD_TO_RUN = (
    Mutant("Hold-to-run", C.OPENING, S.CALL_RELEASED, R.IGNORE, "let-go"),
    Mutant("Hold-to-run", C.OPENING, S.CALL_RELEASED, R.IGNORE, "held"),
    Mutant("Hold-to-run", C.OPENING, S.PART_RELEASED, R.IGNORE, "let-go"),
    Mutant("Hold-to-run", C.CLOSING, S.PART_RELEASED, R.IGNORE, "let-go"),
    Mutant("Hold-to-run", C.CLOSING, S.CALL_RELEASED, R.IGNORE, "let-go"),
    Mutant("Hold-to-run", C.CLOSING, S.ARRIVED, R.IGNORE, "truth"),
    Mutant("Hold-to-run", C.HELD, S.CALL_RELEASED, R.IGNORE, "held"),
    Mutant("Hold-to-run", C.STOPPED_OPENING, S.CALL_RELEASED, R.OPEN, "held"),
    Mutant("Hold-to-run", C.OPEN, S.PART_RELEASED, R.CLOSE, "asked-to-shut"),
    Mutant("Hold-to-run", C.PART_HELD, S.CALL_RELEASED, R.IGNORE, harmless="never part-held in this mode"),
    Mutant("Hold-to-run", C.OPENING, S.PART, R.IGNORE, harmless="both are held, and letting go stops it"),
)
SELF_CLOSE = (
    Mutant("Self-close", C.OPEN, S.CALL_RELEASED, R.CUT_PAUSE, "asked-to-shut"),
    Mutant("Self-close", C.OPEN, S.PASSED, R.CLOSE, "asked-to-shut"),
    Mutant("Self-close", C.OPEN, S.PASSED, R.START_PAUSE, "fresh-call"),
    Mutant("Self-close", C.OPEN, S.CALL, R.RESTART_PAUSE, "trap"),
    Mutant("Self-close", C.STOPPED_OPENING, S.PASSED, R.CLOSE, "asked-to-shut"),
    Mutant("Self-close", C.OPEN, S.PAUSE_OVER, R.IGNORE, harmless="it stays open until called"),
    Mutant("Self-close", C.OPENING, S.ARRIVED, R.REST, harmless="it stays open until called"),
    Mutant("Self-close", C.OPEN, S.PASSED, R.SHUT_SOON, harmless="it is then Close-behind, which is proven"),
    Mutant("Self-close", C.OPEN, S.ARRIVED, R.CLOSE, harmless=NEVER),
)
FOUR_STEP = (
    Mutant("Four-step", C.OPENING, S.PASSED, R.REVERSE, "asked-to-shut"),
    Mutant("Four-step", C.OPEN, S.PASSED, R.CLOSE, "asked-to-shut"),
    Mutant("Four-step", C.CLOSING, S.CALL_RELEASED, R.REVERSE, harmless="letting go opens it again"),
)
MODES = (*LATCH, *HOLD_TO_RUN, *SELF_CLOSE, *FOUR_STEP)

BOTH = {"guard-c-use": "both"}
EDGE_SHUTS, EDGE_OPENS = {"edge-use": "closing"}, {"edge-use": "opening"}

COMMON = (
    Mutant("Latch", C.CLOSING, S.GUARD_C_BROKEN, R.IGNORE, "truth"),
    Mutant("Latch", C.CLOSING, S.GUARD_C_BROKEN, R.STOP, harmless="it stops; nothing shuts on"),
    Mutant("Latch", C.CLOSING, S.STOP_PARTED, R.IGNORE, "truth"),
    Mutant("Latch", C.CLOSING, S.STOP_PARTED, R.REVERSE, harmless="the permits refuse it: it stops"),
    Mutant("Latch", C.OPENING, S.STOP_PARTED, R.IGNORE, "truth"),
    Mutant("Latch", C.OPENING, S.STOP_PARTED, R.HOLD, "fresh-call"),
    Mutant("Latch", C.HELD, S.STOP_PARTED, R.IGNORE, "fresh-call"),
    Mutant("Latch", C.PART_HELD, S.STOP_PARTED, R.IGNORE, "fresh-call"),
    Mutant("Latch", C.HELD, S.GUARD_O_CLEAR, R.IGNORE, harmless=COMFORT),
    Mutant("Latch", C.HELD, S.GUARD_O_CLEAR, R.REVERSE, "asked-to-shut"),
    Mutant("Self-close", C.OPEN, S.STOP_PARTED, R.IGNORE, "fresh-call"),
    Mutant("Self-close", C.PART_OPEN, S.STOP_PARTED, R.IGNORE, "fresh-call"),
    Mutant("Latch", C.OPENING, S.GUARD_O_BROKEN, R.IGNORE, "truth"),
    Mutant("Latch", C.OPENING, S.GUARD_O_BROKEN, R.STOP, harmless="it stops instead of waiting"),
    Mutant("Latch", C.OPENING, S.GUARD_O_BROKEN, R.REVERSE, "asked-to-shut"),
    Mutant("Latch", C.OPENING, S.FAULT, R.IGNORE, "fault"),
    Mutant("Latch", C.CLOSING, S.FAULT, R.REVERSE, "fault"),
    Mutant("Latch", C.OPENING, S.OBSTACLE, R.IGNORE, "obstacle"),
    Mutant("Latch", C.CLOSING, S.OBSTACLE, R.IGNORE, "obstacle"),
    Mutant("Latch", C.CLOSING, S.OBSTACLE, R.STOP, harmless="it stops; it does not press on"),
    Mutant("Latch", C.OPENING, S.OBSTACLE, R.STOP, harmless="it stops; it does not press on"),
    Mutant("Latch", C.SHUT, S.GUARD_O_CLEAR, R.OPEN, "asked-to-open"),
    Mutant("Latch", C.SHUT, S.STOP_REMADE, R.OPEN, "fresh-call"),
    Mutant("Latch", C.STOPPED_OPENING, S.STOP_REMADE, R.CLOSE, "fresh-call"),
    Mutant("Latch", C.STOPPED_CLOSING, S.GUARD_C_CLEAR, R.CLOSE, "asked-to-shut"),
    Mutant("Latch", C.OPEN, S.GUARD_C_CLEAR, R.CLOSE, "asked-to-shut"),
    Mutant("Latch", C.OPEN, S.GUARD_O_BROKEN, R.CLOSE, "asked-to-shut"),
    Mutant("Latch", C.STOPPED_CLOSING, S.FAULT, R.OPEN, harmless=NEVER),
    Mutant("Latch", C.CLOSING, S.EDGE_AMISS, R.IGNORE, "truth", settings=EDGE_SHUTS),
    Mutant(
        "Latch",
        C.CLOSING,
        S.EDGE_AMISS,
        R.STOP,
        harmless="it stops; it does not press on",
        settings=EDGE_SHUTS,
    ),
    Mutant("Latch", C.OPENING, S.EDGE_AMISS, R.IGNORE, "truth", settings=EDGE_OPENS),
    Mutant("Latch", C.OPEN, S.EDGE_HEALTHY, R.CLOSE, "asked-to-shut", settings=EDGE_SHUTS),
    Mutant("Latch", C.OPENING, S.GUARD_C_BROKEN, R.IGNORE, "both-ways-leaves", settings=BOTH),
)


@dataclass(frozen=True, slots=True)
class Permit:
    """One entry of a table of permits that is wrong: `table` of guards.py, its keys, what stands there."""

    table: str
    choice: str
    way: Way
    inputs: tuple[Input, ...]
    breaks: str = ""
    harmless: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """For the report of the test."""
        return "-".join((self.table, self.choice, self.way.name, *(one.value for one in self.inputs))).lower()


EDGE_BOTH = {"edge-use": "both"}
PERMITS = (
    Permit("OWN", "", Way.OPENING, (I.GUARD_O,), "stop"),
    Permit("OWN", "", Way.CLOSING, (I.GUARD_C,), "stop"),
    Permit("OWN", "", Way.OPENING, (I.STOP,), "guard-o"),
    Permit("OWN", "", Way.CLOSING, (I.STOP,), "guard-c"),
    Permit("OWN", "", Way.CLOSING, (I.STOP, I.GUARD_O), "guard-c"),
    Permit("OWN", "", Way.CLOSING, (I.STOP, I.GUARD_C, I.GUARD_O), "truth"),
    Permit("OWN", "", Way.OPENING, (I.GUARD_O, I.STOP), harmless="the same needs, told in another order"),
    Permit("GUARD_C_ALSO", "both", Way.OPENING, (), "both-ways-opening", settings=BOTH),
    Permit("GUARD_C_ALSO", "both", Way.CLOSING, (I.GUARD_C,), harmless="needed anyway", settings=BOTH),
    Permit("EDGE_OWN", "closing", Way.CLOSING, (), "edge-shutting", settings=EDGE_SHUTS),
    Permit("EDGE_OWN", "opening", Way.OPENING, (), "edge-opening", settings=EDGE_OPENS),
    Permit("EDGE_ALSO", "both", Way.CLOSING, (), "edge-shutting", settings=EDGE_BOTH),
    Permit("EDGE_ALSO", "both", Way.OPENING, (), "edge-opening", settings=EDGE_BOTH),
)
