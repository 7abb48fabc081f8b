"""Who passes through the gate: a vehicle, a person or a dog on the drive, sent by hand.

Theory. A passer moves along the drive at its own pace, waits before the swing until the leaves leave it
room, keeps to the middle of that room, and goes on until a leaf stands in its way. It breaks the beams
that it spans and, in the sweep of a leaf, is a body in the leaf's way: the plant's own contact, so a leaf
that reaches it really presses on it. It never asks what the board thinks.

Positions are whole mm from the gate line, outside positive, so that nothing drifts. A passer moves or
does not: while one moves the bench may not skip time; one that waits changes nothing until a leaf moves.
"""

from __future__ import annotations

from enum import Enum

from simgate.bench.contacts import Contacts
from simgate.bench.passer_kinds import PasserKind
from simgate.bench.record import Event, Happening, Passing, PassingView, Sense
from simgate.bench.site import Site
from simgate.bench.sweep import Box, Meeting, Sweep
from simgate.board.signals import LEAVES
from simgate.plant.plant import Plant

MOST = 4  # passers at a time; more than a drive of this length holds
BEFORE = 500  # mm kept from the swing, from a beam, and from whoever goes before
LEAST_WAIT = 1000  # mm from the gate line at which nobody stands nearer to wait
RUN_UP = 3000  # mm before the place of waiting (or the last thing on the drive) where one comes into sight
MARGIN = 0.05  # m kept from a leaf that stands in the way
STIRRING = 0.002  # rad/s or m/s; a leaf that moves faster is seen to
TOUCH = 1.0  # N that is felt

WAYS = {"in": -1, "out": 1}
FROM = {-1: "from the road", 1: "from inside"}


class Phase(Enum):
    """How far along a passer is."""

    COMING = "coming"
    GOING = "going"  # through the swing
    LEAVING = "leaving"


class Passer:
    """One of them. front: mm; way: 1 outwards, -1 inwards; lane: m across the drive, from the left post."""

    __slots__ = (
        "felt", "front", "hazards", "kind", "lane", "peak", "phase", "seen", "told_waiting", "waiting", "way",
    )  # fmt: skip

    def __init__(self, kind: PasserKind, way: int, front: int) -> None:
        self.kind, self.way, self.front = kind, way, front
        self.lane: tuple[float, float] | None = None
        self.phase = Phase.COMING
        self.seen = self.waiting = self.told_waiting = False
        self.hazards: tuple[str, ...] = ()  # leaves that move towards it
        self.felt = self.peak = 0.0  # N

    @property
    def rear(self) -> int:
        """Its other end, mm."""
        return self.front - self.way * self.kind.length

    def span(self) -> tuple[int, int]:
        """Its two ends, the inner first, mm."""
        return (self.rear, self.front) if self.way > 0 else (self.front, self.rear)

    def state(self) -> tuple[object, ...]:
        """Everything that its future depends on."""
        return (
            self.kind.name, self.way, self.front, self.lane, self.phase.value, self.seen, self.waiting,
            self.told_waiting, self.hazards, self.felt, self.peak,
        )  # fmt: skip


