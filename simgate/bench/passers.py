"""Who passes through the gate: a vehicle, a person or a dog on the drive, sent by hand.

Theory. A passer moves along the drive at its own pace, waits before the swing until the leaves leave it
room, keeps to the middle of that room, and goes on until a leaf stands in its way. It breaks the beams
that it spans and, in the sweep of a leaf, is a body in the leaf's way (swing.py). It never asks what the
board thinks.

Positions are whole mm from the gate line, outside positive, so that nothing drifts. A passer moves or
does not: while one moves the bench may not skip time; one that waits changes nothing until a leaf moves.
"""

from __future__ import annotations

from simgate.bench.contacts import Contacts
from simgate.bench.passer_kinds import PasserKind
from simgate.bench.record import Happening, PassingView
from simgate.bench.site import Site
from simgate.bench.swing import STIRRING, Passer, Phase, Swing
from simgate.board.signals import LEAVES
from simgate.plant.plant import Plant

MOST = 4  # passers at a time; more than a drive of this length holds
BEFORE = 500  # mm kept from the swing, from a beam, and from whoever goes before
LEAST_WAIT = 1000  # mm from the gate line at which nobody stands nearer to wait
RUN_UP = 3000  # mm before the place of waiting (or the last thing on the drive) where one comes into sight
MARGIN = 0.05  # m kept from a leaf that stands in the way

WAYS = {"in": -1, "out": 1}
FROM = {-1: "from the road", 1: "from inside"}


class Passers(Swing):
    """All that are on the drive. `here` is empty on most benches, and then nothing of this runs.

    moving: whether one of them moved in the last scan.
    """

    __slots__ = ("_beams", "_contacts", "_ends", "_lines", "_loops", "moving")

    def __init__(self, site: Site, plant: Plant, contacts: Contacts) -> None:
        super().__init__(site, plant)
        self.moving = False
        self._contacts = contacts
        self._beams = tuple((beam.name, round(beam.offset * 1000)) for beam in site.across)
        self._loops = tuple((loop.name, loop.offset, loop.length) for loop in site.loops)
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
        self.anybody = True

    def clear(self) -> None:
        """All go out of the way at once."""
        self.here.clear()
        self.moving = False
        self.anybody = self.you is not None
        self._place_bodies()
        self._cross_beams()

    def step_in(self, inside: bool) -> None:
        super().step_in(inside)
        self._cross_beams()

    def over(self, offset_m: float, length_m: float) -> bool:
        """Whether a vehicle stands over a loop of `length_m` along the drive, its middle at `offset_m`."""
        low, high = 1000 * (offset_m - length_m / 2), 1000 * (offset_m + length_m / 2)
        return any(
            passer.kind.metal and passer.span()[0] < high and passer.span()[1] > low for passer in self.here
        )

    def views(self) -> tuple[PassingView, ...]:
        """All of them as an onlooker sees them."""
        return tuple(self._view(passer) for passer in self.here)

    def your_view(self) -> PassingView | None:
        """Whoever works the bench, while they stand in the swing."""
        return None if self.you is None else self._view(self.you)

    def state(self) -> tuple[object, ...]:
        """Where everybody is; empty when nobody is there."""
        return tuple(passer.state() for passer in self._people())

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
        if moved or self.you is not None:
            self._place_bodies()
        for passer in self._people():
            self._watch(tick, passer)
        self.moving = moved and bool(self.here)
        self.anybody = bool(self.here) or self.you is not None
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
        if self.you is not None:  # nobody walks or drives into somebody who works there
            return False
        leaves = self._leaves
        if passer.kind.careful and any(leaf.speed < -STIRRING[leaf.kind] for leaf in leaves):
            return False
        left = self._sweeps[0].covers(leaves[0].place)
        right = self._span - self._sweeps[1].covers(leaves[1].place) if len(leaves) > 1 else self._span
        if right - left < passer.kind.needs:
            return False
        middle, half = (left + right) / 2, passer.kind.width / 2000
        passer.lane = (middle - half, middle + half)
        return True

    # Beams and loops ------------------------------------------------------------------------------

    def _cross_beams(self) -> bool:
        """Break the beams that somebody spans, work the loops under a vehicle. Whether one changed."""
        spans = [passer.span() for passer in self._people() if passer.kind.breaks_beams]
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


def crossed(site: Site) -> tuple[float, ...]:
    """Offsets, m from the gate line, of everything along the drive that a passer runs over or through."""
    loops = [loop.offset + side * loop.length / 2 for loop in site.loops for side in (-1, 1)]
    return (*(beam.offset for beam in site.across), *loops)
