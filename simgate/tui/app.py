"""The terminal program: screens, themes, and which screen follows which. Nothing else.

Imported only when a terminal is really opened; a headless command must never pay for Textual. What only a
run needs is imported when one begins, so that the Workshop appears at once.
"""

from __future__ import annotations

from asyncio import get_running_loop
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import partial
from pathlib import Path
from signal import SIGTERM
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import App, SystemCommand
from textual.screen import Screen

from simgate.board.modes import shipped_modes
from simgate.files import UserError
from simgate.practice.job_file import all_jobs
from simgate.tui.commands import Place, commands
from simgate.tui.messages import Start
from simgate.tui.pacer import Pacer
from simgate.tui.screens.workshop import Entry, WorkshopScreen
from simgate.tui.themes import DUSK, THEMES

if TYPE_CHECKING:
    from simgate.tui.opening import Run


class SimgateApp(App[None]):
    """job: start at this job's Bench instead of the Workshop. tape: where that run is written.

    Without `tape`, runs are written one by one into `tapes`, by default the user's own data folder.
    pacer: makes the clock of each Bench; tests hand in one that stands still.
    """

    TITLE = "simgate"
    CSS_PATH = "screens/workshop.tcss"  # Textual does not load a default screen's own sheet

    def __init__(
        self,
        job: str | None = None,
        tape: Path | None = None,
        tapes: Path | None = None,
        pacer: Callable[[], Pacer] = Pacer,
    ) -> None:
        super().__init__()
        self._job, self._tape, self._tapes, self._pacer = job, tape, tapes, pacer
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DUSK.name

    def get_default_screen(self) -> WorkshopScreen:
        """The Workshop lies under everything else; pushed on an empty screen it would be painted twice."""
        return WorkshopScreen(_jobs(), _modes())

    def on_mount(self) -> None:
        with suppress(NotImplementedError):  # a loop that knows no signals
            leave = partial(self.exit, return_code=128 + SIGTERM)
            get_running_loop().add_signal_handler(
                SIGTERM, leave
            )  # else the terminal is left as the Bench had it
        if self._job is not None:
            self._open(self._job, self._tape)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The palette: the commands of the screen below it, themes, quit."""
        place = getattr(screen, "place", None)
        for command in commands(place) if isinstance(place, Place) else ():
            title = f"{command.title}  ({command.keycap})"
            yield SystemCommand(title, command.help, partial(screen.run_action, command.action))
        yield SystemCommand("Theme", "Light or dark", self.action_change_theme)
        yield SystemCommand("Quit", "Leave simgate", self.action_quit)

    @on(Start)
    def _start(self, message: Start) -> None:
        from simgate.tui.opening import rehearsal

        self._open(rehearsal(message.name) if message.rehearse else message.name, None)

    def _open(self, name: str, tape: Path | None) -> None:
        """Set the Bench up for a job and go there, or say why not."""
        from simgate.tui.opening import open_run

        try:
            run = open_run(name, tape, self._tapes)
        except UserError as error:
            self.notify(str(error), severity="error", timeout=10, markup=False)
            return
        self.push_screen(run.screen(self._pacer()), partial(self._left, run))

    def _left(self, run: Run, handed_over: bool | None) -> None:
        """After the Bench: the debrief if the work was handed over, else the Workshop."""
        run.close()
        self.clear_notifications()
        if handed_over:
            self.push_screen(run.told(), partial(self._told, run))

    def _told(self, run: Run, again: bool | None) -> None:
        if again:
            self._open(run.job.name, None)


def _jobs() -> list[Entry]:
    return [Entry(job.name, job.title, f"{job.learner}, {job.minutes} minutes") for job in all_jobs()]


def _modes() -> list[Entry]:
    return [Entry(title, title, table.summary) for title, table in shipped_modes().items()]


def run(job: str | None = None, tape: Path | None = None) -> int:
    """Open the terminal, at a job's Bench or at the Workshop. Returns the exit code."""
    app = SimgateApp(job, tape)
    app.run()
    return app.return_code or 0
