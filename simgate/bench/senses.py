"""What could be seen and heard: the Ticker's lines, worked out from what really happened.

A person at a gate learns from leaves, lamps, clicks and the display. Each line here comes from plant,
lamps or display, never from what the board believes: a leaf that the board thinks is opening while it
shuts is reported as shutting.
"""

from __future__ import annotations

from simgate.bench.passers import Passers
from simgate.bench.record import Event, Sense
from simgate.board.board import Board
from simgate.board.signals import LEAVES, Acted, Note, NoteKind
from simgate.board.stimuli import INPUTS
from simgate.plant.lock import Lock
from simgate.plant.plant import Plant
from simgate.plant.spec import LeafKind

# A leaf slower than this (rad/s or m/s) is seen to stand; less movement than that (rad or m), as when it
# springs back from a stop, is not noticed; and what its movement is called.
SLOWEST = {LeafKind.SWINGS: 0.002, LeafKind.SLIDES: 0.004}
MOVED = {LeafKind.SWINGS: (0.01, "swings"), LeafKind.SLIDES: (0.02, "rolls")}
THUD = 50.0  # N on a stop that can be heard
CLASH = "Leaf B strikes leaf A's overlap strip from the wrong side"
HUM = 2.0  # V across the coil of a lock, from which it can be heard
HUMS, DRAWS, FALLS = (
    "The coil of the lock hums",
    "The bolt of the lock draws",
    "The bolt of the lock falls in",
)
TOUCH = 1.0  # N on a body that can be noticed
FLASHING = 2000  # ms; a lamp dark for longer than this has stopped flashing


