"""From what the gate should do to orders for its leaves: speeds, force, delays, slow-down, give-way.

The two leaves of an overlapped gate must keep their order, B's edge lying under A's: A leaves first and
comes last. Everything else about a movement comes from settings and from what was learned.
"""

from __future__ import annotations

from dataclasses import replace

from simgate.board.counters import COUNTERS, Counter, Reckoned
from simgate.board.leaf import SCAN_MS, Event, LeafDrive
from simgate.board.signals import LEAVES, Acted, Note, NoteKind, Outputs, Signals
from simgate.board.stimuli import ENDS, INPUTS, Way
from simgate.board.travel import FAR, LeafTravel, Move
from simgate.board.tuning import RATED_AMPERES, EndUse, Sensing, Tuning

JOG_PERCENT = 40.0  # most force that a jog may use
GIVE_WAY_MS = 1_000  # how long a leaf backs off an obstacle that it met opening
ABOUT = 0.04  # share of a leaf's travel from shut that is 'about shut', to the eye
NEAR = 0.0025  # share of the travel at its end in which standing still is arriving: some 10 mm at the edge
NEAR_LEAST = 4  # counts; a stop was met again at -2 to 1 pulses, of 1056 and 1830, in 420 healthy movements
OVERRUN = 2  # times NEAR past a stop that a leaf may come to stand: it springs, and counts round
MISSED = 0.05  # share of the travel past an END switch that has not acted
RECKONED = 0.1  # share of the travel by which a reckoned place may be wrong before it is no longer believed
PROVING = 0.35  # the same while a learn cycle has still to find how fast the leaf really goes
CREPT = 0.4  # share of the travel that such a leaf creeps in the proof
CLEAR = 0.15  # share of A's travel beyond which B is no longer under it
LEAD = 0.05  # share of the travel by which A is ahead of a B that may open beside it


def driving(index: int, way: Way) -> str:
    """A leaf's movement in words, for the log: 'A opening'."""
    return f"{LEAVES[index]} {way.name.lower()}"


