"""An app round one screen, with a clock that stands still, and the screen as text for snapshots."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual._context import visible_screen_stack
from textual.app import App
from textual.pilot import Pilot
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


class Bare(App[None]):
    """An app in the program's own themes with nothing on it."""

    def __init__(self) -> None:
        super().__init__()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DUSK.name
        self.animation_level = "none"


class OneScreen(Bare):
    """Shows `screen`."""

    def __init__(self, screen: Screen[Any]) -> None:
        super().__init__()
        self.shown = screen
        self.answer: object = None

    def on_mount(self) -> None:
        self.push_screen(self.shown, self._answered)

    def _answered(self, answer: object) -> None:
        self.answer = answer


def still() -> Pacer:
    """A pacer whose clock stands still."""
    return Pacer(clock=lambda: 0.0)


class Shared:
    """One running app that many tests show their screens on, because starting one takes a while."""

    app: Bare
    pilot: Pilot[None]

    @asynccontextmanager
    async def running(self) -> AsyncIterator[None]:
        """Start the app, and end it."""
        self.app = Bare()
        async with self.app.run_test(size=SMALL) as self.pilot:
            yield


SHARED = Shared()


class OnShared:
    """`screen` on the shared app, used as an app of its own would be."""

    def __init__(self, screen: Screen[Any]) -> None:
        self.shown = screen
        self.answer: object = None

    @property
    def screen(self) -> Screen[object]:
        return SHARED.app.screen

    @asynccontextmanager
    async def run_test(
        self, size: tuple[int, int], notifications: bool = False
    ) -> AsyncIterator[Pilot[None]]:
        """Show the screen at `size`; the next test finds the app as this one found it."""
        app, pilot = SHARED.app, SHARED.pilot
        with app._context():
            app._disable_notifications = not notifications
            if app.size != size:
                await pilot.resize_terminal(*size)
            app.push_screen(self.shown, self._answered)
            await pilot.pause()
            try:
                yield pilot
            finally:
                app.clear_notifications()
                while len(app.screen_stack) > 1:
                    await app.pop_screen()
            if app._exception:
                raise app._exception

    def _answered(self, answer: object) -> None:
        self.answer = answer


def bench_app(bench: CardboardBench, sheet: Sheet = SHEET) -> tuple[OnShared, BenchScreen]:
    """A Bench round `bench` on the shared app; time passes only by `advance`."""
    screen = BenchScreen(bench, sheet, still())
    return OnShared(screen), screen


def text_of(app: App[None] | OnShared) -> str:
    """The screen as lines of text, no colours, with what shines through from the screens below it."""
    visible_screen_stack.set(list(app.screen.app._background_screens))
    strips = app.screen._compositor.render_strips()
    return "\n".join(strip.text.rstrip() for strip in strips) + "\n"


def matches(app: App[None] | OnShared, name: str) -> bool:
    """Whether the screen reads as tests/snapshots/`name`.txt; SIMGATE_SNAPSHOTS=write writes it instead."""
    path = SNAPSHOTS / f"{name}.txt"
    text = text_of(app)
    if os.environ.get("SIMGATE_SNAPSHOTS") == "write":
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8"), f"the screen reads differently from {path.name}:\n{text}"
    return True