class Passers:
    """All that are on the drive. `here` is empty on most benches, and then nothing of this runs.

    moving: whether one of them moved in the last scan. events and told: since the bench last took them.
    """

    __slots__ = (
        "_beams", "_contacts", "_ends", "_leaves", "_lines", "_loops", "_placed", "_span", "_sweeps",
        "events", "here", "moving", "told",
    )  # fmt: skip

    def __init__(self, site: Site, plant: Plant, contacts: Contacts) -> None:
        self.here: list[Passer] = []
        self.moving = False
        self.events: list[Event] = []
        self.told: list[Passing] = []
        self._contacts = contacts
        self._leaves = plant.leaves
        self._sweeps = tuple(Sweep.of(leaf) for leaf, _ in site.plant.leaves)
        first, *others = (sweep.length for sweep in self._sweeps)
        self._span = first + others[0] - site.plant.overlap if others else first
        self._beams = tuple((beam.name, round(beam.offset * 1000)) for beam in site.across)
        self._loops = tuple((loop.name, loop.offset, loop.length) for loop in site.loops)
        self._placed: list[tuple[float, float] | None] = [None] * len(self._leaves)
        depth = round(1000 * max(sweep.depth for sweep in self._sweeps))
        offsets = [offset for _, offset in self._beams]
        outside = max([LEAST_WAIT, *(offset + BEFORE for offset in offsets)])
        inside = min([-depth - BEFORE, *(offset - BEFORE for offset in offsets)])
        marks = [round(1000 * offset) for offset in crossed(site)]
        self._lines = {-1: outside, 1: inside}  # where one waits, by the way that one goes
        self._ends = {-1: max([outside, *marks]) + RUN_UP, 1: min([inside, *marks]) - RUN_UP}

    # What hands and devices ask -------------------------------------------------------------------

    @property
    def opening(self) -> float:
        """Width, m, between the posts when all is open."""
        return self._span

    def send(self, kind: PasserKind, way: int) -> None:
        """Let one come along, behind whoever comes the same way."""
        front = self._ends[way]
        for other in self.here:
            if other.way == way and (other.rear - way * BEFORE - front) * way < 0:
                front = other.rear - way * BEFORE
        self.here.append(Passer(kind, way, front))

    def clear(self) -> None:
        """All go out of the way at once."""
        self.here.clear()
        self.moving = False
        self._place_bodies()
        self._cross_beams()

    def over(self, offset_m: float, length_m: float) -> bool:
        """Whether a vehicle stands over a loop of `length_m` along the drive, its middle at `offset_m`."""
        low, high = 1000 * (offset_m - length_m / 2), 1000 * (offset_m + length_m / 2)
        return any(
            passer.kind.metal and passer.span()[0] < high and passer.span()[1] > low for passer in self.here
        )

    def views(self) -> tuple[PassingView, ...]:
        """All of them as an onlooker sees them."""
        return tuple(
            PassingView(
                kind=passer.kind.name,
                position=passer.front / 1000,
                length=passer.kind.length / 1000,
                width=passer.kind.width / 1000,
                inwards=passer.way < 0,
                lane=passer.lane,
                waiting=passer.waiting,
                in_swing=self._in_swing(passer),
                in_way_of=passer.hazards,
                alive=passer.kind.alive,
                force=passer.felt,
                peak_force=passer.peak,
            )
            for passer in self.here
        )

    def state(self) -> tuple[object, ...]:
        """Where everybody is; empty when nobody is there."""
        return tuple(passer.state() for passer in self.here)

    # One scan -------------------------------------------------------------------------------------

    def step(self, tick: int) -> bool:
        """Everybody goes on by one scan. Returns whether a beam was broken or cleared by it."""
        moved = False
        for passer in self.here:
            if not passer.seen:
                passer.seen = True
                self._tell(tick, passer, Happening.CAME, f"A {passer.kind.name} comes {FROM[passer.way]}")
            moves = self._advance(tick, passer)
            passer.waiting = not moves
            moved = moved or moves
        for passer in [one for one in self.here if (one.rear - self._ends[-one.way]) * one.way > 0]:
            self.here.remove(passer)
        if moved:
            self._place_bodies()
        for passer in self.here:
            self._watch(tick, passer)
        self.moving = moved and bool(self.here)
        return moved and self._cross_beams()

    def _advance(self, tick: int, passer: Passer) -> bool:
        """One stride, if nothing is in the way. Returns whether it was made."""
        way, ahead = passer.way, passer.front + passer.way * passer.kind.stride
        for other in self.here:
            if other is passer:
                break
            if other.way == way and (other.rear - ahead) * way < BEFORE:
                return False
        if passer.phase is Phase.COMING and (ahead - self._lines[way]) * way > 0:
            if not self._enters(passer):
                self._tell_waiting(tick, passer, f"The {passer.kind.name} waits for the gate")
                return False
            passer.phase, passer.told_waiting = Phase.GOING, False
            self._tell(tick, passer, Happening.GOES, f"The {passer.kind.name} goes through")
        elif passer.phase is Phase.GOING:
            for n, leaf in enumerate(self._leaves):
                meeting = self._meeting(passer, n, ahead)
                if meeting is not None and meeting.holds(leaf.place, MARGIN / self._sweeps[n].lever):
                    words = f"The {passer.kind.name} stops: leaf {LEAVES[n]} is in the way"
                    self._tell_waiting(tick, passer, words)
                    return False
            passer.told_waiting = False
        passer.front = ahead
        if passer.phase is Phase.GOING and (passer.rear - self._lines[-way]) * way > 0:
            passer.phase, passer.lane = Phase.LEAVING, None
            self._tell(tick, passer, Happening.THROUGH, f"The {passer.kind.name} is through")
        return True

    def _enters(self, passer: Passer) -> bool:
        """Whether it would go into the swing now; keeps to the middle of the room that it found."""
        if any(other.phase is Phase.GOING and other.way != passer.way for other in self.here):
            return False
        leaves = self._leaves
        if passer.kind.careful and any(leaf.speed < -STIRRING for leaf in leaves):
            return False
        left = self._sweeps[0].covers(leaves[0].place)
        right = self._span - self._sweeps[1].covers(leaves[1].place) if len(leaves) > 1 else self._span
        if right - left < passer.kind.needs:
            return False
        middle, half = (left + right) / 2, passer.kind.width / 2000
        passer.lane = (middle - half, middle + half)
        return True

    # Leaves and beams -----------------------------------------------------------------------------

    def _meeting(self, passer: Passer, n: int, front: int) -> Meeting | None:
        """Where leaf `n` meets `passer` with its front at `front` mm."""
        if passer.lane is None:
            return None
        near, far = passer.lane
        if n == 1:
            near, far = self._span - far, self._span - near
        rear = front - passer.way * passer.kind.length
        low, high = (rear, front) if passer.way > 0 else (front, rear)
        return self._sweeps[n].meets(Box(near, far, -high / 1000, -low / 1000))

    def _in_swing(self, passer: Passer) -> bool:
        return any(self._meeting(passer, n, passer.front) is not None for n in range(len(self._leaves)))

    def _place_bodies(self) -> None:
        """In each leaf's way the nearest thing that it would meet, as a body of the plant."""
        for n, leaf in enumerate(self._leaves):
            place, nearest, body, pressed = leaf.place, 0.0, None, False
            for passer in self.here:
                meeting = self._meeting(passer, n, passer.front)
                if meeting is None:
                    continue
                if meeting.closing < place:
                    found = (meeting.closing_radius, meeting.closing)
                elif meeting.opening >= place:
                    found = (meeting.opening_radius, meeting.opening)
                else:  # it presses on this one, who stands where it was met
                    pressed = True
                    break
                if body is None or abs(found[1] - place) < nearest:
                    nearest, body = abs(found[1] - place), found
            if pressed or body == self._placed[n]:
                continue
            self._placed[n] = body
            if body is None:
                leaf.remove_body()
            else:
                leaf.place_body(*body)

    def _watch(self, tick: int, passer: Passer) -> None:
        """Notice who is in the way of a leaf that moves, and who is pressed."""
        hazards, felt = [], 0.0
        for n, leaf in enumerate(self._leaves):
            meeting = self._meeting(passer, n, passer.front)
            if meeting is None:
                continue
            place, speed, name = leaf.place, leaf.speed, LEAVES[n]
            if (speed < -STIRRING and meeting.closing <= place) or (
                speed > STIRRING and meeting.opening >= place
            ):
                hazards.append(name)
                if name not in passer.hazards and passer.kind.alive:
                    words = f"HAZARD: the {passer.kind.name} is in the way of leaf {name}, which moves"
                    self._tell(tick, passer, Happening.IN_THE_WAY, words, name)
            if meeting.holds(place, 0.0) and leaf.body_force > felt:
                felt = leaf.body_force
                passer.peak = max(passer.peak, leaf.peak_body_force)
                if passer.felt <= TOUCH < felt:
                    words = f"Leaf {name} strikes the {passer.kind.name}"
                    self._tell(tick, passer, Happening.STRUCK, words, name)
        passer.hazards, passer.felt = tuple(hazards), felt

    def _cross_beams(self) -> bool:
        """Break the beams that somebody spans, work the loops under a vehicle. Whether one changed."""
        spans = [passer.span() for passer in self.here if passer.kind.breaks_beams]
        changed = False
        for name, offset in self._beams:
            now = any(low <= offset <= high for low, high in spans)
            if now is not self._contacts.crossed[name]:
                self._contacts.crossed[name] = now
                changed = True
        for name, middle, length in self._loops:
            now = self.over(middle, length)
            if now is not self._contacts.present[name]:
                self._contacts.present[name] = now
                changed = True
        return changed

    # Telling --------------------------------------------------------------------------------------

    def _tell_waiting(self, tick: int, passer: Passer, words: str) -> None:
        """Once, not in every scan of it."""
        if not passer.told_waiting:
            passer.told_waiting = True
            self._tell(tick, passer, Happening.WAITS, words)

    def _tell(self, tick: int, passer: Passer, what: Happening, words: str, leaf: str = "") -> None:
        self.events.append(Event(tick, Sense.SEEN, words))
        self.told.append(Passing(what, passer.kind.name, leaf))


def crossed(site: Site) -> tuple[float, ...]:
    """Offsets, m from the gate line, of everything along the drive that a passer runs over or through."""
    loops = [loop.offset + side * loop.length / 2 for loop in site.loops for side in (-1, 1)]
    return (*(beam.offset for beam in site.across), *loops)
