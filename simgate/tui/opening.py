"""From a name in the Workshop to a run, and from its end to the debrief: the join of screens and practice.

Apart from the app, and imported only when a run begins: iron, copper and wits take longer to load than the
Workshop takes to appear.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from pathlib import Path

from platformdirs import user_data_path

from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter
from simgate.practice.debrief import debrief
from simgate.practice.ending import Ending
from simgate.practice.job import REHEARSAL, Job, load_job
from simgate.tui.pacer import Pacer
from simgate.tui.panes.job_sheet import Sheet
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.debrief import DebriefScreen


@dataclass(frozen=True)
class Run:
    """One run of a job, on its tape from the first action."""

    job: Job
    bench: Bench

    def screen(self, pacer: Pacer) -> BenchScreen:
        """The Bench for it."""
        return BenchScreen(self.bench, _sheet(self.job), pacer)

    def close(self) -> None:
        """Leave the tape as it is."""
        if self.bench.tape is not None:
            self.bench.tape.close()

    def told(self) -> DebriefScreen:
        """The debrief of it."""
        return DebriefScreen(debrief(self.job, Ending.of(self.bench)))


def open_run(name: str, tape: Path | None, tapes: Path | None) -> Run:
    """A run of the job `name`, written to `tape` or to a new file in `tapes`.

    Raises UserError when the job cannot be loaded or the tape not be written.
    """
    job = load_job(name)
    path = tape or _new_tape(tapes or user_data_path("simgate") / "tapes", name)
    return Run(job, job.bench(tape=TapeWriter(path, job.setup())))


def rehearsal(mode: str) -> str:
    """The name of the job that rehearses a mode."""
    return REHEARSAL + mode


def _new_tape(folder: Path, name: str) -> Path:
    """A name that is not taken yet."""
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
