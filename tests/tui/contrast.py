"""How far text stands out from its ground on a rendered screen.

Relative luminance and contrast ratio as WCAG 2.2 defines them (W3C Recommendation, "relative luminance" and
"contrast ratio"), which asks for 4.5 to 1 for text (success criterion 1.4.3), for 7 to 1 where contrast is
enhanced (1.4.6), and for 3 to 1 for what is drawn (1.4.11).
"""

from __future__ import annotations

from collections.abc import Iterator

from textual.app import App
from textual.color import Color

TEXT, ENHANCED, DRAWN = 4.5, 7.0, 3.0


def luminance(color: Color) -> float:
    """Relative luminance, 0 for black to 1 for white."""
    red, green, blue = (_linear(part / 255) for part in color.rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


def ratio(one: Color, other: Color) -> float:
    """Contrast ratio, 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def words(app: App[None]) -> Iterator[tuple[str, Color, Color]]:
    """Every run of text of the screen that lies on top, with its colour and that of its ground.

    What shines through from below a card is not there to be read.
    """
    screen = app.screen
    card = next(iter(screen.query(".card, CommandList")), None) if screen.is_modal else None
    region = card.region if card is not None else screen.region
    strips = screen._compositor.render_strips()
    for strip in strips[region.y : region.bottom]:
        for segment in strip.crop(region.x, region.right):
            style = segment.style
            if style is None or style.color is None or style.bgcolor is None or not segment.text.strip():
                continue
            front, ground = Color.from_rich_color(style.color), Color.from_rich_color(style.bgcolor)
            if style.dim:
                front = ground.blend(front, 0.5)  # as Textual dims
            yield segment.text.strip(), *((ground, front) if style.reverse else (front, ground))
