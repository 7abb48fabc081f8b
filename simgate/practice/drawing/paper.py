"""A sheet of paper as SVG: lines, boxes and words in millimetres, black on white.

Words are measured before they are written, by widths that no common sans-serif face exceeds, and made smaller
or shorter until they fit, so that nothing runs out of the sheet whatever a site is called.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from simgate.files import printable

WIDE, HIGH = 210.0, 297.0  # A4, mm
FACE = "Helvetica, Arial, 'DejaVu Sans', sans-serif"
# Widths of letters as parts of the size: those of DejaVu Sans, the widest of the faces above, rounded up.
WIDTHS = (
    ("'", 0.28),
    (" ijl", 0.32),
    (",./:;IJ\\|·", 0.36),
    ("-f", 0.4),
    ("!()[]rt²", 0.44),
    ('"', 0.48),
    ("*_`–", 0.52),
    ("?Lcsz", 0.56),
    ("Fkvxy", 0.6),
    ("$0123456789ESTYabdeghnopqu{}", 0.64),
    ("KP", 0.68),
    ("ABCRVXZ", 0.72),
    ("HNU", 0.76),
    ("&DGOQ", 0.8),
    ("#+<=>^w~×", 0.84),
    ("M", 0.88),
    ("%", 0.96),
    ("@Wm…", 1),
)
OTHERS, BOLD = 1.0, 1.14  # of what is not in the table; of bold letters beside the others
LEAST = 1.5  # mm; smaller is not read from paper
_WIDTH = {letter: width for letters, width in WIDTHS for letter in letters}


def long(words: str, size: float, bold: bool = False) -> float:
    """mm that words take at most."""
    total = 0.0
    for letter in words:
        total += _WIDTH.get(letter, OTHERS)
    return total * size * (BOLD if bold else 1.0)


def fitted(words: str, size: float, room: float, bold: bool = False) -> tuple[str, float]:
    """Words and size that fit into `room` mm: smaller, and then shorter."""
    takes = long(words, size, bold)
    if takes > room:
        size = max(size * room / takes * 0.999, min(LEAST, size))
    whole = words
    while words and long(words, size, bold) > room:
        whole = whole[:-1].rstrip()
        words = f"{whole}…" if whole else ""
    return words, size


class Paper:
    """What has been drawn so far, in the order in which it lies on the sheet."""

    def __init__(self, title: str) -> None:
        self._title = printable(title)
        self._marks: list[str] = []

    def line(
        self, points: Sequence[tuple[float, float]], width: float = 0.25, dash: str = "", wire: str = ""
    ) -> None:
        """A line through `points`. wire: the one that it stands for, for whoever reads the file."""
        path = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        dashed += f" data-wire={quoteattr(printable(wire))}" if wire else ""
        self._marks.append(f'<polyline points="{path}" stroke-width="{width:g}"{dashed}/>')

    def box(
        self, x: float, y: float, w: float, h: float, width: float = 0.25, dark: bool = False, place: str = ""
    ) -> None:
        """A box with its upper left corner at x, y. place: what it stands for, for whoever reads the file."""
        fill = "black" if dark else "white"
        size = f'width="{w:.2f}" height="{h:.2f}"' + (
            f" data-place={quoteattr(printable(place))}" if place else ""
        )
        self._marks.append(f'<rect x="{x:.2f}" y="{y:.2f}" {size} stroke-width="{width:g}" fill="{fill}"/>')

    def ring(self, x: float, y: float, r: float, dark: bool = False) -> None:
        """A circle; dark: a screw with a wire on it."""
        fill = "black" if dark else "white"
        self._marks.append(
            f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{r:.2f}" stroke-width="0.25" fill="{fill}"/>'
        )

    def words(
        self, x: float, y: float, words: str, size: float, room: float, *, at: str = "start",
        bold: bool = False, light: bool = False,
    ) -> None:  # fmt: skip
        """Words on the base line y. at: which of their ends x is. light: white on a dark box."""
        words, size = fitted(printable(words), size, room, bold)
        if not words:
            return
        style = ' font-weight="bold"' if bold else ""
        ink = "white" if light else "black"
        self._marks.append(
            f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="{at}" fill="{ink}"{style}>'
            f"{escape(words)}</text>"
        )

    def svg(self) -> str:
        """The whole sheet."""
        inside = "\n".join(self._marks)
        return (
            '<?xml version="1.0" encoding="UTF-8"?>\n'
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE:g}mm" height="{HIGH:g}mm" '
            f'viewBox="0 0 {WIDE:g} {HIGH:g}" role="img">\n<title>{escape(self._title)}</title>\n'
            f"<style>text {{ stroke: none; font-family: {FACE}; }}</style>\n"
            f'<rect width="{WIDE:g}" height="{HIGH:g}" fill="white"/>\n'
            f'<g stroke="black" fill="none" stroke-linecap="round" stroke-linejoin="round">\n{inside}\n'
            "</g>\n</svg>\n"
        )
