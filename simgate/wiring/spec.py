"""The copper of a site as values: wires, links, devices, supply. SI; points are named 'owner.terminal'.

A point is a screw where a probe can touch: a board terminal ('board.STOP'), a device terminal
('stop-button.1'), a joint in a box or post ('post-left.3'). The network is made from these alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from simgate.wiring.battery import BatterySpec
from simgate.wiring.heads import HeadSpec, RemoteSpec


class DeviceKind(Enum):
    """What can stand at the end of the wires."""

    BUTTON_NC = "button-nc"  # terminals 1, 2; a hand opens it
    BUTTON_NO = "button-no"  # terminals 1, 2; a hand closes it
    KEY = "key"  # terminals 1, 2 (call), 3, 4 (part); a hand turns it, a spring turns it back
    BEAM = "beam"  # terminals tx+, tx-, rx+, rx-, nc1, nc2; relay NC chain made while powered and clear
    EDGE = "edge"  # terminals 1, 2; its resistor between them, shorted when pressed
    EDGE_THROUGH = "edge-through"  # terminals 1, 2 in and 3, 4 out; no resistor of its own
    RESISTOR = "resistor"  # terminals 1, 2; ends a chain of edges
    END_NC = "end-nc"  # terminals 1, 2; the leaf opens it
    END_NO = "end-no"  # terminals 1, 2; the leaf closes it
    ENCODER = "encoder"  # terminals +, -, out; pulses of the motor's turns
    PLACE_ENCODER = "place-encoder"  # terminals +, -, out; tells where the leaf is
    LOOP_NO = "loop-no"  # terminals +, -, 1, 2; a vehicle closes it
    LOOP_NC = "loop-nc"  # terminals +, -, 1, 2; a vehicle opens it
    MOTOR = "motor"  # terminals 1, 2
    LAMP = "lamp"  # terminals 1, 2
    LIGHT = "light"  # terminals 1, 2
    LOCK = "lock"  # terminals 1, 2
    LINE_SENDER = "line-sender"  # terminals 1, 2, either way round; a head of a beam of the line
    LINE_RECEIVER = "line-receiver"  # terminals 1, 2, either way round


@dataclass(frozen=True, slots=True)
class WireSpec:
    """One core between two points. length: m one way. size: mm2 (class 5 table). colour: as on the site.

    number: on its ferrules, 0 for one that is dealt out (`marking.py`). cable: whose core it is, '' for none.
    """

    name: str
    a: str
    b: str
    length: float
    size: float
    colour: str
    number: int = 0
    cable: str = ""


@dataclass(frozen=True, slots=True)
class DeviceSpec:
    """One device. leaf: 0 or 1 for what sits on a leaf or its drive. winding: ohm of a motor, else None.

    head: how a head of the line is meant, None for anything else.
    """

    name: str
    kind: DeviceKind
    label: str
    leaf: int | None = None
    winding: float | None = None
    head: HeadSpec | None = None


@dataclass(frozen=True, slots=True)
class SupplySpec:
    """The board's own supply and fuses. volts: V. resistance: ohm. fuses: A by name."""

    volts: float = 24.0
    resistance: float = 0.2
    mains_fuse: float = 10.0
    aux_fuse: float = 1.0
    battery_fuse: float = 10.0
    battery: BatterySpec | None = None

    def rating(self, fuse: str) -> float:
        """A of a fuse by its name."""
        return {"mains": self.mains_fuse, "aux": self.aux_fuse, "battery": self.battery_fuse}[fuse]


@dataclass(frozen=True, slots=True)
class WiringSpec:
    """The whole copper of a site as it was meant to be. leaves: 1 or 2.

    swinging: leaves that hang on hinges. oil: leaves that a hydraulic ram moves. Both are told for what can
    wear there.
    """

    leaves: int
    wires: tuple[WireSpec, ...]
    links: tuple[tuple[str, str], ...]
    devices: tuple[DeviceSpec, ...]
    supply: SupplySpec = SupplySpec()
    remotes: tuple[RemoteSpec, ...] = ()
    swinging: tuple[int, ...] = ()
    oil: tuple[int, ...] = ()


