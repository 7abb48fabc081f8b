"""The copper of one site, and what a technician's hands do to it and can work on.

Nothing is worked out here: what the copper then comes to is the harness's, which is made from this
(`solved.py`, `harness.py`). A hand at a thing which is not there raises UserError with what is.
"""

from __future__ import annotations

from simgate.files import UserError
from simgate.wiring import build, iron
from simgate.wiring.check import problem
from simgate.wiring.fitting import FOOT, FOOT_OHMS, Fitting
from simgate.wiring.heads import AERIAL
from simgate.wiring.pieces import Pieces
from simgate.wiring.spec import DeviceKind


class Copper(Pieces):
    """The copper of a site, built as `spec` means it. Raises UserError when that cannot be built."""

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
