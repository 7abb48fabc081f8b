"""The terminal strips as text: what is on each screw of the board and of the boxes, by number and colour.

Made from a snapshot's wires, links and points alone, as the diagram is; where that follows a wire, this looks
down on a strip, as somebody does with the cover off.
"""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import fill

from textual.content import Content

from simgate.bench.record import Snapshot, WireView
from simgate.tui.captions import MADE, point, words

BOARD = "board"
WIDE = 66  # cells of a row of free screws
OFF = "╳"  # before a core that hangs off its screw
Part = tuple[str, str] | str


def strips_text(shot: Snapshot) -> Content:
    """The board's strip, then every box with joints; under each the screws that have nothing on them."""
    lamps = {item.terminal: MADE[item.made] for item in shot.inputs}
    parts: list[Part] = []
    for place in _places(shot):
        parts.append((f"{'Board' if place == BOARD else words(place).capitalize()}\n", "bold"))
        free = []
        for name in shot.points:
            owner, _, screw = name.partition(".")
            if owner != place:
                continue
            rows = list(_rows(shot, name))
            lamp = lamps.get(screw, " ") if place == BOARD else " "
            for number, (text, style) in enumerate(rows):
                head = f"{' ':<12}" if number else f"{lamp} {screw:<9} "
                parts += [head, (f"{text}\n", style)]
            if not rows:
                free.append(screw)
        if free:
            told = fill(f"free: {', '.join(free)}", WIDE, initial_indent="  ", subsequent_indent=" " * 8)
            parts.append((f"{told}\n", "$text-muted"))
    return Content.assemble(*parts)


def _places(shot: Snapshot) -> list[str]:
    """The board, and what is no device: the boxes."""
    owners = dict.fromkeys(name.partition(".")[0] for name in shot.points)
    devices = {name.partition(".")[0] for name in shot.through} | set(shot.renewable)
    return [BOARD, *(owner for owner in owners if owner != BOARD and owner not in devices)]


def _rows(shot: Snapshot, name: str) -> Iterator[tuple[str, str]]:
    """What is on one screw, each with its style."""
    for wire in sorted(shot.wires, key=lambda wire: wire.number):
        if name in (wire.a, wire.b):
            yield _core(wire, name)
    for a, b in shot.links:
        if name in (a, b):
            yield f"{'':3} {'link':<10} ══ {point(b if name == a else a)}", ""


def _core(wire: WireView, name: str) -> tuple[str, str]:
    """'31 white      ── post left · 1'; an undone wire was undone at its first end."""
    far = wire.b if name == wire.a else wire.a
    off = wire.undone and name == wire.a
    line = f"{wire.number or '':>3} {wire.colour:<10} {OFF if off else '─'}─ {point(far)}"
    told = ", off its screw here" if off else ", off its screw there" if wire.undone else ""
    return line + told, "$error" if wire.undone else ""
