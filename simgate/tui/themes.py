"""Palettes of our own, by the light a person works in and the eyes. Words and glyphs carry the meaning.

Beside Textual's colours each names the board's display and the thin rules over the panes; quiet text,
because what Textual works out for it is too faint by day; and what is drawn but not read (text-disabled).
In the last one no colour is sent to the terminal at all; its greys are for what Textual works out from them.
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
        "text-muted": "#9aa39e",
        "text-disabled": "#6f7a78",
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
        "text-muted": "#565c5c",
        "text-disabled": "#7f8076",
        "scrollbar": "#b9b4a4",
        "scrollbar-hover": "#a09a88",
        "scrollbar-active": "#a09a88",
        **dict.fromkeys(SCROLL_GROUND, "#efece3"),
    },
)
GLARE = Theme(
    name="high-contrast",
    primary="#ffffff",
    secondary="#9fd7ff",
    accent="#ffe04d",
    warning="#ffb84d",
    error="#ff9c9c",
    success="#9dff9d",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#1c1c1c",
    boost="#3a3a3a",
    dark=True,
    variables={
        "rule": "#c8c8c8",
        "display": "#00331f",
        "display-text": "#ffffff",
        "text-muted": "#f0f0f0",
        "text-disabled": "#d0d0d0",
        "scrollbar": "#ffffff",
        "scrollbar-hover": "#ffe04d",
        "scrollbar-active": "#ffe04d",
        **dict.fromkeys(SCROLL_GROUND, "#000000"),
    },
)
PLAIN = Theme(
    name="no-colour",
    primary="#ffffff",
    secondary="#ffffff",
    accent="#ffffff",
    warning="#ffffff",
    error="#ffffff",
    success="#ffffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    boost="#000000",
    dark=True,
    variables={
        "rule": "#ffffff",
        "display": "#000000",
        "display-text": "#ffffff",
        "text-muted": "#ffffff",
        "scrollbar": "#ffffff",
        "scrollbar-hover": "#ffffff",
        "scrollbar-active": "#ffffff",
        **dict.fromkeys(SCROLL_GROUND, "#000000"),
    },
)
THEMES = (DUSK, NOON, GLARE, PLAIN)
TITLES = {
    DUSK.name: "Dark",
    NOON.name: "Light",
    GLARE.name: "High contrast",
    PLAIN.name: "No colour",
}
COLOURLESS = """
OptionList:nocolor:focus > .option-list--option-highlighted { text-style: underline bold !important; }
Over OptionList:nocolor > .option-list--option-highlighted { text-style: underline bold !important; }
CommandList:nocolor > .option-list--option-highlighted { text-style: underline bold !important; }
Input:nocolor { text-style: underline; }
KeyCap:nocolor { text-style: underline; }
KeyCap.-down:nocolor { text-style: reverse bold; }
#head:nocolor, Head:nocolor > #head-title, FooterLine:nocolor { text-style: reverse; }
"""  # what a ground of another colour shows otherwise; Textual draws no option in reverse
QUIET = """
Input > .input--placeholder { color: $text-muted; }
CommandPalette > .command-palette--help-text { color: $foreground; text-style: none; }
CommandPalette SearchIcon { color: $text-muted; }
"""  # words of Textual's own that are too faint by day
