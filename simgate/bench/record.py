"""What a scan leaves behind (`ScanRecord`) and what the gate looks like now (`Snapshot`).

Screens, marks, debrief and proofs read only these two. Both are frozen: a judge that could write to
the bench would sooner or later change what it judges.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from simgate.bench.actions import Action
from simgate.bench.device_view import HeadView, LineView, RemoteView
from simgate.board.mode_table import Table
from simgate.board.signals import Acted, Note
from simgate.board.stimuli import Condition, Task
from simgate.plant.spec import LeafKind


class Sense(Enum):
    """How something came to be known at the gate."""

    SEEN = "seen"
    HEARD = "heard"
    SHOWN = "shown"  # on the board's display or its input lamps
    DONE = "done"  # by the person's own hands


@dataclass(frozen=True, slots=True)
class Event:
    """One line for the Ticker: what could be seen or heard at `tick` ms."""

    tick: int
    sense: Sense
    text: str


class Happening(Enum):
    """What became of somebody who was sent through the gate."""

    CAME = "came"
    WAITS = "waits"
    GOES = "goes"
    THROUGH = "through"
    IN_THE_WAY = "in the way"  # of a leaf that moves towards it
    STRUCK = "struck"


@dataclass(frozen=True, slots=True)
class Passing:
    """Something that happened to a passer. kind: of passers.toml, or 'you'. leaf: whose way, or blow."""

    happening: Happening
    kind: str
    leaf: str = ""


@dataclass(frozen=True, slots=True)
class ScanRecord:
    """One scan in which something happened; quiet scans leave no record.

    tick: ms of simulated time at the end of the scan.
    actions: what hands did at its start. acted: cells that acted. notes: what else the board did.
    events: what could be noticed. passing: what became of those who were sent through.
    """

    tick: int
    actions: tuple[Action, ...]
    acted: tuple[Acted, ...]
    notes: tuple[Note, ...]
    events: tuple[Event, ...]
    passing: tuple[Passing, ...] = ()


@dataclass(frozen=True, slots=True)
class LeafView:
    """A leaf as an onlooker sees it. Lengths in m, speed in rad/s or m/s, force in N.

    place: from shut, rad of a leaf that swings, m of one that slides; travel: the place of the open stop.
    linkage: what moves it, in words: 'hinge', 'in-ground', 'post-top', 'ram', 'folding arm', 'hydraulic
    ram', 'rack'. pocket: the side, seen from inside, to which one that slides opens; '' for one that swings.
    driven: share of the supply that the board puts on its motor's terminals, positive in opening polarity,
    whatever becomes of it behind them.
    """

    name: str
    width: float
    place: float
    travel: float
    speed: float
    current: float
    released: bool
    body: tuple[float, float] | None  # (radius, place) of a test body in the way
    body_force: float
    kind: LeafKind = LeafKind.SWINGS
    linkage: str = "hinge"
    pocket: str = ""
    driven: float = 0.0

    @property
    def slides(self) -> bool:
        """Whether it slides, its places being m."""
        return self.kind is LeafKind.SLIDES

    @property
    def share(self) -> float:
        """How far it is open, 0 to 1."""
        return min(max(self.place / self.travel, 0.0), 1.0)

    @property
    def lever(self) -> float:
        """Metres that its leading edge moves for one unit of its place."""
        return 1.0 if self.slides else self.width

    @property
    def angle(self) -> float:
        """How far it is turned from the gate line, rad: 0 for one that slides."""
        return 0.0 if self.slides else self.place

    @property
    def open_angle(self) -> float:
        """How far it is turned when open, rad: 0 for one that slides."""
        return 0.0 if self.slides else self.travel


@dataclass(frozen=True, slots=True)
class InputView:
    """An input terminal: its voltage to 0 V, and whether the board takes it as made."""

    terminal: str
    volts: float
    made: bool


def reach(leaves: Sequence[LeafView]) -> str:
    """What somebody stands in who can be struck: 'the swing', or where all leaves slide, their way."""
    if not leaves or not all(leaf.slides for leaf in leaves):
        return "the swing"
    return "the way of the leaf" if len(leaves) == 1 else "the way of the leaves"


@dataclass(frozen=True, slots=True)
class BeamView:
    """A photocell: where its line crosses the drive (m from the gate line, outside positive)."""

    name: str
    guards: str
    offset: float
    blocked: bool
    powered: bool
    made: bool
    crossed: bool = False  # somebody who passes stands in it


@dataclass(frozen=True, slots=True)
class PassingView:
    """Somebody on the drive. Lengths in m, force in N.

    position: of its front, from the gate line, outside positive. lane: across the drive from the left
    post, None while it keeps to the middle. in_way_of: leaves that move towards it.
    """

    kind: str
    position: float
    length: float
    width: float
    inwards: bool
    lane: tuple[float, float] | None
    waiting: bool
    in_swing: bool
    in_way_of: tuple[str, ...]
    alive: bool
    force: float
    peak_force: float


@dataclass(frozen=True, slots=True)
class DeviceView:
    """A button that a hand can work."""

    name: str
    label: str
    down: bool


@dataclass(frozen=True, slots=True)
class WireView:
    """A wire as it can be seen from outside; a break inside the insulation does not show.

    number: on its ferrules. cable: whose core it is, '' for none.
    """

    name: str
    colour: str
    a: str
    b: str
    undone: bool
    number: int = 0
    cable: str = ""


@dataclass(frozen=True, slots=True)
class MeterView:
    """The instrument in hand and what it shows."""

    instrument: str
    a: str
    b: str
    reading: str  # as its display reads: '24.0 V', 'OL'
    caution: str


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The bench as it stands at `tick` ms: everything a screen needs, nothing a hand could not find out."""

    tick: int
    mains: bool
    powered: bool
    leaves: tuple[LeafView, ...]
    condition: Condition
    task: Task
    display: tuple[str, str]
    keys_down: frozenset[str]
    inputs: tuple[InputView, ...]
    lamp: bool
    beams: tuple[BeamView, ...]
    devices: tuple[DeviceView, ...]
    wires: tuple[WireView, ...]
    links: tuple[tuple[str, str], ...]
    fuses: tuple[str, ...]
    points: tuple[str, ...]  # every point where a probe can touch
    meter: MeterView | None
    inside: bool  # a person stands in the swing
    mode: str
    table: Table  # of the mode
    settings: Mapping[str, float | int | bool | str]
    learned: bool
    stale: bool  # learned, but force or speed changed since
    pause_left: int  # ms, 0 when no pause runs
    last: Acted | None
    marked: bool  # false once the trainer's drawer was used
    finished: bool
    light: bool = False  # the courtesy light is lit, as lamp is: seen at the device
    drawn: bool = False  # the bolt of the lock is drawn back; without a bolt, its coil is fed
    relays: frozenset[str] = frozenset()  # names of the relay outputs that are made
    passing: tuple[PassingView, ...] = ()  # who is on the drive
    you: PassingView | None = None  # whoever works the bench, while they stand in the swing
    wind: float = 0.0  # m/s, positive blows the leaves open
    clash: float = 0.0  # N with which leaf B lies on the wrong side of leaf A's overlap strip
    heads: tuple[HeadView, ...] = ()  # of the line
    line: LineView | None = None
    remotes: tuple[RemoteView, ...] = ()
    taught: tuple[tuple[int, int, str], ...] = ()  # (serial, key, what for) of keys the board knows
    edge_ends: tuple[tuple[str, bool], ...] = ()  # (edge wired through, a resistor across its far screws)
    battery: bool | None = None  # on its screws; None without one
    plug: tuple[str, str] | None = None  # where the test plug is
    spares: tuple[str, ...] = ()  # beams in whose place a spare one is connected
    rain: float = 0.0  # 0 to 1
    mains_points: tuple[str, ...] = ()  # where V AC can be measured
    relay_beams: tuple[str, ...] = ()  # in whose place a spare one can be connected
    looks: tuple[tuple[str, tuple[str, ...]], ...] = ()  # ways to look closely, and at what
    renewable: tuple[str, ...] = ()  # what a hand can put right: devices, supply, battery, leaves
    page: tuple[str, ...] = ()  # where the set-up book is open: (), (chapter,), (chapter, item)
    through: Mapping[str, str] = field(default_factory=dict)  # point -> the other side of its device
    key_words: tuple[str, ...] = ()  # what each of the five keys does now, as the card in the door says
