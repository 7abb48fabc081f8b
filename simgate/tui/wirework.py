"""What hands can do at one place of the wiring: offered by what stands there, made into actions.

Some work is done at once (DONE), some wants a second place first (BEGUN). The same actions as the Toolbag's;
only the way of pointing is another.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import Snapshot
from simgate.tui.captions import core, point, wire_name, wire_words, words
from simgate.tui.diagram import Item, Kind
from simgate.tui.tools import Choice


@dataclass(frozen=True, slots=True)
class Carried:
    """Work that waits for a second place. kind: what it wants there."""

    words: str
    kind: Kind
    make: Callable[[str], Action]


WIRE = "wire "  # before the name of a wire at a joint, whose own offers come next


def title(item: Item, shot: Snapshot) -> str:
    """An item as it is read out."""
    if item.kind is Kind.WIRE:
        return next((wire_name(wire) for wire in shot.wires if wire.name == item.name), words(item.name))
    return " to ".join(point(end) for end in item.name.split("|"))


def told(item: Item, shot: Snapshot) -> str:
    """Where one stands, in words: what is on a screw, or whose core a wire is and where it goes."""
    if item.kind is Kind.JOINT:
        wires = sorted(shot.wires, key=lambda wire: wire.number)
        ends = [core(wire.number, wire.colour) for wire in wires if item.name in (wire.a, wire.b)]
        ends += ["a link" for link in shot.links if item.name in link]
        return f"{point(item.name)}: {', '.join(ends) or 'nothing connected'}"
    if item.kind is Kind.LINK:
        return f"a link wire, {title(item, shot)}"
    wire = next(wire for wire in shot.wires if wire.name == item.name)
    undone = f", undone at {point(wire.a)}" if wire.undone else ""
    sheath = f", {words(wire.cable)}" if wire.cable else ""
    return f"{wire_name(wire)}{sheath}: {point(wire.a)} to {point(wire.b)}{undone}"


def offers(item: Item, shot: Snapshot) -> list[Choice]:
    """What can be done at an item."""
    if item.kind is Kind.JOINT:
        here = [wire for wire in shot.wires if item.name in (wire.a, wire.b)]
        return [
            ("red", "Red probe here"),
            ("black", "Black probe here"),
            ("link", "Link from here to another point"),
            *((f"{WIRE}{wire.name}", f"Work on the wire {wire_name(wire)}") for wire in here),
        ]
    if item.kind is Kind.LINK:
        return [("unlink", "Take this link out")]
    wire = next(wire for wire in shot.wires if wire.name == item.name)
    undo = [] if wire.undone else [("undo", f"Undo it at {point(wire.a)}")]
    return [
        ("clamp", "Clamp round it"),
        *undo,
        ("remake", "Make it good"),
        ("move-from", f"Move its end on {point(wire.a)} to another point"),
        ("move-to", f"Move its end on {point(wire.b)} to another point"),
        ("swap", "Change it over with another wire"),
    ]


def everything(shot: Snapshot) -> list[Choice]:
    """Every screw and every wire, to go to one of them."""
    screws = [(name, point(name)) for name in shot.points]
    return [*screws, *((wire.name, wire_words(wire)) for wire in shot.wires)]


DONE: Mapping[str, Callable[[str], Action]] = {
    "clamp": lambda name: do.Probe("clamp", name),
    "undo": lambda name: do.PartWire(name),
    "remake": lambda name: do.RemakeWire(name),
    "unlink": lambda name: do.RemoveLink(*name.split("|")),
}

BEGUN: Mapping[str, Callable[[str], Carried]] = {
    "link": lambda name: Carried(f"Link from {point(name)}", Kind.JOINT, lambda to: do.AddLink(name, to)),
    "swap": lambda name: Carried(
        f"Change over {words(name)}", Kind.WIRE, lambda other: do.SwapWires(name, other)
    ),
    "move-from": lambda name: Carried(
        f"Move {words(name)}", Kind.JOINT, lambda to: do.MoveWire(name, "from", to)
    ),
    "move-to": lambda name: Carried(
        f"Move {words(name)}", Kind.JOINT, lambda to: do.MoveWire(name, "to", to)
    ),
}
