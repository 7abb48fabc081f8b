"""Who stands in the sweep of a leaf: a body in its way, a hazard while it moves, and the force that is felt.

A body is the plant's own contact, so a leaf that reaches somebody really presses on them; how hard, and
whether the board notices, follows from the iron alone. Whoever works the bench, and has stepped in, stands
there like anybody else: a person of passers.toml who does not walk on.
"""

from __future__ import annotations

import math
from enum import Enum

from simgate.bench.passer_kinds import PasserKind, kinds
from simgate.bench.record import Event, Happening, Passing, PassingView, Sense
from simgate.bench.site import Site
from simgate.bench.sweep import Box, Meeting, Sweep
from simgate.board.signals import LEAVES
from simgate.plant.plant import Plant
from simgate.plant.spec import LeafKind

STIRRING = {LeafKind.SWINGS: 0.01, LeafKind.SLIDES: 0.02}  # rad/s, m/s; faster, and off its stop, it moves
TOUCH = 1.0  # N that is felt
YOU = "you"  # who stands in the swing, as records call whoever works the bench
ASIDE = (0.5, 0.35, 0.65, 0.2, 0.8)  # shares of the opening where you stand, the first that is free
INWARDS = (0.45, 0.2, 0.7)  # and of the depth of the swing
CLEARANCE = 0.1  # m that you keep from a leaf when you step in


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


class Swing:
    """The sweeps of all leaves and who is there. events and told: since the bench last took them.

    bodies: test bodies in each leaf's way, as the plant has them. you: whoever works the bench, stepped in.
    anybody: whether anyone can be struck; on most benches nobody, and then nothing of this runs.
    """

    __slots__ = (
        "_leaves", "_placed", "_span", "_sweeps", "anybody", "bodies", "events", "here", "told", "you",
    )  # fmt: skip

    def __init__(self, site: Site, plant: Plant) -> None:
        self.here: list[Passer] = []
        self.you: Passer | None = None
        self.anybody = False
        self.events: list[Event] = []
        self.told: list[Passing] = []
        self._leaves = plant.leaves
        self._sweeps = tuple(Sweep.of(leaf) for leaf, _ in site.plant.leaves)
        first, *others = (sweep.length for sweep in self._sweeps)
        self._span = first + others[0] - site.plant.overlap if others else first
        self.bodies: list[tuple[float, float] | None] = [None] * len(self._leaves)
        self._placed: list[tuple[float, float] | None] = [None] * len(self._leaves)

    # What hands do --------------------------------------------------------------------------------

    def put_body(self, n: int, body: tuple[float, float] | None) -> None:
        """Put a test body in the way of a leaf, anew if one stands there, or take it away."""
        self.bodies[n] = self._placed[n] = None
        self._leaves[n].remove_body()
        self.bodies[n] = body
        self._place_bodies()

    def meets_body(self, n: int) -> bool:
        """Whether what leaf `n` meets first is a test body."""
        return self.bodies[n] is not None and self.bodies[n] == self._placed[n]

    def step_in(self, inside: bool) -> None:
        """Stand in the swing, where there is room, or step out of it."""
        self.you = (self.you or self._stand()) if inside else None
        self.anybody = bool(self.here) or inside
        self._place_bodies()

    def _stand(self) -> Passer:
        """You, in the middle of the swing or the nearest place to it that is clear of the leaves."""
        you = Passer(kinds()["person"], -1, 0)
        you.phase, you.seen, you.waiting = Phase.GOING, True, True
        depth = max(0.0 if sweep.slides else sweep.length for sweep in self._sweeps)
        half, first = you.kind.width / 2000, None
        for inwards in INWARDS:
            for aside in ASIDE:
                middle = self._span * aside
                you.lane = (middle - half, middle + half)
                you.front = -round(1000 * depth * inwards + you.kind.length / 2)
                if self._is_clear(you):
                    return you
                first = first or (you.lane, you.front)
        if first is not None:
            you.lane, you.front = first
        return you

    def _is_clear(self, one: Passer) -> bool:
        meetings = ((n, self._meeting(one, n, one.front)) for n in range(len(self._leaves)))
        return not any(
            met.holds(self._leaves[n].place, CLEARANCE / self._sweeps[n].lever) for n, met in meetings if met
        )

    # What they meet -------------------------------------------------------------------------------

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
            place, nearest, body, pressed = leaf.place, 0.0, self.bodies[n], False
            if body is not None:
                nearest = abs(body[1] - place)
                pressed = body == self._placed[n] and leaf.body_force > 0.0
            for passer in self._people():
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

    def _people(self) -> list[Passer]:
        return self.here if self.you is None else [*self.here, self.you]

    def _view(self, passer: Passer) -> PassingView:
        """Somebody as an onlooker sees them."""
        return PassingView(
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

    def _watch(self, tick: int, passer: Passer) -> None:
        """Notice who is in the way of a leaf that moves, and who is pressed."""
        hazards, felt = [], 0.0
        for n, leaf in enumerate(self._leaves):
            meeting = self._meeting(passer, n, passer.front)
            if meeting is None:
                continue
            place, speed, name = leaf.place, leaf.speed, LEAVES[n]
            # one that springs on its stop, or settles in its gear, comes at nobody
            stirring = math.inf if leaf.stop_force > 0.0 else STIRRING[leaf.kind]
            if (speed < -stirring and meeting.closing <= place) or (
                speed > stirring and meeting.opening >= place
            ):
                hazards.append(name)
                if name not in passer.hazards and passer.kind.alive:
                    who = "you are" if passer is self.you else f"the {passer.kind.name} is"
                    words = f"HAZARD: {who} in the way of leaf {name}, which moves"
                    self._tell(tick, passer, Happening.IN_THE_WAY, words, name)
            if meeting.holds(place, 0.0) and leaf.body_force > felt:
                felt = leaf.body_force
                passer.peak = max(passer.peak, leaf.peak_body_force)
                if passer.felt <= TOUCH < felt:
                    who = YOU if passer is self.you else f"the {passer.kind.name}"
                    words = f"Leaf {name} strikes {who}"
                    self._tell(tick, passer, Happening.STRUCK, words, name)
        passer.hazards, passer.felt = tuple(hazards), felt

    def _tell(self, tick: int, passer: Passer, what: Happening, words: str, leaf: str = "") -> None:
        self.events.append(Event(tick, Sense.SEEN, words))
        self.told.append(Passing(what, YOU if passer is self.you else passer.kind.name, leaf))