class FaultKind(Enum):
    """What can be wrong with the copper; the words of each are in faults.toml."""

    PARTED_WIRE = "parted-wire"  # place: wire
    MISSING_LINK = "missing-link"  # place: 'point|point'
    FORGOTTEN_LINK = "forgotten-link"  # place: 'point|point'
    TIRED_JOINT = "tired-joint"  # place: wire; amount: ohm added
    BRIDGED_PAIR = "bridged-pair"  # place: 'wire|wire'
    SWAPPED_PAIR = "swapped-pair"  # place: motor
    SWAPPED_CORES = "swapped-cores"  # place: 'wire|wire'
    BLOWN_FUSE = "blown-fuse"  # place: fuse
    EARTH_LEAK = "earth-leak"  # place: wire; amount: ohm to 0 V at its far end
    FLICKER = "flicker"  # place: wire; amount: % of the leaf's travel at which it opens
    THIN_CABLE = "thin-cable"  # place: 'wire|wire'; amount: ohm added to each
    WRONG_TERMINAL = "wrong-terminal"  # place: 'wire|screw of the board'
    WEAK_SUPPLY = "weak-supply"  # place: 'supply'; amount: V lost
    WORN_BATTERY = "worn-battery"  # place: 'battery'; amount: % of capacity lost
    STIFF_HINGE = "stiff-hinge"  # place: 'leaf-A'; amount: N m, or N of a slide
    MOVED_STOP = "moved-stop"  # place: 'leaf-A'; amount: % of travel
    WELDED_CONTACT = "welded-contact"  # place: device, here and below
    STUCK_RELAY = "stuck-relay"
    WRONG_CONTACT = "wrong-contact"
    BURNT_CONTACT = "burnt-contact"
    JAMMED_KEY = "jammed-key"
    CRUSHED_EDGE = "crushed-edge"
    MISSING_RESISTOR = "missing-resistor"
    WRONG_RESISTOR = "wrong-resistor"  # amount: ohm
    EDGES_IN_PARALLEL = "edges-in-parallel"  # place: 'edge|edge'
    SLIPPED_END = "slipped-end-switch"  # amount: % of travel
    DEAD_SENDER = "dead-sender"
    DEAD_RECEIVER = "dead-receiver"
    DEAD_DETECTOR = "dead-detector"
    DEAD_ENCODER = "dead-encoder"
    WORN_BRUSHES = "worn-brushes"  # amount: ohm added
    OPEN_COIL = "open-coil"
    DEAD_LAMP = "dead-lamp"
    DIRTY_LENS = "dirty-lens"  # amount: % of light lost
    BEAM_OFF_AIM = "beam-off-aim"  # amount: degrees
    WRONG_ADDRESS = "wrong-address"  # place: head of the line, as of all down to missing-head
    MISSING_LENS = "missing-lens"
    DIRTY_HEAD = "dirty-head"
    KNOCKED_HEAD = "knocked-head"
    DEAD_HEAD = "dead-head"
    MISSING_HEAD = "missing-head"
    WEAK_REMOTE = "weak-remote"  # place: remote
    DEAD_REMOTE = "dead-remote"  # place: remote
    AERIAL_OFF = "aerial-off"  # place: 'aerial'
    SHORTED_RESISTOR = "shorted-resistor"  # place: edge, or the resistor that ends some
    WET_CABLE = "wet-cable"  # place: wire; amount: ohm to 0 V at its far end in full rain
    LOOSE_CORE = "loose-core"  # place: wire; amount: s from one break to the next
    OPEN_SCREEN = "open-screen"  # place: encoder; amount: pulses a second for each A of its motor
    SAGGED_LEAF = "sagged-leaf"  # place: 'leaf-A'; amount: N m
    SLACK_LINKAGE = "slack-linkage"  # place: 'leaf-A'; amount: mm at the edge
    RELIEF_VALVE = "early-relief-valve"  # place: 'leaf-A'; amount: % of its pressure
    LATE_RELIEF_VALVE = "late-relief-valve"  # the same, above it
    PARTED_MAINS = "parted-mains"  # place: core of the mains side
    STRONG_WIND = "strong-wind"  # place: 'wind'; amount: m/s


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault at one place. amount: the kind's number, 0 where it has none."""

    kind: FaultKind
    place: str
    amount: float = 0.0

    @property
    def where(self) -> tuple[FaultKind, frozenset[str]]:
        """Kind and place; a pair is the same pair either way round."""
        return self.kind, frozenset(self.place.split("|"))


@dataclass(frozen=True, slots=True)
class WireState:
    """A wire as it can be seen now: where its ends are, and whether its first end hangs free. m, mm2.

    number: as its ferrules say, wherever the ends are. cable: whose core it is, '' for none.
    """

    name: str
    colour: str
    a: str
    b: str
    length: float
    size: float
    undone: bool
    number: int = 0
    cable: str = ""
