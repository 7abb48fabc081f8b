"""From what the gate should do to orders for its leaves: speeds, force, delays, slow-down, give-way.

The two leaves of an overlapped gate must keep their order, B's edge lying under A's: A leaves first and
comes last. Everything else about a movement comes from settings and from what was learned.
"""

from __future__ import annotations

from dataclasses import replace

from simgate.board.leaf import Event, LeafDrive
from simgate.board.signals import LEAVES, Acted, Note, NoteKind, Outputs, Signals
from simgate.board.stimuli import Way
from simgate.board.travel import FAR, LeafTravel, Move
from simgate.board.tuning import RATED_AMPERES, Tuning

JOG_PERCENT = 40.0  # most force that a jog may use
GIVE_WAY_MS = 1_000  # how long a leaf backs off an obstacle that it met opening
ABOUT = 0.04  # share of a leaf's travel from shut that is 'about shut', to the eye
NEAR = 0.0025  # share of the travel at its end in which standing still is arriving: some 10 mm at the edge
NEAR_LEAST = 4  # pulses; a stop was met again at -2 to 1 pulses, of 1056 and 1830, in 420 healthy movements
CLEAR = 0.15  # share of A's travel beyond which B is no longer under it
LEAD = 0.05  # share of the travel by which A is ahead of a B that may open beside it


def driving(index: int, way: Way) -> str:
    """A leaf's movement in words, for the log: 'A opening'."""
    return f"{LEAVES[index]} {way.name.lower()}"


class Drive:
    """All leaves. travels: what is learned of each leaf, None when nothing is.

    at_fault: index of the leaf that the last event other than ARRIVED came from. unput: a leaf has
    begun or ended to be driven, and `put` has not told of it.
    """

    def __init__(self, happened: list[Acted | Note], tuned: Tuning) -> None:
        self.tuned = tuned
        self.travels: tuple[LeafTravel, ...] | None = None
        self.leaves = tuple(LeafDrive(name) for name in LEAVES)
        self.at_fault = 0
        self.unput = False
        self._happened = happened
        self._noted = [0] * len(self.leaves)
        self._give_way_until: int | None = None
        self._a_follows = False  # A is to shut once B is there

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
        self.leaves[index].go(self._creeping(way), tick)

    def jog(self, index: int, way: Way, tick: int) -> None:
        """Drive one leaf slowly with little force, as long as a hand holds it there."""
        limit = min(self.tuned.limits[way], JOG_PERCENT / 100.0 * RATED_AMPERES)
        move = replace(self._move(index, way).searching(), limit=limit, exact=False)
        self.leaves[index].go(move, tick)

    def give_way(self, tick: int, every: bool = False) -> None:
        """Stop, and let the leaf at fault, or every leaf that was driven, back off a little."""
        leaves = [leaf for leaf in self.leaves if leaf.driven] if every else [self.leaves[self.at_fault]]
        self.stop(tick)
        for leaf in leaves:
            leaf.go(self._creeping(Way.CLOSING), tick)
            self._give_way_until = leaf.start_at + GIVE_WAY_MS

    def stop(self, tick: int) -> None:
        """Drive nothing, and forget every order."""
        self._forget_plans()
        self.unput = True
        for leaf in self.leaves:
            leaf.stop(tick)

    def clear(self, pulses: list[int]) -> None:
        """As after power-up: no orders, no leaf's place known."""
        self._forget_plans()
        for leaf, raw in zip(self.leaves, pulses, strict=True):
            leaf.clear()
            leaf.position.lose(raw)

    def count_from(self, pulses: list[int]) -> None:
        """As before power-up: what the pulse counts were before means nothing."""
        for leaf, raw in zip(self.leaves, pulses, strict=True):
            leaf.position.raw = raw

    def lose_place(self) -> None:
        """No leaf's place is known any more."""
        for leaf in self.leaves:
            leaf.position.lose(leaf.position.raw)

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
        return tuple(dict.fromkeys(Way(leaf.sign) for leaf in self.leaves if leaf.sign))

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
        return (self._give_way_until, self._a_follows, self.at_fault, *leaves)

    # One scan -------------------------------------------------------------------------------------

    def scan(self, tick: int, signals: Signals, outputs: Outputs) -> Event | None:
        """Step every leaf and write the outputs. ARRIVED once all are there; any other event at once."""
        event: Event | None = None
        pulses, currents = signals.pulses, signals.currents
        for index, leaf in enumerate(self.leaves):
            move = leaf.move
            came = leaf.step(tick, pulses[index], currents[index])
            outputs.duty[index] = leaf.duty
            if leaf.driven != self._noted[index]:
                self.unput = True
            if came is None or move is None:
                continue
            event = came
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
        return abs(position.count - position.anchor) <= 2 * _near(self.travels[index])

    def _a_is_clear(self) -> bool:
        """Whether B may open now: A is out of its way, or far enough ahead to stay so."""
        a, b = self._count_share(0), self._count_share(1)
        return self.sure(0) and (a > CLEAR or (self.leaves[1].position.known and a > b + LEAD))

    def _delay(self, way: Way) -> int:
        """ms by which one leaf leads; longer for slow leaves, so that it leads by as much."""
        tuned = self.tuned
        slower = 1.0 if self.all_known() else max(1.0, tuned.speeds[way] / tuned.slow)
        return round(tuned.delays[way] * slower)

    def _creeping(self, way: Way, home: int | None = None) -> Move:
        tuned = self.tuned
        return Move(way, tuned.slow, tuned.slow, tuned.limits[way], tuned.soft_start, home=home)

    def _move(self, index: int, way: Way, part: float = 1.0) -> Move:
        tuned = self.tuned
        opening = way is Way.OPENING
        if self.travels is None:
            return self._creeping(way, None if opening else 0)
        learned, position = self.travels[index], self.leaves[index].position
        near = _near(learned)
        slow = min(tuned.slow, tuned.speeds[way])
        profile = learned.opening if opening else learned.closing
        move = Move(
            way=way,
            cruise=tuned.speeds[way] if self.all_known() else slow,
            slow=slow,
            limit=tuned.limits[way],
            soft_start=tuned.soft_start,
            goal=round(learned.travel * part) if opening else 0,
            exact=(learned.open_marked or part < 1.0) if opening else learned.shut_marked,
            zone=round(learned.travel * tuned.slow_length),
            near=near,
            home=learned.travel if opening else 0,
            least=FAR if opening and learned.open_marked else learned.travel - 2 * near,
            most=FAR if learned.open_marked or learned.shut_marked else learned.travel + 2 * near,
            profile=() if position.doubted else profile,
            margin=tuned.margin,
            travel=learned.travel,
        )
        return move if position.known else move.searching()


def _near(learned: LeafTravel) -> int:
    return max(NEAR_LEAST, round(learned.travel * NEAR))
