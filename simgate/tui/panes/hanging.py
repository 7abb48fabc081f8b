"""Text whose long lines are broken under their own beginning: goals, hints, times, keys, marks.

Broken at the margin, the second half of a goal reads like another goal. Textual wraps whole texts only,
so lines are broken here, at whatever width the widget has.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from textwrap import wrap

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

NARROWEST = 8  # cells left for text, however long the prefix


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text after a prefix that stays clear below. Styles are Textual's."""

    text: str = ""
    prefix: str = ""
    style: str = ""
    prefix_style: str = ""

    def broken(self, width: int) -> list[str]:
        """The text in pieces that fit beside the prefix; one empty piece for an empty line."""
        return wrap(self.text, max(width - len(self.prefix), NARROWEST), break_on_hyphens=False) or [""]


def plain(lines: Iterable[Line]) -> str:
    """The lines as they read, unbroken."""
    return "\n".join(line.prefix + line.text for line in lines)


class Hanging(Widget):
    """Shows lines. As high as they are at its width."""

    DEFAULT_CSS = """
    Hanging { height: auto; width: 1fr; }
    """

    def __init__(
        self, lines: Iterable[Line] = (), *, id: str | None = None, classes: str | None = None
    ) -> None:
        super().__init__(id=id, classes=classes)
        self._lines = tuple(lines)

    def show(self, lines: Iterable[Line]) -> None:
        """Show other lines."""
        self._lines = tuple(lines)
        self.refresh(layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Rows at `width`, as Textual asks for them."""
        return sum(len(line.broken(width)) for line in self._lines)

    def render(self) -> Content:
        """The lines, broken at the width that there is."""
        parts: list[tuple[str, str]] = []
        for line in self._lines:
            for number, piece in enumerate(line.broken(self.size.width)):
                prefix = " " * len(line.prefix) if number else line.prefix
                parts += [(prefix, line.prefix_style or line.style), (piece, line.style), ("\n", "")]
        return Content.assemble(*parts[:-1])
