"""What could be seen and heard: the Ticker's lines, worked out from what really happened.

A person at a gate learns from leaves, lamps, clicks and the display. Each line here comes from plant,
lamps or display, never from what the board believes: a leaf that the board thinks is opening while it
shuts is reported as shutting.
"""

from __future__ import annotations

from simgate.bench.record import Event, Sense
from simgate.board.board import Board
from simgate.board.signals import LEAVES
from simgate.board.stimuli import INPUTS
from simgate.plant.plant import Plant

TURNING = 0.002  # rad/s; a leaf slower than this is not seen to move
THUD = 50.0  # N on a stop that can be heard
FLASHING = 2000  # ms; a lamp dark for longer than this has stopped flashing


class Senses:
    """Notices changes between scans. `notice` returns the events of one scan, usually none."""

    __slots__ = ("_board", "_display", "_flashed", "_lamp", "_made", "_plant", "_pressing", "_touching", "_way")

    def __init__(self, plant: Plant, board: Board) -> None:
        self._plant = plant
        self._board = board
        self._made = board.made
        self._lamp = board.outputs.lamp
        self._flashed = -FLASHING
        self._display = board.display
        self._way = [0] * len(plant.leaves)
        self._pressing = [True] * len(plant.leaves)
        self._touching = [False] * len(plant.leaves)

    def notice(self, tick: int) -> list[Event]:
        """Events of the scan that ends at `tick` ms."""
        events: list[Event] = []
        for n, leaf in enumerate(self._plant.leaves):
            speed = leaf.speed
            way = 1 if speed > TURNING else -1 if speed < -TURNING else 0
            if way != self._way[n]:
                self._way[n] = way
                self._seen(events, tick, f"Leaf {LEAVES[n]} {_WAYS[way]}")
            if (leaf.stop_force > THUD) != self._pressing[n]:
                self._pressing[n] = not self._pressing[n]
                if self._pressing[n]:
                    events.append(Event(tick, Sense.HEARD, f"Leaf {LEAVES[n]} meets a stop"))
            if (leaf.body_force > 1.0) != self._touching[n]:
                self._touching[n] = not self._touching[n]
                if self._touching[n]:
                    self._seen(events, tick, f"Leaf {LEAVES[n]} pushes against the body in its way")
        board = self._board
        if board.made is not self._made and board.made != self._made:
            self._inputs(events, tick, board.made)
        if board.outputs.lamp != self._lamp:
            self._lamp = board.outputs.lamp
            if self._lamp and tick - self._flashed > FLASHING:
                self._seen(events, tick, "The lamp begins to flash")
            self._flashed = tick
        if board.display is not self._display and board.display != self._display:
            self._display = board.display
            events.append(Event(tick, Sense.SHOWN, " · ".join(line for line in board.display if line)))
        return events

    def _inputs(self, events: list[Event], tick: int, made: tuple[bool, ...]) -> None:
        for terminal, was, now in zip(INPUTS, self._made, made, strict=True):
            if was != now:
                events.append(Event(tick, Sense.SHOWN, f"{terminal.value} lamp {'lights' if now else 'goes out'}"))
        self._made = made

    @staticmethod
    def _seen(events: list[Event], tick: int, text: str) -> None:
        events.append(Event(tick, Sense.SEEN, text))


_WAYS = {1: "swings open", -1: "swings shut", 0: "stands still"}
