"""A board on a bench of its own: a made-up gate in a few lines, so that whole cycles take milliseconds.

The gate here is not the plant: speed follows duty with a lag, current is what Ohm's law leaves after the
back-EMF, a stop or a body stands still. That is all a board can notice of a real one.
"""

from __future__ import annotations

from simgate.board import modes
from simgate.board.board import Board
from simgate.board.learn import Learned
from simgate.board.settings import Settings, Value
from simgate.board.signals import Acted, Note, NoteKind
from simgate.board.stimuli import ENDS, INPUTS, NORMALLY_CLOSED, Condition, Input, Key, Relay
from simgate.board.travel import BUCKETS, LeafTravel

VOLTS = 24.0
MADE, PARTED = 24.0, 0.0
BACK_EMF = 0.44  # V s per pulse: 50 pulses/s at full duty less friction
RESISTANCE = 1.0  # ohm
FRICTION = 2.0  # A needed to keep a leaf moving
LAG = 0.12  # s
RELIEF = 3.5  # A at which the relief valve of an oil drive opens


class FakeLeaf:
    """A leaf between two stops. place: pulses from shut. wired: 0 parted, -1 turned round.

    pace: how much faster it goes than usual, as with the wind. oil: at a stop its motor turns on behind a
    relief valve, at no more than 3.5 A. sensor: 1 or -1 for an absolute one that counts that way, 0 for
    none. ends: places from which on its shut and its open END switch act, None without. swapped: those two
    the wrong way round.
    """

    def __init__(self, travel: int, place: float = 0.0) -> None:
        self.travel = travel
        self.place = place
        self.speed = 0.0
        self.current = 0.0
        self.turned = 0.0
        self.low, self.high = 0.0, float(travel)
        self.wired = 1
        self.extra = 0.0  # A more than usual, as if something leaned on the leaf
        self.pace = 1.0
        self.oil = False
        self.sensor = 0
        self.ends: tuple[float, float] | None = None
        self.swapped = False

    def block(self, place: float) -> None:
        """Put a body in the way, on whichever side of the leaf `place` is."""
        self.low, self.high = (self.low, place) if place >= self.place else (place, self.high)

    def clear(self) -> None:
        """Take the body away."""
        self.low, self.high = 0.0, float(self.travel)

    def step(self, duty: float, limit: float) -> None:
        """One scan of 10 ms."""
        volts = duty * VOLTS * self.wired
        ceiling = min(limit, RELIEF) if self.oil else limit
        drive = max(-ceiling, min(ceiling, (volts - BACK_EMF * self.speed) / RESISTANCE))
        sign = (volts > 0) - (volts < 0)
        wanted = (volts - sign * min(abs(volts), (FRICTION + self.extra) * RESISTANCE)) / BACK_EMF
        self.speed += (wanted - self.speed) * 0.01 / LAG
        place = self.place + self.speed * self.pace * 0.01
        held = min(max(place, self.low), self.high)
        turned = abs(held - self.place)
        if held != place:
            self.speed = 0.0
            turned += abs(duty) if self.oil else 0.0
        self.turned += turned
        self.place = held
        self.current = drive * self.wired

    def told(self) -> int | None:
        """What its absolute sensor tells."""
        return 5_000 + self.sensor * round(self.place) if self.sensor else None

    def acting(self) -> tuple[bool, bool]:
        """Whether the END switches of the open and of the shut end act."""
        if self.ends is None:
            return False, False
        acts = self.place >= self.ends[1], self.place <= self.ends[0]
        return (acts[1], acts[0]) if self.swapped else acts


EDGE_AT_REST = 2.5  # V: 8.2 kohm on an 8.2 kohm pull-up to 5 V


