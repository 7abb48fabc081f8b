"""What crosses between the board and the rest of the world in one scan, and nothing more.

The board sees voltages, currents and pulses; it gives voltages and relay states. If it could see
more (an angle, a fault's name), faults would not behave as they do in life.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from simgate.board.line import SILENT, LineHeard
from simgate.board.radio import NOTHING, Air
from simgate.board.stimuli import INPUTS, Condition, Relay, Response, Stimulus

LEAVES = ("A", "B")


class Signals:
    """The board's own view in one scan. One object, rewritten by the bench before each `Board.scan`.

    volts: input terminal to 0 V, in the order of `INPUTS`; the *same* tuple while nothing changed.
    currents: measured motor current per leaf, ampere, signed as driven (positive: opening polarity).
    pulses: motor pulses since power-on per leaf, a running count without direction; they stand still
    while the encoder of the leaf is not heard.
    places: what a leaf's absolute encoder tells, counts that rise as the leaf opens (from no particular
    zero); None where none is heard.
    supply: V at the board's own bus. on_mains: the supply comes from the mains, not from a battery. Both
    change only together with a new tuple of `volts`.
    keys: bit set of pressed keys, bit n for the n-th member of `Key`.
    ripple: whether a driven bridge sees the ripple of its own switching in its current. It is there with any
    closed motor circuit, also while wind carries the leaf and the mean current is none; an open one has none.
    line: what the line answers, heard: the codes on the air; each the *same* object while nothing changed.
    """

    __slots__ = (
        "currents", "heard", "keys", "line", "on_mains", "places", "powered", "pulses", "ripple",
        "supply", "volts",
    )  # fmt: skip

    def __init__(self) -> None:
        self.volts: tuple[float, ...] = (0.0,) * len(INPUTS)
        self.currents: list[float] = [0.0, 0.0]
        self.pulses: list[int] = [0, 0]
        self.places: list[int | None] = [None, None]
        self.ripple: list[bool] = [False, False]
        self.supply = 0.0
        self.on_mains = False
        self.keys = 0
        self.line: LineHeard = SILENT
        self.heard: Air = NOTHING
        self.powered = False


class Outputs:
    """What the board drives. One object, rewritten by `Board.scan` and read by the bench.

    duty: share of the supply put on each motor, -1 to 1, positive opening polarity.
    limits: ceiling of each motor's current, ampere.
    relays: bit set of the `Relay`s that are made.
    """

    __slots__ = ("duty", "limits", "relays")

    def __init__(self) -> None:
        self.duty: list[float] = [0.0, 0.0]
        self.limits: list[float] = [0.0, 0.0]
        self.relays = 0

    def put(self, relay: Relay, on: bool) -> None:
        """Make or open one relay."""
        bit = relay._value_  # what .value reads by a call of Python
        self.relays = self.relays | bit if on else self.relays & ~bit

    def has(self, relay: Relay) -> bool:
        """Whether one relay is made."""
        return bool(self.relays & relay.value)


@dataclass(frozen=True, slots=True)
class Acted:
    """The cell of a table that acted: in `condition`, `stimulus` came and `response` was given.

    refused says in trade words why a movement was not allowed ('GUARD-C is open'), else ''.
    """

    tick: int
    condition: Condition
    stimulus: Stimulus
    response: Response
    after: Condition
    common: bool
    refused: str = ""


class NoteKind(Enum):
    """What else the board did that marks and Ticker need to know, beside the cells that acted."""

    MOVING = "moving"  # a leaf is driven: detail 'A opening'
    RESTING = "resting"  # a leaf is no longer driven: detail 'A'
    JOG = "jog"  # detail 'A opening'
    LEARN_STARTED = "learn started"
    LEARN_STEP = "learn step"  # detail in plain words
    LEARN_DONE = "learn done"
    LEARN_ABORTED = "learn aborted"  # detail: the plain message
    SETTING_KEPT = "setting kept"  # detail 'pause = 20'
    RESET = "settings reset"
    STALE = "learn is stale"
    PAUSE = "pause"  # detail 'started', 'restarted', 'shortened', 'cut short', 'over'
    REFUSED = "refused"  # a movement not allowed; detail names the terminal in plain words
    DISPLAY = "display"  # detail: the new two lines joined by ' | '
    POWER = "power"  # detail 'on' or 'off'
    BATTERY = "battery"  # the gate goes where a low battery is to find it: 'Battery low: will not shut'
    SERVICE = "service done"  # detail: cycles so far
    TEST = "self-test"  # a guard's test comes out otherwise than before: 'GUARD-C stayed made'
    ROLL_CALL = "roll-call"  # detail: what it found, '2 beams found'
    KEY_TAUGHT = "remote key taught"  # detail '210417 key 2 = part call'
    KEY_ERASED = "remote key erased"  # detail '210417 key 2'
    CODE_REFUSED = "code refused"  # detail in plain words


@dataclass(frozen=True, slots=True)
class Note:
    """One such happening at `tick` ms."""

    tick: int
    kind: NoteKind
    detail: str
