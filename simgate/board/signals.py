"""What crosses between the board and the rest of the world in one scan, and nothing more.

The board sees voltages, currents and pulses; it gives voltages and relay states. If it could see
more (an angle, a fault's name), faults would not behave as they do in life.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.stimuli import Condition, Response, Stimulus

LEAVES = ("A", "B")


class Signals:
    """The board's own view in one scan. One object, rewritten by the bench before each `Board.scan`.

    volts: input terminal to 0 V, in the order of `INPUTS`; the *same* tuple while nothing changed.
    currents: measured motor current per leaf, ampere, signed as driven (positive: opening polarity).
    pulses: motor pulses since power-on per leaf, a running count without direction.
    keys: bit set of pressed keys, bit n for the n-th member of `Key`.
    """

    __slots__ = ("currents", "keys", "powered", "pulses", "volts")

    def __init__(self) -> None:
        self.volts: tuple[float, ...] = (0.0,) * 5
        self.currents: list[float] = [0.0, 0.0]
        self.pulses: list[int] = [0, 0]
        self.keys = 0
        self.powered = False


class Outputs:
    """What the board drives. One object, rewritten by `Board.scan` and read by the bench.

    duty: share of the supply put on each motor, -1 to 1, positive opening polarity.
    limits: ceiling of each motor's current, ampere.
    lamp: flashing lamp relay.
    """

    __slots__ = ("duty", "lamp", "limits")

    def __init__(self) -> None:
        self.duty: list[float] = [0.0, 0.0]
        self.limits: list[float] = [0.0, 0.0]
        self.lamp = False


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