class Rig:
    """A board with its fake gate, powered, every terminal healthy, at tick 0."""

    def __init__(self, mode: str = "Latch", learned: bool = True, leaves: int = 2, **given: Value) -> None:
        tables = modes.shipped_modes()
        chosen: dict[str, Value] = {"mode": mode, "leaves": leaves}
        chosen |= {key.replace("_", "-"): value for key, value in given.items()}
        self.settings = Settings(modes.facts(tables), chosen)
        self.board = Board(self.settings, tables)
        self.leaves = [FakeLeaf(700), FakeLeaf(680)][:leaves]
        self.tick = 0
        self.happened: list[Acted | Note] = []
        self.on_test: tuple[Input, ...] = ()  # guards whose transmitter hangs on TEST+
        self._test_was = True
        self._volts = {one: MADE if one in NORMALLY_CLOSED else PARTED for one in INPUTS}
        self._volts[Input.EDGE] = EDGE_AT_REST
        self.board.signals.powered = self.board.signals.on_mains = True
        self.board.signals.supply = VOLTS
        if learned:
            self.board.adopt(self.known())
        self.terminals()
        self.run(10)

    def known(self) -> Learned:
        """What a learn cycle would have found, with a level profile of 4 A."""
        profile = (4.0,) * BUCKETS
        travels = tuple(LeafTravel(leaf.travel, opening=profile, closing=profile) for leaf in self.leaves)
        return Learned(travels, tuple(self.settings.values().items()))

    def terminals(self, **volts: float) -> None:
        """Put voltages on terminals: STOP=0.0, GUARD_C=24.0."""
        for name, volt in volts.items():
            self._volts[Input[name]] = volt
        dark = () if self._test_was else self.on_test
        self.board.signals.volts = tuple(PARTED if one in dark else self._volts[one] for one in INPUTS)

    def run(self, ms: int) -> None:
        """Scan after scan for `ms`."""
        signals, outputs = self.board.signals, self.board.outputs
        for _ in range(ms // 10):
            for index, leaf in enumerate(self.leaves):
                leaf.step(outputs.duty[index], outputs.limits[index])
                signals.currents[index] = leaf.current
                signals.pulses[index] = int(leaf.turned)
                signals.places[index] = leaf.told()
                for end, acts in zip(ENDS[index], leaf.acting(), strict=True):
                    if leaf.ends is not None and (self._volts[end] == PARTED) is not acts:
                        self.terminals(**{end.name: PARTED if acts else MADE})
            if self.on_test and outputs.has(Relay.TEST) is not self._test_was:
                self._test_was = outputs.has(Relay.TEST)
                self.terminals()
            self.tick += 10
            self.board.scan(self.tick)
            self.happened += self.board.happened
            self.board.happened.clear()

    def now(self) -> Condition:
        """The condition. A call and not an attribute, which a type checker would take to stay as asked."""
        return self.board.condition

    def until(self, condition: Condition, ms: int = 60_000) -> int:
        """Run until the condition holds, and a moment on; returns the ms it took. Fails after `ms`."""
        start = self.tick
        while self.board.condition is not condition:
            self.run(10)
            assert self.tick - start < ms, f"still {self.board.condition} after {ms} ms"
        taken = self.tick - start
        self.run(10)
        return taken

    def tap(self, terminal: str, ms: int = 100) -> None:
        """Make a calling terminal for a moment."""
        self.terminals(**{terminal: MADE})
        self.run(ms)
        self.terminals(**{terminal: PARTED})
        self.run(ms)

    def key(self, key: Key, ms: int = 50) -> None:
        """Press a key of the Cabinet and let go."""
        self.hold(key)
        self.run(ms)
        self.let_go()
        self.run(20)

    def hold(self, key: Key) -> None:
        """Press a key and keep it down."""
        self.board.signals.keys = 1 << list(Key).index(key)

    def let_go(self) -> None:
        """Let go of all keys."""
        self.board.signals.keys = 0

    def notes(self, kind: NoteKind) -> list[str]:
        """Details of every note of one kind so far."""
        return [one.detail for one in self.happened if isinstance(one, Note) and one.kind is kind]

    def cells(self) -> list[Acted]:
        """Every cell that acted so far."""
        return [one for one in self.happened if isinstance(one, Acted)]
