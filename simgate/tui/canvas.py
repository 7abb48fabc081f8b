"""A sheet of braille dots: 2 x 4 per character cell, so that a leaf moves in quarters of a line.

Half blocks vanish without colour and whole characters jump; dots do neither. Pure values and lists,
no terminal library: the Yard's picture can be tested, and printed, without a terminal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from itertools import groupby

# Bit of each dot in a braille cell, by column and row (Unicode block 2800).
_DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
_BLANK = 0x2800


class Ink(Enum):
    """What a cell shows, for colour only: every ink also has its own glyph or line."""

    GROUND = "ground"
    ARC = "arc"
    POST = "post"
    STOP = "stop"
    BEAM = "beam"
    BROKEN = "broken"
    LEAF = "leaf"
    BODY = "body"
    PERSON = "person"
    LAMP = "lamp"
    WORD = "word"
    PICKED = "picked"  # under a cursor


@dataclass(frozen=True, slots=True)
class Run:
    """Neighbouring cells of one ink."""

    ink: Ink
    text: str


Row = tuple[Run, ...]


class Canvas:
    """`width` x `height` cells. Dots are addressed from the top left, x < 2 width, y < 4 height.

    What lies outside is left out silently: a leaf may swing past the edge of a small picture.
    """

    __slots__ = ("_bits", "_glyphs", "_inks", "height", "touched", "width")

    def __init__(self, width: int, height: int) -> None:
        self.width = width
        self.height = height
        self._bits = [0] * (width * height)
        self._inks = [Ink.GROUND] * (width * height)
        self._glyphs: dict[int, str] = {}
        self.touched: set[int] = set()

    def copy(self) -> Canvas:
        """A sheet with the same drawing, none of it touched yet."""
        other = Canvas.__new__(Canvas)
        other.width, other.height = self.width, self.height
        other._bits = self._bits.copy()
        other._inks = self._inks.copy()
        other._glyphs = self._glyphs.copy()
        other.touched = set()
        return other

    def dot(self, x: float, y: float, ink: Ink) -> None:
        """Set the dot nearest to (x, y)."""
        column, row = math.floor(x + 0.5), math.floor(y + 0.5)
        if not (0 <= column < 2 * self.width and 0 <= row < 4 * self.height):
            return
        cell = (row >> 2) * self.width + (column >> 1)
        self._bits[cell] |= _DOTS[column & 1][row & 3]
        self._inks[cell] = ink
        self.touched.add(row >> 2)

    def line(
        self, start: tuple[float, float], end: tuple[float, float], ink: Ink, thick: float = 1.0
    ) -> None:
        """A straight line, `thick` dots wide."""
        (x0, y0), (x1, y1) = start, end
        length = math.hypot(x1 - x0, y1 - y0) or 1.0
        side = ((y0 - y1) / length, (x1 - x0) / length)
        steps = math.ceil(length * 1.2)
        strands = max(1, round(thick * 1.5))
        bits, inks, touched, width = self._bits, self._inks, self.touched, self.width
        across, down = 2 * width, 4 * self.height
        dx, dy = (x1 - x0) / steps, (y1 - y0) / steps
        for strand in range(strands):
            off = (strand / (strands - 1) - 0.5) * (thick - 1) if strands > 1 else 0.0
            x, y = x0 + side[0] * off + 0.5, y0 + side[1] * off + 0.5
            for step in range(steps + 1):  # `dot`, written out: this loop is most of a painted frame
                column, row = int(x + dx * step), int(y + dy * step)
                if 0 <= column < across and 0 <= row < down:
                    cell = (row >> 2) * width + (column >> 1)
                    bits[cell] |= _DOTS[column & 1][row & 3]
                    inks[cell] = ink
                    touched.add(row >> 2)

    def dashes(self, x0: float, x1: float, y: float, ink: Ink, on: int = 3, off: int = 3) -> None:
        """A level dashed line from x0 to x1."""
        for x in range(math.ceil(x0), math.floor(x1) + 1):
            if (x - math.ceil(x0)) % (on + off) < on:
                self.dot(x, y, ink)

    def put(self, column: int, row: int, text: str, ink: Ink) -> None:
        """Write characters over cells; they hide the dots under them."""
        for offset, glyph in enumerate(text):
            if 0 <= column + offset < self.width and 0 <= row < self.height:
                cell = row * self.width + column + offset
                self._glyphs[cell] = glyph
                self._inks[cell] = ink
                self.touched.add(row)

    def row(self, number: int) -> Row:
        """One line of cells as runs of one ink."""
        first = number * self.width
        cells = range(first, first + self.width)
        glyphs, bits, inks = self._glyphs, self._bits, self._inks
        runs = []
        for ink, group in groupby(
            cells, key=lambda cell: inks[cell] if bits[cell] or cell in glyphs else Ink.GROUND
        ):
            text = "".join(
                glyphs.get(cell) or (chr(_BLANK + bits[cell]) if bits[cell] else " ") for cell in group
            )
            runs.append(Run(ink, text))
        return tuple(runs)
