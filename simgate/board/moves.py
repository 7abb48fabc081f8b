"""How a leaf is to go its way: the move that an order becomes, from settings and from what was learned.

What is not known beyond doubt makes a movement slower, never bolder: an unsure leaf creeps, with nothing to
compare its current with. The two leaves of an overlapped gate lead each other by as much way as was set.
"""

from __future__ import annotations

from simgate.board.counters import COUNTERS, Counter, Reckoned
from simgate.board.leaf import SCAN_MS, LeafDrive
from simgate.board.signals import LEAVES
from simgate.board.stimuli import Way
from simgate.board.travel import FAR, LeafTravel, Move
from simgate.board.tuning import EndUse, Sensing, Tuning

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


class Moves:
    """What is known of all leaves, and the moves that follow from it.

    travels: what is learned of each leaf, None when nothing is. counter: where the leaves' counts come
    from. proving: a learn cycle makes its proof.
    """

    def __init__(self, tuned: Tuning) -> None:
        self.tuned = tuned
        self.travels: tuple[LeafTravel, ...] | None = None
        self.leaves = tuple(LeafDrive(name) for name in LEAVES)
        self.counter: Counter = COUNTERS[tuned.sensing]()
        self.proving = False

    def sure(self, index: int) -> bool:
        """Whether a leaf's place is known and means something, and nothing contradicts it."""
        return self.travels is not None and self.leaves[index].position.sure

    def all_known(self) -> bool:
        """Whether every leaf's place is known beyond doubt; until then the gate moves slowly."""
        return all(self.sure(index) for index in range(self.tuned.leaves))

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
