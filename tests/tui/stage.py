"""An app round one screen, with a clock that stands still, and the screen as text for snapshots."""

from __future__ import annotations

import os
from pathlib import Path

from textual.app import App
from textual.screen import Screen

from simgate.tui.pacer import Pacer
from simgate.tui.panes.job_sheet import Sheet
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.themes import DUSK, THEMES
from tests.tui.made import CardboardBench

SNAPSHOTS = Path(__file__).parent.parent / "snapshots"
SMALL = (80, 24)
LARGE = (120, 40)
SHEET = Sheet(
    title="A gate of cardboard",
    briefing="",
    goals=("Open the gate.", "Shut it again and leave it shut."),
    minutes=10,
    hints=("Try the call button.",),
)


class OneScreen(App[None]):
    """Shows `screen` in the app's own themes."""

    def __init__(self, screen: Screen[bool]) -> None:
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DUSK.name
        self.shown = screen
        self.answer: bool | None = None

    def on_mount(self) -> None:
        self.push_screen(self.shown, self._answered)

    def _answered(self, answer: bool | None) -> None:
        self.answer = answer


def still() -> Pacer:
    """A pacer whose clock stands still."""
    return Pacer(clock=lambda: 0.0)


def bench_app(bench: CardboardBench, sheet: Sheet = SHEET) -> tuple[OneScreen, BenchScreen]:
    """An app with a Bench round `bench`; time passes only by `advance`."""
    screen = BenchScreen(bench, sheet, still())
    return OneScreen(screen), screen


def text_of(app: App[None]) -> str:
    """The screen as lines of text, no colours."""
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text.rstrip() for strip in strips) + "\n"


def matches(app: App[None], name: str) -> bool:
    """Whether the screen reads as tests/snapshots/`name`.txt; SIMGATE_SNAPSHOTS=write writes it instead."""
    path = SNAPSHOTS / f"{name}.txt"
    text = text_of(app)
    if os.environ.get("SIMGATE_SNAPSHOTS") == "write":
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8"), f"the screen reads differently from {path.name}:\n{text}"
    return True
