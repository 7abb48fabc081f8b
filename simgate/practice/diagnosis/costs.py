"""costs.toml as values: what looking costs, how exact it is, how far gone a typical fault is."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Meta

from simgate.files import Document, Problem, Shape, UserError, nearest, read, shown
from simgate.wiring.faults import Fault, FaultKind, row

Seconds = Annotated[float, Meta(gt=0, le=86_400)]
NotNegative = Annotated[float, Meta(ge=0, le=86_400)]
PLACE, BRING = "place, each time", "bring about, each time"  # headings of `prices`


class Fetch(Shape, frozen=True):
    """Seconds to get an instrument out, once."""

    meter: NotNegative
    clamp: NotNegative
    scale: NotNegative
    tester: NotNegative
    gauge: NotNegative
    spare: NotNegative
    water: NotNegative
    remote: NotNegative
    link: NotNegative
    plug: NotNegative


class Place(Shape, frozen=True, rename="kebab"):
    """Seconds to place an instrument or to look, each time."""

    volts: Seconds
    ohms: Seconds
    clamp: Seconds
    look: Seconds
    volts_ac: Seconds
    play: Seconds
    force: Seconds
    heard: Seconds
    strip: Seconds
    lens: Seconds
    pull: Seconds
    stop: Seconds
    capacity: Seconds


class Open(Shape, frozen=True):
    """Seconds to walk to a place and open it, once."""

    board: NotNegative
    device: NotNegative
    joint: NotNegative


class StateSeconds(Shape, frozen=True, rename="kebab"):
    """Seconds to bring the gate into a state and back, each time."""

    rest: NotNegative
    dead: NotNegative
    worked: NotNegative
    swung: NotNegative
    dead_swung: NotNegative
    jog: NotNegative
    stalled: NotNegative
    full_force: NotNegative
    wet: NotNegative
    watched: NotNegative
    tugged: NotNegative
    spare: NotNegative
    core_off: NotNegative
    wet_core_off: NotNegative
    linked: NotNegative
    plugged: NotNegative
    on_battery: NotNegative


class Tolerance(Shape, frozen=True):
    """How far a reading may be off: a share of it, and something more in its unit."""

    share: Annotated[float, Meta(ge=0, lt=1)]
    floor: NotNegative

    def off(self, value: float) -> float:
        """The most that a reading of `value` may be off, either way."""
        return self.share * abs(value) + self.floor


class Tolerances(Shape, frozen=True, rename="kebab"):
    """Of each instrument."""

    volts: Tolerance
    ohms: Tolerance
    clamp: Tolerance
    pull: Tolerance
    stop: Tolerance
    capacity: Tolerance
    volts_ac: Tolerance
    play: Tolerance
    force: Tolerance


class Costs(Shape, frozen=True):
    """The whole table. proving: s to prove a repair. second: of the gates with a fault, those that have two.
    amount: by kind of fault, of every kind that has one.
    """

    proving: NotNegative
    second: Annotated[float, Meta(ge=0, lt=1)]
    fetch: Fetch
    place: Place
    open: Open
    state: StateSeconds
    tolerance: Tolerances
    amount: dict[str, float]

    def to_place(self, how: str) -> float:
        """Seconds of a way to look; of a plain look where nothing is said of it."""
        return float(getattr(self.place, how.replace("-", "_"), self.place.look))

    def of_state(self, kind: str) -> float:
        """Seconds of a kind of state."""
        return float(getattr(self.state, kind.replace("-", "_")))

    def to_fetch(self, instrument: str) -> float:
        """Seconds to fetch an instrument."""
        return float(getattr(self.fetch, instrument))

    def tolerance_of(self, how: str) -> Tolerance | None:
        """Of an instrument; None where a look tells exactly."""
        found = getattr(self.tolerance, how.replace("-", "_"), None)
        return found if isinstance(found, Tolerance) else None


@cache
def costs() -> Costs:
    """The table. Raises UserError with everything that is wrong with it."""
    table, document = read(Path(__file__).with_name("costs.toml"), Costs)
    problems = list(_mistakes(table, document))
    if problems:
        raise UserError(problems)
    return table


def prices() -> dict[str, dict[str, float]]:
    """Seconds of each instrument, place to open, way to look and state, as planner and debrief count them."""
    table = costs()
    parts = {"fetch, once": table.fetch, PLACE: table.place, "open, once": table.open}
    parts[BRING] = table.state
    return {name: msgspec.to_builtins(part) for name, part in parts.items()}


def _mistakes(table: Costs, document: Document) -> Iterator[Problem]:
    """Amounts of kinds that there are not, or have none, or too little or too much of it."""
    rows = {kind.value: row(kind) for kind in FaultKind if row(kind).most}
    for name, amount in table.amount.items():
        if name not in rows:
            yield document.problem(["amount", name], shown(name), nearest(name, rows))
        elif not rows[name].least <= amount <= rows[name].most:
            allowed = f"{rows[name].least:g} to {rows[name].most:g} {rows[name].unit}"
            yield document.problem(["amount", name], f"{amount:g}", allowed)
    for name in rows:
        if name not in table.amount:
            yield document.problem(
                ["amount"], f"nothing for '{name}'", "an amount for every kind that has one"
            )


def typical(kind: FaultKind, place: str) -> Fault:
    """A fault of a kind as far gone as is usual."""
    return Fault(kind, place, costs().amount.get(kind.value, 0.0))
