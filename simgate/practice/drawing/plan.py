"""What the drawings of a site's wiring show, worked out from its harness and never drawn by hand.

One-line diagram: each run of cores between two places as one line, as a tree with the board at its root; a
run between two places that the tree has already is told at one of them. Terminal diagram: screw by screw,
each wire once, at the first of its ends in the order board, joints, devices; its other end names it again
only by its number.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.practice.names import plain
from simgate.wiring.harness import Harness
from simgate.wiring.marking import code, marks
from simgate.wiring.spec import DeviceKind, WireState
from simgate.wiring.tables import BOARD


@dataclass(frozen=True, slots=True)
class Place:
    """Somewhere with screws: the board, a box or post with joints, a device. kind: None for no device."""

    name: str
    title: str
    label: str
    kind: DeviceKind | None
    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Run:
    """Cores between two places, drawn as one line. cable: its name, '' where the site has none."""

    a: str
    b: str
    cable: str
    size: float
    length: float
    wires: tuple[WireState, ...]

    @property
    def told(self) -> str:
        """'2 × 0.5 mm², 35 m'."""
        return f"{len(self.wires)} × {self.size:g} mm², {self.length:g} m"

    @property
    def named(self) -> str:
        """'barn cable, 2 × 0.5 mm², 35 m'; without the name where the site has none."""
        return f"{plain(self.cable)}, {self.told}" if self.cable else self.told

    @property
    def numbers(self) -> str:
        """The numbers of its cores, those in a row as '31–33'."""
        rows: list[list[int]] = []
        for number in sorted(wire.number for wire in self.wires):
            if rows and number == rows[-1][1] + 1:
                rows[-1][1] = number
            else:
                rows.append([number, number])
        return ", ".join(f"{a}–{b}" if b > a + 1 else f"{a}, {b}" if b > a else f"{a}" for a, b in rows)


@dataclass(frozen=True, slots=True)
class Branch:
    """A place of the tree. by: the runs to it. on: what goes on from it. also: runs to places elsewhere."""

    place: Place
    by: tuple[Run, ...]
    on: tuple[Branch, ...]
    also: tuple[tuple[Run, Place], ...]


@dataclass(frozen=True, slots=True)
class Core:
    """A wire at the screw where it is drawn. code: of its colour. far: the point at its other end."""

    wire: WireState
    code: str
    far: str


@dataclass(frozen=True, slots=True)
class Screw:
    """One point of the terminal diagram. links: points that a link joins it to. came: wires drawn already."""

    point: str
    cores: tuple[Core, ...]
    links: tuple[str, ...]
    came: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """The screws of one place at which something is drawn. free: the names of those with nothing on them."""

    place: Place
    screws: tuple[Screw, ...]
    free: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that the drawings of a site show."""

    title: str
    site: str
    places: dict[str, Place]
    tree: Branch
    apart: tuple[Branch, ...]  # what no wire joins to the board
    strips: tuple[Strip, ...]
    supply: str
    mains: str


def plan(harness: Harness, title: str, site: str) -> Plan:
    """What to draw of this copper."""
    places = _places(harness)
    runs = _runs(harness)
    left, taken = list(runs), set[str]()
    tree = _grown(places, runs, left, BOARD, taken)
    apart = tuple(_grown(places, runs, left, name, taken) for name in places if name not in taken)
    spec, table = harness.spec.supply, marks()
    fuses = ", ".join(f"{name} {spec.rating(name):g} A" for name in harness.fuses())
    battery = f"; battery {spec.battery.capacity:g} A h" if spec.battery is not None else ""
    live = (("L", table.line), ("N", table.neutral), ("PE", table.protective))
    return Plan(
        title,
        site,
        places,
        tree,
        apart,
        _strips(harness, places),
        f"{spec.volts:g} V d.c.; fuses: {fuses}{battery}",
        ", ".join(f"{name} {colour} ({code(colour)})" for name, colour in live),
    )


def owner(point: str) -> str:
    """The name of the place that a point belongs to."""
    return point.rpartition(".")[0]


