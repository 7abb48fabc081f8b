"""From what the gate should do to orders for its leaves: speeds, force, delays, slow-down, give-way.

The two leaves of an overlapped gate must keep their order, B's edge lying under A's: A leaves first and
comes last. Everything else about a movement comes from settings and from what was learned.
"""

from __future__ import annotations

from dataclasses import replace

from simgate.board.arrival import Event
from simgate.board.counters import COUNTERS
from simgate.board.leaf import REVERSE_MS
from simgate.board.moves import ABOUT, Moves
from simgate.board.signals import LEAVES, Acted, Note, NoteKind, Outputs, Signals
from simgate.board.stimuli import ENDS, INPUTS, Way
from simgate.board.travel import LeafTravel
from simgate.board.tuning import RATED_AMPERES, EndUse, Tuning

JOG_PERCENT = 40.0  # most force that a jog may use
GIVE_WAY_MS = 1_000  # how long a leaf backs off what it met


def driving(index: int, way: Way) -> str:
    """A leaf's movement in words, for the log: 'A opening'."""
    return f"{LEAVES[index]} {way.name.lower()}"


class Drive(Moves):
    """All leaves. at_fault: index of the leaf that the last event other than ARRIVED came from.

    unput: a leaf has begun or ended to be driven, and `put` has not told of it. relieving: leaves have just
    turned round from shutting, and whoever they may press is not let go yet.
    """

    def __init__(self, happened: list[Acted | Note], tuned: Tuning) -> None:
        super().__init__(tuned)
        self.at_fault = 0
        self.unput = False
        self._happened = happened
        self._noted = [0] * len(self.leaves)
        self._give_way_until: int | None = None
        self._relief_until: int | None = None
        self._a_follows = False  # A is to shut once B is there

    # What is known --------------------------------------------------------------------------------

    def tune(self, tuned: Tuning, signals: Signals) -> None:
        """Take other settings over. Another sensing counts something else: every place is lost."""
        other = tuned.sensing is not self.tuned.sensing
        self.tuned = tuned
        if other:
            self.counter = COUNTERS[tuned.sensing]()
            self.take(None)
            for leaf, raw in zip(self.leaves, self.counter.read(signals, self.leaves), strict=True):
                leaf.position.lose(raw)

    def take(self, travels: tuple[LeafTravel, ...] | None) -> None:
        """Go by what was learned from now on."""
        if travels is not self.travels:
            self.travels = travels
            self.counter.learned(travels, self.leaves)

    def look(self, made: tuple[bool, ...], tick: int) -> None:
        """Tell each leaf how its END switches stand; a leaf at rest on one that ends movements is there."""
        for index, leaf in enumerate(self.leaves):
            opened, shut = (
                use is not EndUse.NONE and made[INPUTS.index(end)] is not self.tuned.ends_open
                for end, use in zip(ENDS[index], self.tuned.each[index].ends.values(), strict=True)
            )
            leaf.see(opened, shut, tick)
            if opened is not shut and self.travels and not leaf.sign and not leaf.position.known:
                self._found(index, Way.OPENING if opened else Way.CLOSING)

    def _found(self, index: int, way: Way) -> None:
        """A leaf of unknown place stands on the END switch of one end."""
        travels = self.travels
        if travels is not None and index < len(travels) and self.tuned.each[index].ends[way] is EndUse.STOP:
            self.leaves[index].position.refer(travels[index].travel if way is Way.OPENING else 0)

    # Orders ---------------------------------------------------------------------------------------

    def open(self, tick: int) -> None:
        """Open every leaf: A first, B after the delay unless A is out of its way already."""
        relief = self._relief_until
        self._forget_plans()
        self._relief_until = relief  # who goes on opening in the middle of it has not let go yet
        self.leaves[0].go(self._move(0, Way.OPENING), tick)
        if self.tuned.leaves > 1:
            delay = 0 if self._a_is_clear() else self._delay(Way.OPENING)
            self.leaves[1].go(self._move(1, Way.OPENING), tick, delay)

    def turn(self, tick: int, met: bool = False, every: bool = False) -> None:
        """Open, after shutting: the leaves that were driven may press somebody, who is let go first.

        That lasts until the leaf at fault has backed off, where something was `met`, or `every` leaf, though
        it wait for the other; else as long as a leaf takes that waits for none.
        """
        shutting = [leaf for leaf in self.leaves if leaf.driven]
        pressing = [leaf for leaf in shutting if every or (met and leaf is self.leaves[self.at_fault])]
        self.open(tick)
        if shutting:
            starts = [leaf.start_at for leaf in pressing]
            self._relief_until = max(starts, default=tick + REVERSE_MS) + GIVE_WAY_MS

    def leave(self, tick: int) -> None:
        """Stop; but leaves that have just turned round first back off what they may press."""
        until = self._relief_until
        if until is None:
            self.stop(tick)
            return
        for index, leaf in enumerate(self.leaves):
            if leaf.sign:
                start = leaf.start_at
                leaf.go(self._creeping(index, Way.OPENING), tick)
                leaf.start_at = start
        self._give_way_until = until
        self.unput = True

    def part(self, tick: int) -> None:
        """Open leaf A to the part width."""
        self._forget_plans()
        self.leaves[0].go(self._move(0, Way.OPENING, self.tuned.part_width), tick)

    def close(self, tick: int) -> None:
        """Shut every leaf: B first, A after the delay; once B is there when nobody knows which is ahead.

        A leaf that should be shut is ordered too: it says so at once, or was not.
        """
        self._forget_plans()
        pair = self.tuned.leaves > 1
        if pair:
            self.leaves[1].go(self._move(1, Way.CLOSING), tick)
        self._a_follows = pair and not (self.all_known() or (self._opened(0) and self._opened(1)))
        if self._a_follows:
            self.leaves[0].stop(tick)
            return
        b_shut = not pair or (self.sure(1) and self._count_share(1) <= ABOUT)
        self.leaves[0].go(self._move(0, Way.CLOSING), tick, 0 if b_shut else self._delay(Way.CLOSING))

    def creep(self, index: int, way: Way, tick: int) -> None:
        """Drive one leaf slowly until a stop is met, learning nothing from where that is."""
        self.leaves[index].go(self._creeping(index, way), tick)

    def jog(self, index: int, way: Way, tick: int) -> None:
        """Drive one leaf slowly with little force, as long as a hand holds it there."""
        limit = min(self.tuned.each[index].limits[way], JOG_PERCENT / 100.0 * RATED_AMPERES)
        move = replace(self._move(index, way).searching(), limit=limit, exact=False)
        self.leaves[index].go(move, tick)

    def give_way(self, tick: int, every: bool = False) -> None:
        """Stop, and let the leaf at fault, or every leaf that was driven, back off a little."""
        leaves = [leaf for leaf in self.leaves if leaf.driven] if every else [self.leaves[self.at_fault]]
        self.stop(tick)
        for leaf in leaves:
            leaf.go(self._creeping(self.leaves.index(leaf), Way.CLOSING), tick)
            self._give_way_until = leaf.start_at + GIVE_WAY_MS

    def stop(self, tick: int) -> None:
        """Drive nothing, and forget every order."""
        self._forget_plans()
        self.unput = True
        for leaf in self.leaves:
            leaf.stop(tick)

    def pressed(self) -> None:
        """The leaves were pressed shut a moment: one that is known to stand there does, and springs open."""
        for index in range(self.tuned.leaves):
            position = self.leaves[index].position
            if self.sure(index) and abs(position.count) <= 2 * self._near(index):
                position.pressed()

    def clear(self) -> None:
        """As after power-up: no orders, no leaf's place known."""
        self._forget_plans()
        for leaf in self.leaves:
            leaf.clear()
            leaf.position.lose(leaf.position.raw)

    def start(self, signals: Signals, made: tuple[bool, ...], tick: int) -> None:
        """Power came: counts go on from here, and what a sensor or an END switch tells is known at once."""
        for leaf, raw in zip(self.leaves, self.counter.read(signals, self.leaves), strict=True):
            leaf.position.raw = raw
            leaf.coast(tick)
        self.counter.learned(self.travels, self.leaves)
        self.look(made, tick)

    def lose_place(self) -> None:
        """No leaf's place is known any more."""
        for leaf in self.leaves:
            leaf.position.lose(leaf.position.raw)
        self.counter.learned(self.travels, self.leaves)

    def _forget_plans(self) -> None:
        self._give_way_until = self._relief_until = None
        self._a_follows = False

    # Questions ------------------------------------------------------------------------------------

    @property
    def fault_name(self) -> str:
        """Letter of the leaf at fault."""
        return self.leaves[self.at_fault].name

    @property
    def astray(self) -> bool:
        """Whether the leaf at fault may be anywhere, so that what it met may be its stop."""
        return not self.leaves[self.at_fault].position.known

    @property
    def quiet(self) -> bool:
        """No leaf has an order."""
        return not (self.leaves[0].sign or self.leaves[1].sign)

    @property
    def relieving(self) -> bool:
        """Whether leaves that turned round from shutting have not backed off yet."""
        return self._relief_until is not None

    def ways(self) -> tuple[Way, ...]:
        """The directions ordered now, waiting leaves included."""
        return tuple(dict.fromkeys([leaf.move.way for leaf in self.leaves if leaf.move is not None]))

    def shut(self) -> bool:
        """Whether every leaf is known to be shut."""
        return self.all_known() and all(self._count_share(i) <= ABOUT for i in range(self.tuned.leaves))

    def wide(self) -> bool:
        """Whether every leaf is known to stand open."""
        return self.all_known() and all(self._count_share(i) >= 1 - ABOUT for i in range(self.tuned.leaves))

    def away(self) -> bool:
        """Whether any leaf is known to stand away from shut."""
        return any(
            self.leaves[index].position.away(round(ABOUT * self.travels[index].travel) if self.travels else 8)
            for index in range(self.tuned.leaves)
        )

    def state(self) -> tuple[object, ...]:
        """Everything that the next scans depend on."""
        leaves = (leaf.state() for leaf in self.leaves)
        return (
            self._give_way_until, self._relief_until, self._a_follows, self.at_fault, self.proving,
            self.counter.state(), *leaves,
        )  # fmt: skip

    # One scan -------------------------------------------------------------------------------------

    def scan(self, tick: int, signals: Signals, outputs: Outputs) -> Event | None:
        """Step every leaf and write the outputs. ARRIVED once all are there; any other event at once."""
        event: Event | None = None
        counts, currents = self.counter.read(signals, self.leaves), signals.currents
        heard = self.counter.heard
        for index, leaf in enumerate(self.leaves):
            move = leaf.move
            came = leaf.step(tick, counts[index], currents[index])
            outputs.duty[index] = leaf.duty
            if leaf.driven != self._noted[index]:
                self.unput = True
            if came is None or move is None:
                if leaf.driven and not heard[index]:
                    event = self._deaf(index)
                    break
                continue
            event = came
            if came is Event.DEAD and signals.ripple[index]:
                event = came = Event.DEAF  # its circuit is closed: what is missing is the count
            if came is not Event.ARRIVED:
                self.at_fault = index
                break
            leaf.stop(tick)
            self.unput = True
            if index and self._a_follows:
                self._a_follows = False
                self.leaves[0].go(self._move(0, Way.CLOSING), tick)
        if self._give_way_until is not None:
            if event is not None or tick >= self._give_way_until:
                self.stop(tick)
            return None
        if self._relief_until is not None and (tick >= self._relief_until or self.quiet):
            self._relief_until = None
        return event if event is not Event.ARRIVED or self.quiet else None

    def _deaf(self, index: int) -> Event:
        self.at_fault = index
        return Event.DEAF

    def put(self, tick: int, outputs: Outputs) -> None:
        """Write the outputs, and note each leaf that starts or ends being driven."""
        self.unput = False
        for index, leaf in enumerate(self.leaves):
            outputs.duty[index] = leaf.duty
            outputs.limits[index] = leaf.limit
            driven = leaf.driven
            if driven != self._noted[index]:
                self._noted[index] = driven
                kind = NoteKind.MOVING if driven else NoteKind.RESTING
                text = driving(index, Way(driven)) if driven else leaf.name
                self._happened.append(Note(tick, kind, text))
