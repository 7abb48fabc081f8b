"""Two palettes of our own, by the light a person works in. Words and glyphs carry the meaning; these help.

Beside Textual's colours each names the board's display and the thin rules over the panes.
"""

from __future__ import annotations

from textual.theme import Theme

SCROLL_GROUND = (
    "scrollbar-background",
    "scrollbar-background-hover",
    "scrollbar-background-active",
    "scrollbar-corner-color",
)

DUSK = Theme(
    name="dusk",
    primary="#8fb8a8",
    secondary="#93a8c4",
    accent="#e3ae64",
    warning="#e08b5a",
    error="#dd6f6f",
    success="#84c08a",
    foreground="#d9ddd6",
    background="#14191b",
    surface="#1a2123",
    panel="#232c2f",
    boost="#2e393d",
    dark=True,
    variables={
        "rule": "#39474b",
        "display": "#20302b",
        "display-text": "#cfe8d8",
        "scrollbar": "#39474b",
        "scrollbar-hover": "#4d5f64",
        "scrollbar-active": "#4d5f64",
        **dict.fromkeys(SCROLL_GROUND, "#1a2123"),
    },
)
NOON = Theme(
    name="noon",
    primary="#2f6b58",
    secondary="#41597a",
    accent="#9a5b06",
    warning="#a8461a",
    error="#a52f2f",
    success="#2e7037",
    foreground="#23292a",
    background="#f6f4ee",
    surface="#efece3",
    panel="#e4e0d4",
    boost="#d6d1c2",
    dark=False,
    variables={
        "rule": "#b9b4a4",
        "display": "#d7e2d4",
        "display-text": "#1d3326",
        "scrollbar": "#b9b4a4",
        "scrollbar-hover": "#a09a88",
        "scrollbar-active": "#a09a88",
        **dict.fromkeys(SCROLL_GROUND, "#efece3"),
    },
)
THEMES = (DUSK, NOON)