def screw(point: str) -> str:
    """A point without its place."""
    return point.rpartition(".")[2]


def _places(harness: Harness) -> dict[str, Place]:
    points: dict[str, list[str]] = {BOARD: []}
    for point in harness.points():
        points.setdefault(owner(point), []).append(point)
    devices = {device.name: device for device in harness.spec.devices}
    joints = [name for name in points if name != BOARD and name not in devices]
    return {
        name: Place(
            name,
            plain(name),
            devices[name].label if name in devices else "control board" if name == BOARD else "joint box",
            devices[name].kind if name in devices else None,
            tuple(points[name]),
        )
        for name in (BOARD, *joints, *devices)
    }


def _runs(harness: Harness) -> list[Run]:
    """Wires that run together, in the order of their first numbers on the board's strip."""
    rank = {point: number for number, point in enumerate(harness.points())}
    first: dict[str, int] = {}
    for point, number in rank.items():
        first.setdefault(owner(point), number)
    together: dict[tuple[str, str, str, float, float], list[WireState]] = {}
    for wire in sorted(harness.wires(), key=lambda one: min(rank[one.a], rank[one.b])):
        a, b = sorted((owner(wire.a), owner(wire.b)), key=lambda name: first[name])
        together.setdefault((a, b, wire.cable, wire.size, wire.length), []).append(wire)
    return [Run(*key, tuple(wires)) for key, wires in together.items()]


def _grown(places: dict[str, Place], runs: list[Run], left: list[Run], root: str, taken: set[str]) -> Branch:
    """The tree of everything that runs lead to from `root`, breadth first, so that each place is near.

    Takes out of `left` what it draws, and adds to `taken` where it has been.
    """
    taken.add(root)
    row, ways = [root], dict[str, list[str]]()
    for name in row:
        for run in runs:
            far = run.b if name == run.a else run.a if name == run.b else ""
            if far and far not in taken:
                taken.add(far)
                row.append(far)
                ways.setdefault(name, []).append(far)

    def taken_out(a: str, b: str) -> tuple[Run, ...]:
        found = tuple(run for run in left if {run.a, run.b} == {a, b})
        left[:] = [run for run in left if run not in found]
        return found

    def branch(name: str, from_: str) -> Branch:
        by = taken_out(from_, name) if from_ else ()
        return Branch(places[name], by, tuple(branch(far, name) for far in ways.get(name, ())), ())

    tree = branch(root, "")
    across = [run for run in left if run.a in row]
    left[:] = [run for run in left if run not in across]

    def crossed(one: Branch) -> Branch:
        also = tuple((run, places[run.a]) for run in across if run.b == one.place.name)
        return Branch(one.place, one.by, tuple(crossed(other) for other in one.on), also)

    return crossed(tree)


def _strips(harness: Harness, places: dict[str, Place]) -> tuple[Strip, ...]:
    at: dict[str, list[WireState]] = {point: [] for point in harness.points()}
    for wire in harness.wires():
        at[wire.a].append(wire)
        at[wire.b].append(wire)
    linked: dict[str, list[str]] = {}
    for a, b in harness.links():
        linked.setdefault(a, []).append(b)
    drawn: set[str] = set()
    strips = []
    joined = {point for link in harness.links() for point in link}
    for place in places.values():
        screws = []
        for point in place.points:
            here = sorted(at[point], key=lambda wire: wire.number)
            came = tuple(wire.number for wire in here if wire.name in drawn)
            fresh = [wire for wire in here if wire.name not in drawn]
            drawn.update(wire.name for wire in fresh)
            cores = tuple(
                Core(wire, code(wire.colour) or wire.colour, wire.b if wire.a == point else wire.a)
                for wire in fresh
            )
            screws.append(Screw(point, cores, tuple(linked.get(point, ())), came))
        free = tuple(screw(point) for point in place.points if not at[point] and point not in joined)
        shown = tuple(
            one for one in screws if one.cores or one.links or (place.kind is None and place.name != BOARD)
        )
        if shown or free:
            strips.append(Strip(place, shown, free))
    return tuple(strips)
