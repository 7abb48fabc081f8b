"""The copper of one site as it stands: what can be seen of it, and what hands and faults change.

Nothing is worked out here. Whoever changes a wire, a link or a fuse ends with `changed`, which counts the
changes; what the copper then comes to is the harness's, which is made from this (`harness.py`).

Points are named 'owner.terminal'. Everything that names a thing which is not there raises UserError with
what is.
"""

from __future__ import annotations

from collections.abc import Iterable

from simgate.files import UserError, nearest, shown
from simgate.wiring import build, fuses, iron
from simgate.wiring.battery import Battery
from simgate.wiring.build import Wire
from simgate.wiring.check import check, points, problem
from simgate.wiring.fitting import FOOT, FOOT_OHMS, Fitting
from simgate.wiring.heads import AERIAL, heads_of, remotes_of, states
from simgate.wiring.iron import Iron
from simgate.wiring.mains import MainsSide
from simgate.wiring.marking import numbered
from simgate.wiring.spec import DeviceKind, Fault, WireState, WiringSpec

SOFTER = 0.5  # ohm for each V that a weak supply has lost (invented)


class Copper:
    """The copper of a site, built as `spec` means it. Raises UserError when that cannot be built."""

    def __init__(self, spec: WiringSpec) -> None:
        check(spec)
        self.spec = spec
        self.supply_volts = spec.supply.volts
        self.battery = None if spec.supply.battery is None else Battery(spec.supply.battery)
        self.version = 0
        self.injected: list[Fault] = []
        self._points = points(spec)
        self._rank = {point: number for number, point in enumerate(self._points)}
        motors = [d for d in spec.devices if d.kind is DeviceKind.MOTOR]
        self._motors = {d.leaf: d.name for d in motors if d.leaf is not None}
        self.iron = Iron()
        self.rain = 0.0
        self.mains = MainsSide()
        self.battery_off = False  # taken off its screws
        self.plug: tuple[str, str] | None = None  # where the 8.2 kohm test plug is
        self._spares: dict[str, Fitting] = {}  # by beam: the spare that is connected in its place
        self._fittings = {device.name: Fitting(device) for device in spec.devices}
        self._wires = {wire.name: Wire(wire) for wire in spec.wires}
        self._numbers = numbered(spec)
        self._links = [self._pair(*link) for link in spec.links]
        self._bridges: list[tuple[str, str]] = []
        self._blown: list[str] = []
        self.heads = heads_of(spec)
        self.remotes = remotes_of(spec)
        self.aerial = 1.0  # share of its range that the board's receiver leaves a remote

    def changed(self) -> None:
        """Count a change to the copper."""
        self.version += 1
        self._links.sort(key=lambda link: (self._rank[link[0]], self._rank[link[1]]))

    # What can be seen -----------------------------------------------------------------------------

    def points(self) -> tuple[str, ...]:
        """Every point where a probe can touch: board first, then devices, then joints."""
        return self._points

    def wires(self) -> tuple[WireState, ...]:
        """Every wire as it looks; a break inside the insulation and a tired joint do not show."""
        return tuple(
            WireState(
                name, w.spec.colour, w.a, w.b, w.spec.length, w.spec.size, w.undone,
                self._numbers[name], w.spec.cable,
            )
            for name, w in self._wires.items()
        )  # fmt: skip

    def links(self) -> tuple[tuple[str, str], ...]:
        """The links that are in, in the order of the points."""
        return tuple(self._links)

    def fuses(self) -> tuple[str, ...]:
        """Names of the fuses."""
        return fuses.names(self.spec)

    def state(self) -> tuple[object, ...]:
        """Everything about the copper that can change, as plain values: equal states are equal copper."""
        wires = tuple(
            (w.a, w.b, w.undone, w.parted, w.added, w.thin, w.leak, w.flicker, w.wet, w.chatter)
            for w in self._wires.values()
        )
        battery = None if self.battery is None else self.battery.state()
        fittings = tuple(fitting.state() for fitting in self._fittings.values())
        deaf = (self.aerial,) if self.aerial < 1.0 else ()
        loose = states(self.heads.values()), states(self.remotes.values()), *deaf
        copper = wires, tuple(self._links), tuple(self._bridges), tuple(sorted(self._blown))
        return *copper, fittings, battery, self.supply_volts, self.iron.state(), *self._moved(), *loose

    def _moved(self) -> tuple[object, ...]:
        """What weather and hands have changed beside the cores and devices."""
        return self.rain, self.mains.open, self.battery_off, self.plug, tuple(self._spares)

    # Hands ----------------------------------------------------------------------------------------

    def add_link(self, a: str, b: str) -> None:
        """Put a short link between two points that have none."""
        link = self._pair(a, b)
        if link in self._links:
            raise UserError(problem("link", f"a link from {a} to {b} already", "two points without a link"))
        self._links.append(link)
        self.changed()

    def remove_link(self, a: str, b: str) -> None:
        """Take out the link between two points."""
        link = self._pair(a, b)
        if link not in self._links:
            there = ", ".join(f"{one} to {other}" for one, other in self._links) or "no link is in"
            raise UserError(problem("link", f"no link from {a} to {b}", there))
        self._links.remove(link)
        self.changed()

    def part_wire(self, name: str) -> None:
        """Undo a wire at its first end; it hangs free."""
        wire = self.wire(name)
        if wire.undone:
            raise UserError(problem(f"wire '{name}'", "undone already", "a wire that is made"))
        wire.undone = True
        self.changed()

    def remake_wire(self, name: str) -> None:
        """Make a wire good as a technician would: a whole core, tight, at its own terminals.

        That also ends a break, a tired joint and a bridge to another core on it.
        """
        self.wire(name).renew()
        self._bridges = [pair for pair in self._bridges if name not in pair]
        self.changed()

    def move_wire(self, name: str, end: str, to: str) -> None:
        """Put one end ('from' or 'to') of a wire on another point, tight."""
        wire = self.wire(name)
        self._known("end", end, build.ENDS)
        self.point(to)
        if to == wire.end("to" if end == "from" else "from"):
            raise UserError(
                problem(f"wire '{name}'", f"its other end at {to}", "a point away from its other end")
            )
        wire.put(end, to)
        wire.undone = wire.undone and end != "from"
        self.changed()

    def swap_wires(self, a: str, b: str) -> None:
        """Change over the 'from' ends of two wires; doing it twice restores."""
        one, other = self.wire(a), self.wire(b)
        if one is other:
            raise UserError(problem("swap", f"'{a}' twice", "two different wires"))
        if one.b == other.a or other.b == one.a:
            raise UserError(problem("swap", f"'{a}' and '{b}' end to end", "two wires side by side"))
        one.a, other.a = other.a, one.a
        self.changed()

    def renew_device(self, name: str) -> None:
        """Put a device right as a technician would: replaced where worn, clean, aimed and set as meant."""
        if name == "supply":
            self.supply_volts = self.spec.supply.volts
        elif name == "battery" and self.battery is not None:
            self.battery.age(1.0)
        elif name == "mains":
            self.mains.renew()
        elif name == "wind":
            self.iron.wind = 0.0
        elif name in self.remotes:
            self.remotes[name].renew()
        elif name == AERIAL:
            self.aerial = 1.0
        elif name in iron.places(self.spec.leaves):
            self.iron.renew(iron.leaf_of(name))
        else:
            self.fitting(name).renew()
        self.changed()

    def take_battery(self, off: bool) -> None:
        """Take the battery off its screws, or put it on again."""
        self.battery_off = off
        self.changed()

    def put_plug(self, points: tuple[str, str] | None) -> None:
        """Put the 8.2 kohm test plug across two points; None takes it out."""
        self.plug = None if points is None else self._pair(*points)
        self.changed()

    def connect_spare(self, beam: str, on: bool) -> None:
        """Put the cores of a beam on a spare one that is held in its place, or back on its own screws."""
        self._spares.pop(beam, None)
        if on:
            self._spares[beam] = Fitting(self.fitting(beam).spec)
        self.changed()

    def spares(self) -> tuple[str, ...]:
        """The beams in whose place a spare one is connected."""
        return tuple(self._spares)

    def beams(self) -> tuple[str, ...]:
        """The beams with a relay, for which a spare one can be connected."""
        return tuple(device.name for device in self.spec.devices if device.kind is DeviceKind.BEAM)

    def edge_ends(self) -> dict[str, bool]:
        """Every edge that is wired through: whether a resistor sits across its far screws."""
        kind = DeviceKind.EDGE_THROUGH
        return {
            one.name: FOOT in self.fitting(one.name).ohms for one in self.spec.devices if one.kind is kind
        }

    def end_edge(self, name: str, fitted: bool) -> None:
        """Put an end resistor across the far screws of an edge that is wired through, or take it out."""
        ohms = self.fitting(name).ohms
        if fitted:
            ohms[FOOT] = FOOT_OHMS
        else:
            ohms.pop(FOOT, None)
        self.changed()

    def renewable(self) -> tuple[str, ...]:
        """Everything that `renew_device` takes: devices, supply, battery, leaves, radio, mains, weather.

        Heads of the line are none: their switches, lens and aim are set by hand, each by itself.
        """
        battery = () if self.battery is None else ("battery",)
        devices = (name for name in self._fittings if name not in self.heads)
        radio = (*self.remotes, AERIAL) if self.remotes else ()
        return (*devices, "supply", *battery, *iron.places(self.spec.leaves), *radio, "mains", "wind")

    def replace_fuse(self, name: str) -> None:
        """Fit a new fuse, whether or not the old one was whole."""
        self._known("fuse", name, self.fuses())
        self.blow(name, on=False)

    # For faults -----------------------------------------------------------------------------------

    def wire(self, name: str) -> Wire:
        """The state of a wire, to be changed only by what calls `changed` afterwards."""
        self._known("wire", name, self._wires)
        return self._wires[name]

    def _moves_with(self, wire: Wire) -> int:
        """The leaf whose movement works a core: that of the device at either end, else the first."""
        for point in (wire.spec.b, wire.spec.a):
            fitting = self._fittings.get(point.rpartition(".")[0])
            if fitting is not None and fitting.spec.leaf is not None:
                return fitting.spec.leaf
        return 0

    def weaken(self, volts: float) -> None:
        """Let the supply give so much less than it should."""
        self.supply_volts = self.spec.supply.volts - volts
        self.changed()

    @property
    def supply_ohms(self) -> float:
        """Ohm of the supply; one that gives too little is also softer than it should be."""
        return self.spec.supply.resistance + SOFTER * (self.spec.supply.volts - self.supply_volts)

    def let_rain(self, share: float) -> None:
        """Let it rain, 0 (dry) to 1, on every box and cable."""
        self.rain = share
        self.changed()

    @property
    def soaks(self) -> bool:
        """Whether any cable takes in water."""
        return any(wire.wet for wire in self._wires.values())

    def stray(self, leaf: int) -> float:
        """Pulses a second that the line of a leaf's encoder picks up for each ampere of its motor."""
        named = (fitting for fitting in self._fittings.values() if fitting.stray)
        return next((fitting.stray for fitting in named if fitting.spec.leaf == leaf), 0.0)

    def worn(self, leaf: int) -> float:
        """Ohm that the winding of a leaf's motor has more than it should."""
        fitting = self._fittings.get(self._motors.get(leaf, ""))
        if fitting is None or "winding" not in fitting.ohms:
            return 0.0
        return fitting.ohms["winding"] - (fitting.spec.winding or 0.0)

    def fitting(self, device: str) -> Fitting:
        """The state of a device, to be changed only by what calls `changed` afterwards."""
        self._known("device", device, self._fittings)
        return self._fittings[device]

    def standing(self, device: str) -> Fitting:
        """What is on the cores of a device: itself, or the spare in its place."""
        return self._spares.get(device) or self._fittings[device]

    def bridged(self, a: str, b: str) -> bool:
        """Whether two cores touch."""
        return (a, b) in self._bridges or (b, a) in self._bridges

    def bridge(self, a: str, b: str, on: bool) -> None:
        """Let the far ends of two cores touch, or part them."""
        self._bridges = [pair for pair in self._bridges if set(pair) != {a, b}] + ([(a, b)] if on else [])
        self.changed()

    def blown(self, fuse: str) -> bool:
        """Whether a fuse is blown. Not to be seen from outside: it takes a meter."""
        return fuse in self._blown

    def blow(self, fuse: str, on: bool = True) -> None:
        """Blow a fuse, or make it whole."""
        self._blown = [name for name in self._blown if name != fuse] + ([fuse] if on else [])
        self.changed()

    # Names ----------------------------------------------------------------------------------------

    def point(self, name: str) -> str:
        """`name`, when it is a point of this site; else UserError."""
        self._known("point", name, self._points)
        return name

    def _known(self, kind: str, name: str, names: Iterable[str]) -> None:
        names = tuple(names)
        if name not in names:
            raise UserError(problem(kind, shown(name), nearest(name, names)))

    def _pair(self, a: str, b: str) -> tuple[str, str]:
        """A link as it is kept, the earlier point first."""
        if self.point(a) == self.point(b):
            raise UserError(problem("link", f"{a} twice", "two different points"))
        return (a, b) if self._rank[a] < self._rank[b] else (b, a)