class Drive:
    """All leaves. travels: what is learned of each leaf, None when nothing is.

    at_fault: index of the leaf that the last event other than ARRIVED came from. unput: a leaf has
    begun or ended to be driven, and `put` has not told of it. counter: where the leaves' counts come
    from. proving: a learn cycle makes its proof.
    """

    def __init__(self, happened: list[Acted | Note], tuned: Tuning) -> None:
        self.tuned = tuned
        self.travels: tuple[LeafTravel, ...] | None = None
        self.leaves = tuple(LeafDrive(name) for name in LEAVES)
        self.counter: Counter = COUNTERS[tuned.sensing]()
        self.at_fault = 0
        self.unput = False
        self.proving = False
        self._happened = happened
        self._noted = [0] * len(self.leaves)
        self._give_way_until: int | None = None
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
        if travels is not None and index < len(travels) and self._switch(index, way) is EndUse.STOP:
            self.leaves[index].position.refer(travels[index].travel if way is Way.OPENING else 0)

    def _switch(self, index: int, way: Way) -> EndUse:
        return self.tuned.each[index].ends[way]

    # Orders ---------------------------------------------------------------------------------------

    def open(self, tick: int) -> None:
        """Open every leaf: A first, B after the delay unless A is out of its way already."""
        self._forget_plans()
        self.leaves[0].go(self._move(0, Way.OPENING), tick)
        if self.tuned.leaves > 1:
            delay = 0 if self._a_is_clear() else self._delay(Way.OPENING)
            self.leaves[1].go(self._move(1, Way.OPENING), tick, delay)

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
        self._give_way_until = None
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

    def ways(self) -> tuple[Way, ...]:
        """The directions ordered now, waiting leaves included."""
        return tuple(dict.fromkeys([leaf.move.way for leaf in self.leaves if leaf.move is not None]))

    def sure(self, index: int) -> bool:
        """Whether a leaf's place is known and means something, and nothing contradicts it."""
        return self.travels is not None and self.leaves[index].position.sure

    def all_known(self) -> bool:
        """Whether every leaf's place is known beyond doubt; until then the gate moves slowly."""
        return all(self.sure(index) for index in range(self.tuned.leaves))

    def shut(self) -> bool:
        """Whether every leaf is known to be shut."""
        return self.all_known() and all(self._count_share(i) <= ABOUT for i in range(self.tuned.leaves))

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
            self._give_way_until, self._a_follows, self.at_fault, self.proving, self.counter.state(), *leaves,
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

    # Moves ----------------------------------------------------------------------------------------

    def _count_share(self, index: int) -> float:
        """Place of a leaf as a share of its travel; 0 when not known."""
        if self.travels is None or not self.leaves[index].position.known:
            return 0.0
        return self.leaves[index].position.count / self.travels[index].travel

    def _opened(self, index: int) -> bool:
        """Whether a leaf stands where it last stopped opening: at the open stop, as far as one can tell."""
        position = self.leaves[index].position
        if self.travels is None or position.anchor is None or position.sign < 0:
            return False
        return abs(position.count - position.anchor) <= 2 * self._near(index)

    def _a_is_clear(self) -> bool:
        """Whether B may open now: A is out of its way, or far enough ahead to stay so."""
        a, b = self._count_share(0), self._count_share(1)
        return self.sure(0) and (a > CLEAR or (self.leaves[1].position.known and a > b + LEAD))

    def _delay(self, way: Way) -> int:
        """ms by which one leaf leads; longer for slow leaves, so that it leads by as much."""
        tuned = self.tuned
        leads = tuned.each[0 if way is Way.OPENING else 1]
        slower = 1.0 if self.all_known() else max(1.0, tuned.speeds[way] / leads.slow)
        return round(tuned.delays[way] * slower)

    def _creeping(self, index: int, way: Way, home: int | None = None) -> Move:
        leaf, soft_start = self.tuned.each[index], self.tuned.soft_start
        return Move(
            way, leaf.slow, leaf.slow, leaf.limits[way], soft_start, home=home, switch=leaf.ends[way],
        )  # fmt: skip

    def _move(self, index: int, way: Way, part: float = 1.0) -> Move:
        tuned, leaf = self.tuned, self.tuned.each[index]
        opening = way is Way.OPENING
        if self.travels is None:
            return self._creeping(index, way, None if opening else 0)
        learned, position = self.travels[index], self.leaves[index].position
        timed = tuned.sensing is Sensing.TIME
        near = self._near(index)
        slow = min(leaf.slow, tuned.speeds[way])
        switch = leaf.ends[way]
        slows = (learned.open_slow if opening else learned.shut_slow) if switch is EndUse.SLOW else 0
        marked = learned.open_marked if opening else learned.shut_marked
        over = OVERRUN * near
        if switch is EndUse.STOP:
            over = max(over, round(learned.travel * MISSED))
        elif timed:
            over = self._run_on(index, way, slow)
        if timed and self.proving:
            over = learned.travel
        profile = learned.opening if opening else learned.closing
        move = Move(
            way=way,
            cruise=tuned.speeds[way] if self.all_known() else slow,
            slow=slow,
            limit=leaf.limits[way],
            soft_start=tuned.soft_start,
            goal=round(learned.travel * part) if opening else 0,
            exact=part < 1.0 or (marked and switch is not EndUse.STOP and not (timed and tuned.run_on)),
            zone=self._zone(index, slows),
            near=near,
            home=learned.travel if opening else 0,
            least=FAR if opening and learned.open_marked else learned.travel - 2 * near,
            most=FAR if learned.open_marked or learned.shut_marked else learned.travel + 2 * near,
            profile=() if position.doubted else profile,
            margin=tuned.margin,
            travel=learned.travel,
            over=over,
            timed=timed,
            switch=switch,
            slow_at=(learned.travel - slows if opening else slows) if slows else None,
        )
        return move if position.known else move.searching()

    def _zone(self, index: int, slows: int) -> int:
        """Way before the goal that is driven slowly. Behind a switch that was to begin it, to be safe."""
        assert self.travels is not None
        length, near = self.tuned.each[index].slow_length, self._near(index)
        if self.proving and self.tuned.sensing is Sensing.TIME:
            length = max(length, CREPT)
        elif slows:
            return max(slows - OVERRUN * near, 0)
        return round(self.travels[index].travel * length)

    def _near(self, index: int) -> int:
        assert self.travels is not None
        share = NEAR
        if self.tuned.sensing is Sensing.TIME:
            share = PROVING if self.proving else RECKONED
        return max(NEAR_LEAST, round(self.travels[index].travel * share))

    def _run_on(self, index: int, way: Way, slow: float) -> int:
        """Counts for which a reckoned leaf is driven on past its goal."""
        counter = self.counter
        pace = counter.pace(index, way, slow) if isinstance(counter, Reckoned) else 0.0
        return round(self.tuned.run_on / SCAN_MS * pace)
