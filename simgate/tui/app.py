"""The terminal program: screens, themes, and which screen follows which. Nothing else.

Imported only when a terminal is really opened; a headless command must never pay for Textual. What only a
run needs is imported when one begins, so that the Workshop appears at once.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual import on
from textual.app import SystemCommand
from textual.screen import Screen

from simgate.files import UserError
from simgate.practice.shelf import all_jobs, all_modes
from simgate.tui import preferences
from simgate.tui.commands import Place, commands
from simgate.tui.first_paint import release
from simgate.tui.leaving import HUNG_UP, LOOK, on_signals, terminal_gone
from simgate.tui.look import Look
from simgate.tui.messages import Compare, GoOn, Parting, Start
from simgate.tui.pacer import Pacer
from simgate.tui.places import preferences_file, tapes_folder
from simgate.tui.preferences import Preferences
from simgate.tui.screens.workshop import Entry, WorkshopScreen

if TYPE_CHECKING:
    from simgate.tui.opening import Run
    from simgate.tui.screens.going_on import Chosen

UNKEPT = "No tape of this run can be written: {why}. Work all the same? Nothing of it will be kept."


class SimgateApp(Look):
    """job: start at this job's Bench instead of the Workshop; run_on: go on with the run on this tape.

    tape: where the run of `job` is written. Without it, runs are written one by one into `tapes`, by default
    the user's own data folder. pacer: makes the clock of each Bench; tests hand in one that stands still.
    modes: start with these two side by side. chosen: the person's preferences, kept in `chosen_in`.
    """

    TITLE = "simgate"
    CSS_PATH = "screens/workshop.tcss"  # Textual does not load a default screen's own sheet

    def __init__(
        self,
        job: str | None = None,
        tape: Path | None = None,
        tapes: Path | None = None,
        pacer: Callable[[], Pacer] = Pacer,
        run_on: Path | None = None,
        chosen: Preferences | None = None,
        chosen_in: Path | None = None,
        modes: tuple[str, str] | None = None,
    ) -> None:
        super().__init__(chosen or Preferences(), chosen_in or preferences_file())
        self._side_by_side = modes
        self._job, self._tape, self._pacer, self._run_on = job, tape, pacer, run_on
        self._tapes = tapes or tapes_folder()
        self._run: Run | None = None
        self.kept: Path | None = None  # the tape of a run that was left by leaving simgate

    def get_default_screen(self) -> WorkshopScreen:
        """The Workshop lies under everything else; pushed on an empty screen it would be painted twice."""
        return WorkshopScreen(_jobs(), _modes(), self._left_open)

    def on_mount(self) -> None:
        on_signals(self.exit)
        self.call_after_refresh(release)
        if not self.is_headless:
            self.set_interval(LOOK, self._look_for_terminal)
        if self._side_by_side is not None:
            self._compare(*self._side_by_side)
        elif self._run_on is not None:
            self._go_on(self._run_on)
        elif self._job is not None:
            self._open(self._job, self._tape)

    def _look_for_terminal(self) -> None:
        if terminal_gone():
            self.exit(return_code=HUNG_UP)

    def on_unmount(self) -> None:
        """However simgate ends, the run under way is left in order."""
        if self._run is not None:
            self.kept, self._run = self._run.close(), None

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The palette: the commands of the screen below it, and those that work everywhere."""
        place = getattr(screen, "place", None)
        for command in commands(place) if isinstance(place, Place) else ():
            title = f"{command.title}  ({self.keymap.cap(command.id)})"
            yield SystemCommand(title, command.help, partial(screen.run_action, command.action))
        for command in commands(Place.EVERYWHERE):
            if command.id != "palette":
                title = f"{command.title}  ({self.keymap.cap(command.id)})"
                yield SystemCommand(title, command.help, partial(self.run_action, command.action))

    # Runs -----------------------------------------------------------------------------------------

    @on(Start)
    def _start(self, message: Start) -> None:
        from simgate.tui.opening import rehearsal

        self._open(rehearsal(message.name) if message.rehearse else message.name, None)

    @on(Compare)
    def _asked_to_compare(self, message: Compare) -> None:
        self._compare(message.mode, message.against)

    def _compare(self, mode: str, against: str) -> None:
        """Two gates side by side; nothing of it is kept."""
        from simgate.practice.pair import compared
        from simgate.tui.screens.comparing import CompareScreen

        try:
            self.push_screen(CompareScreen(compared(mode, against), self._pacer()))
        except UserError as error:
            self.tell(str(error))

    @on(GoOn)
    def _asked_to_go_on(self, message: GoOn) -> None:
        self._go_on(message.tape)

    def action_go_on(self) -> None:
        """Offer the runs left open."""
        from simgate.tui.opening import offers
        from simgate.tui.screens.going_on import GoingOn

        if found := offers(self._tapes):
            self.push_screen(GoingOn(found), self._chose_run)
        else:
            self.tell(
                "No run is left open. A run that you leave before handing over can be gone on with here."
            )

    def _chose_run(self, chosen: Chosen | None) -> None:
        if chosen is not None and chosen.again:
            self._open(chosen.offer.run.job, None)
        elif chosen is not None:
            self._go_on(chosen.offer.run.path)

    def _open(self, name: str, tape: Path | None, kept: bool = True) -> None:
        """Set the Bench up for a job and go there, or say why not."""
        from simgate.bench.tape import TapeError
        from simgate.tui.opening import open_run
        from simgate.tui.screens.reading import Question

        try:
            run = open_run(name, tape, self._tapes, kept)
        except TapeError as error:
            why = "; ".join(f"{problem.found} ({problem.file})" for problem in error.problems)
            question = Question("No tape", UNKEPT.format(why=why))
            self.push_screen(question, lambda yes: self._open(name, None, kept=False) if yes else None)
        except UserError as error:
            self.tell(str(error))
        else:
            self._enter(run)

    def _go_on(self, tape: Path) -> None:
        """Rebuild the run on `tape` and go there, or say why not."""
        from simgate.tui.opening import go_on_with

        try:
            run = go_on_with(tape)
        except UserError as error:
            self.tell(str(error))
            return
        if run.bench.finished:  # handed over, but the disk was too full to say so
            self.push_screen(run.told(), partial(self._told, run))
        else:
            self._enter(run)

    def _enter(self, run: Run) -> None:
        self._run = run
        self.push_screen(run.screen(self._pacer()), partial(self._left, run))

    def _left(self, run: Run, parting: Parting | None) -> None:
        """After the Bench: the debrief if the work was handed over, else the Workshop."""
        run.close()
        self._run = None
        if parting is Parting.HANDED_OVER:
            self.push_screen(run.told(), partial(self._told, run))
            return
        self.clear_notifications()
        if parting is Parting.AGAIN:
            self._open(run.job.name, None)
        elif isinstance(self.screen, WorkshopScreen):
            self.screen.count()  # it came to the front before the tape was put away

    def _told(self, run: Run, again: bool | None) -> None:
        self.clear_notifications()
        if again:
            self._open(run.job.name, None)

    def _left_open(self) -> int:
        from simgate.bench.left_open import runs_left_open

        return len(runs_left_open(self._tapes))


def _jobs() -> list[Entry]:
    return [Entry(job.name, job.title, f"{job.learner}, {job.minutes} minutes") for job in all_jobs()]


def _modes() -> list[Entry]:
    return [Entry(mode.title, mode.title, mode.summary) for mode in all_modes()]


def run(job: str | None = None, run_on: Path | None = None, modes: tuple[str, str] | None = None) -> int:
    """Open the terminal, at a job's Bench, a run left open, two modes, or the Workshop. Gives the exit code.

    Raises UserError when the preferences cannot be used.
    """
    app = SimgateApp(job, run_on=run_on, modes=modes, chosen=preferences.load(preferences_file()))
    app.run()
    if app.kept is not None:
        with suppress(OSError):  # the terminal may be gone
            print(f"The run is kept in {app.kept}\nGo on with it: simgate play --go-on", file=sys.stderr)
    return app.return_code or 0
