"""How a wire is known at its ends: by the number on its ferrule and by its colour.

Numbers that a site gives stay. The others are dealt out as somebody with a box of ferrules walks: along the
board's strip from its first screw, from each screw out by every wire and on through joints and devices to
its end, so that one circuit has numbers side by side; then whatever never comes to the board (common
practice; the order is ours). A number is a wire's and not a potential's: here each wire can be undone.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import count
from pathlib import Path

from simgate.files import Shape, read
from simgate.wiring.spec import WireSpec, WiringSpec
from simgate.wiring.tables import BOARD, strip, through

MOST_NUMBER = 999  # more digits do not go on a ferrule of a 0.5 mm2 core


class Marks(Shape, frozen=True):
    """The table of colours. codes: letter code by word. The others: words of the mains' colours."""

    line: str
    neutral: str
    protective: str
    codes: dict[str, str]


@cache
def marks() -> Marks:
    """The table of colours."""
    return read(Path(__file__).with_name("marks.toml"), Marks)[0]


def code(colour: str) -> str:
    """The letter code of 'white' (WH) or of two colours, 'blue-red' (RDBU); '' for words that have none."""
    table = marks()
    words = colour.split("-")
    if not set(words) <= set(table.codes):
        return ""
    if colour == table.protective:
        return "".join(table.codes[word] for word in words)
    return "".join(letters for word, letters in table.codes.items() if word in words)


def colour_wrong(colour: str) -> str:
    """What a core of extra-low voltage may be instead, where `colour` will not do; '' where it will."""
    table = marks()
    words = colour.split("-")
    if colour == table.protective:
        return f"another colour: {colour} is the protective conductor's alone"
    if not code(colour) or len(set(words)) < len(words) or len(words) > 2:
        return f"{', '.join(table.codes)}, or two of them with '-'"
    if len(words) == 2 and {"green", "yellow"} & set(words):
        return "green and yellow each alone: in a combination they are the protective conductor's"
    return ""


def numbered(spec: WiringSpec) -> dict[str, int]:
    """The number of every wire, by its name."""
    numbers = {wire.name: wire.number for wire in spec.wires if wire.number}
    given = set(numbers.values())
    free = (number for number in count(1) if number not in given)
    for wire in walked(spec):
        if wire.name not in numbers:
            numbers[wire.name] = next(free)
    return numbers


def walked(spec: WiringSpec) -> Iterator[WireSpec]:
    """Every wire once, as one meets them along the board's strip and out from each screw."""
    at: dict[str, list[WireSpec]] = {f"{BOARD}.{name}": [] for name in strip(spec.leaves)}
    for wire in spec.wires:
        at.setdefault(wire.a, []).append(wire)
        at.setdefault(wire.b, []).append(wire)
    across = {
        f"{device.name}.{one}": f"{device.name}.{other}"
        for device in spec.devices
        for one, other in through(device.kind.value).items()
    }
    passed: set[str] = set()
    for start in at:
        for first in at[start]:
            point, wire = start, first
            while wire.name not in passed:
                passed.add(wire.name)
                yield wire
                point = wire.b if point == wire.a else wire.a
                for here in () if point.startswith(f"{BOARD}.") else (point, across.get(point, "")):
                    onward = (other for other in at.get(here, ()) if other.name not in passed)
                    if (found := next(onward, None)) is not None:
                        wire, point = found, here
                        break