class Senses:
    """Notices changes between scans. `notice` returns the events of one scan, usually none."""

    __slots__ = (
        "_board",
        "_bolted",
        "_clashing",
        "_flashed",
        "_flashing",
        "_from",
        "_glowed",
        "_humming",
        "_lamp",
        "_leaves",
        "_lock",
        "_made",
        "_moved",
        "_passers",
        "_plant",
        "_pressing",
        "_slowest",
        "_steady",
        "_touching",
        "_way",
        "glows",
        "lit",
    )

    def __init__(self, plant: Plant, board: Board, passers: Passers) -> None:
        self._leaves = tuple(zip(range(len(LEAVES)), plant.leaves, strict=False))
        self._board = board
        self._passers = passers
        self._plant = plant
        self._clashing = plant.clash() > THUD
        self._lock = plant.lock
        self._bolted = plant.lock is not None and plant.lock.holds
        self._humming = plant.lock is not None and plant.lock.volts > HUM
        self._made = board.made
        self.lit = self._lamp = self._steady = self._flashing = False
        self.glows = self._glowed = False
        self._flashed = -FLASHING
        self._way = [0 for _ in plant.leaves]
        self._from = [leaf.place for leaf in plant.leaves]
        self._moved = [MOVED[leaf.kind] for leaf in plant.leaves]
        self._slowest = [SLOWEST[leaf.kind] for leaf in plant.leaves]
        self._pressing = [leaf.stop_force > THUD for leaf in plant.leaves]
        self._touching = [False for _ in plant.leaves]

    def notice(self, tick: int, happened: list[Acted | Note]) -> list[Event]:
        """Events of the scan that ends at `tick` ms, in which `happened` on the board."""
        events: list[Event] = []
        ways, slowest, pressing, touching = self._way, self._slowest, self._pressing, self._touching
        for n, leaf in self._leaves:
            if leaf.speed * ways[n] <= slowest[n]:  # else it goes on as it was seen to
                self._movement(events, tick, n, leaf.place)
            if (leaf.stop_force > THUD) is not pressing[n]:
                pressing[n] = not pressing[n]
                if pressing[n]:
                    events.append(Event(tick, Sense.HEARD, f"Leaf {LEAVES[n]} meets a stop"))
            if (leaf.body_force > TOUCH) is not touching[n]:
                touching[n] = not touching[n]
                if touching[n] and self._passers.meets_body(n):  # who is struck has told it already
                    self._seen(events, tick, f"Leaf {LEAVES[n]} pushes against the body in its way")
        if (self._plant.clash() > THUD) is not self._clashing:
            self._clashing = not self._clashing
            if self._clashing:
                events.append(Event(tick, Sense.HEARD, CLASH))
        lock = self._lock
        if lock is not None and (lock.holds is not self._bolted or (lock.volts > HUM) is not self._humming):
            self._bolt(events, tick, lock)
        board = self._board
        if board.made is not self._made:
            self._inputs(events, tick, board.made)
        if self.lit is not self._lamp:
            self._lamp = self.lit
            self._light_up(events, tick)
        if self._flashing and not board.lamp_flashes():
            self._flashing = False
            if tick - self._flashed < FLASHING:  # else it went dark before, and was seen to flash no more
                self._seen(events, tick, "The lamp stops flashing")
        if self.glows is not self._glowed:
            self._glowed = self.glows
            self._seen(events, tick, f"The courtesy light goes {'on' if self.glows else 'off'}")
        for item in happened:
            if isinstance(item, Note) and item.kind is NoteKind.DISPLAY:
                events.append(Event(tick, Sense.SHOWN, _read_out(item.detail)))
        return events

    def _movement(self, events: list[Event], tick: int, n: int, place: float) -> None:
        """A leaf is seen to move once it has gone a little way, and to stand when it no longer goes."""
        moved, (least, word) = place - self._from[n], self._moved[n]
        if self._way[n]:
            self._way[n] = 0
            self._from[n] = place
            self._seen(events, tick, f"Leaf {LEAVES[n]} stands still")
        elif moved > least or moved < -least:
            self._way[n] = 1 if moved > 0.0 else -1
            self._seen(events, tick, f"Leaf {LEAVES[n]} {word} {'open' if moved > 0.0 else 'shut'}")

    def _bolt(self, events: list[Event], tick: int, lock: Lock) -> None:
        """What is heard of the lock: its coil while it is fed, and its bolt either way."""
        if (lock.volts > HUM) is not self._humming:
            self._humming = not self._humming
            if self._humming:
                events.append(Event(tick, Sense.HEARD, HUMS))
        if lock.holds is not self._bolted:
            self._bolted = lock.holds
            events.append(Event(tick, Sense.HEARD, FALLS if lock.holds else DRAWS))

    def _light_up(self, events: list[Event], tick: int) -> None:
        """The lamp lights or goes dark: steadily, or once of many times while its relay clicks on and off."""
        flashes, steady = self._board.lamp_flashes(), self._steady
        self._steady = self._lamp and not flashes
        if self._steady:
            self._seen(events, tick, "The lamp lights")
        elif self._lamp and tick - self._flashed > FLASHING:
            self._seen(events, tick, "The lamp begins to flash")
            self._flashing = True
        elif not self._lamp and steady:
            self._seen(events, tick, "The lamp goes dark")
        self._flashed = tick

    def _inputs(self, events: list[Event], tick: int, made: tuple[bool, ...]) -> None:
        for terminal, was, now in zip(INPUTS, self._made, made, strict=True):
            if was != now:
                events.append(Event(tick, Sense.SHOWN, lamp_words(terminal.value, now)))
        self._made = made

    @staticmethod
    def _seen(events: list[Event], tick: int, text: str) -> None:
        events.append(Event(tick, Sense.SEEN, text))


def lamp_words(terminal: str, lights: bool) -> str:
    """What the lamp beside an input terminal does, in words."""
    return f"{terminal} lamp {'lights' if lights else 'goes out'}"


def _read_out(detail: str) -> str:
    """The display's two lines as one; a sentence that runs on into the second line stays a sentence."""
    first, _, second = detail.partition(" | ")
    if not second:
        return first or "The display goes dark"
    return f"{first} {second}" if second[0].islower() else f"{first} · {second}"
