"""The pieces of one site's copper as they stand: wires, links, devices, supply; and what faults change there.

Nothing is worked out here. Whoever changes a wire, a link or a fuse ends with `changed`, which counts the
changes; what hands do is `copper.py`, what it all comes to `solved.py`.

Points are named 'owner.terminal'. Everything that names a thing which is not there raises UserError with
what is.
"""

from __future__ import annotations

from collections.abc import Iterable

from simgate.files import UserError, nearest, shown
from simgate.wiring import fuses
from simgate.wiring.battery import Battery
from simgate.wiring.build import Wire
from simgate.wiring.check import check, points, problem
from simgate.wiring.fitting import Fitting
from simgate.wiring.heads import heads_of, remotes_of, states
from simgate.wiring.iron import Iron
from simgate.wiring.mains import MainsSide
from simgate.wiring.marking import numbered
from simgate.wiring.spec import DeviceKind, Fault, WireState, WiringSpec

SOFTER = 0.5  # ohm for each V that a weak supply has lost (invented)


class Pieces:
    """Every piece of a site, built as `spec` means it. Raises UserError when that cannot be built."""

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
