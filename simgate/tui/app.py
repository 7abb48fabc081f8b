"""The terminal program: screens, themes, and which screen follows which. Nothing else.

Imported only when a terminal is really opened; a headless command must never pay for Textual.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

from platformdirs import user_data_path
from textual import on
from textual.app import App, SystemCommand
from textual.screen import Screen

from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter
from simgate.board.modes import shipped_modes
from simgate.files import UserError
from simgate.practice.debrief import debrief
from simgate.practice.ending import Ending
from simgate.practice.job import REHEARSAL, Job, load_job
from simgate.practice.job_file import all_jobs
from simgate.tui.commands import Place, commands
from simgate.tui.messages import Start
from simgate.tui.pacer import Pacer
from simgate.tui.panes.job_sheet import Sheet
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.workshop import Entry, WorkshopScreen
from simgate.tui.themes import DUSK, THEMES

PLACES: dict[type, Place] = {
    WorkshopScreen: Place.WORKSHOP,
    BenchScreen: Place.BENCH,
    DebriefScreen: Place.DEBRIEF,
}


class SimgateApp(App[None]):
    """job: start at this job's Bench instead of the Workshop. tape: where that run is written.

    Without `tape`, runs are written one by one into `tapes`, by default the user's own data folder.
    pacer: makes the clock of each Bench; tests hand in one that stands still.
    """

    TITLE = "simgate"
    ENABLE_COMMAND_PALETTE = True

    def __init__(
        self,
        job: str | None = None,
        tape: Path | None = None,
        tapes: Path | None = None,
        pacer: Callable[[], Pacer] = Pacer,
    ) -> None:
        super().__init__()
        self._job, self._tape, self._pacer = job, tape, pacer
        self._tapes = tapes
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DUSK.name

    def on_mount(self) -> None:
        self.push_screen(WorkshopScreen(_jobs(), _modes()))
        if self._job is not None:
            self._open(self._job, self._tape)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The palette: the commands of the screen below it, themes, quit."""
        for command in commands(PLACES[type(screen)]) if type(screen) in PLACES else ():
            yield SystemCommand(
                f"{command.title}  ({command.keycap})",
                command.help,
                partial(screen.run_action, command.action),
            )
        yield SystemCommand("Theme", "Light or dark", self.action_change_theme)
        yield SystemCommand("Quit", "Leave simgate", self.action_quit)

    @on(Start)
    def _start(self, message: Start) -> None:
        self._open(message.name, None)

    def _open(self, name: str, tape: Path | None) -> None:
        """Set the Bench up for a job and go there."""
        try:
            job = load_job(name)
            writer = TapeWriter(tape or self._new_tape(name), job.setup())
            bench = job.bench(tape=writer)
        except UserError as error:
            self.notify(str(error), severity="error", timeout=10, markup=False)
            return
        screen = BenchScreen(bench, _sheet(job), self._pacer())
        self.push_screen(screen, partial(self._left, job, bench))

    def _left(self, job: Job, bench: Bench, handed_over: bool | None) -> None:
        """After the Bench: the debrief if the work was handed over, else the Workshop."""
        if bench.tape is not None:
            bench.tape.close()
        if handed_over:
            story = debrief(job, Ending.of(bench))
            self.push_screen(
                DebriefScreen(story), lambda again: self._open(job.name, None) if again else None
            )

    def _new_tape(self, name: str) -> Path:
        """A tape's name that is not taken yet."""
        folder = self._tapes or user_data_path("simgate") / "tapes"
        stem = Path(name.replace(":", "-")).stem
        return next(path for n in count(1) if not (path := folder / f"{stem}-{n:03d}.tape").exists())


def _sheet(job: Job) -> Sheet:
    return Sheet(
        title=job.title,
        briefing=job.briefing,
        goals=tuple(goal.words for goal in job.goals),
        minutes=job.minutes if job.marked else 0,
        hints=tuple(hint.text for hint in job.hints),
        caution=" ".join(job.caution.split()),
    )


def _jobs() -> list[Entry]:
    return [Entry(job.name, job.title, f"{job.learner}, {job.minutes} minutes") for job in all_jobs()]


def _modes() -> list[Entry]:
    return [Entry(REHEARSAL + title, title, table.summary) for title, table in shipped_modes().items()]


def run(job: str | None = None, tape: Path | None = None) -> int:
    """Open the terminal, at a job's Bench or at the Workshop. Returns the exit code."""
    app = SimgateApp(job, tape)
    app.run()
    return app.return_code or 0
