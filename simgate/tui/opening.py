"""From a name in the Workshop to a run, and from its end to the debrief: the join of screens and practice.

Apart from the app, and imported only when a run begins: iron, copper and wits take longer to load than the
Workshop takes to appear.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from itertools import count
from pathlib import Path
from threading import Lock

from simgate.bench.left_open import LeftOpen, runs_left_open
from simgate.bench.record import ScanRecord
from simgate.bench.replay import go_on
from simgate.bench.scan import Bench
from simgate.bench.tape import TapeWriter, own_version, read_tape
from simgate.files import UserError
from simgate.practice.advice import Advice, advice
from simgate.practice.debrief import Debrief, debrief
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import asks_for
from simgate.practice.job import REHEARSAL, Job, load_job
from simgate.practice.outcomes import Memory
from simgate.tui.pacer import Pacer
from simgate.tui.panes.job_sheet import Sheet
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.running import Earlier

PLANNING = Lock()  # who asks while the debrief is worked out waits for the table that it builds
KEPT = Memory()  # what rounds have shown to be known since the program began
CHANGED = "The job or its site was edited since, so this run cannot be gone on with."
OTHER_VERSION = (
    "Begun on version {theirs}; this is {ours}, on which the gate may behave a little differently."
)


class Run:
    """One run of a job, on its tape from the first action. earlier: when it is one gone on with."""

    def __init__(self, job: Job, bench: Bench, earlier: Earlier | None = None) -> None:
        self.job, self.bench = job, bench
        self._earlier = earlier
        self._screen: BenchScreen | None = None

    def screen(self, pacer: Pacer) -> BenchScreen:
        """The Bench for it."""
        kept = "" if self.bench.tape is not None else " · no tape"
        sheet = replace(sheet_of(self.job), title=self.job.title + kept)
        ask = self._advice if asks_for(self.job) else None
        self._screen = BenchScreen(self.bench, sheet, pacer, self._earlier, KEPT, ask)
        return self._screen

    def close(self) -> Path | None:
        """Hands leave it. Gives the tape if there is something on it to go on with."""
        tape, bench = self.bench.tape, self.bench
        if tape is None:
            return None
        with suppress(UserError):  # no room: then the next who goes on lets go of what is down
            if self._screen is not None:
                self._screen.runner.let_go()
        if bench.finished:
            with suppress(UserError):  # already there, unless the disk was full
                tape.end(bench.tick, bench.digest())
        tape.leave(bench.tick)
        began = any(record.actions for record in bench.records)
        return tape.path if began and not bench.finished else None

    def _advice(self, records: Sequence[ScanRecord]) -> Advice:
        """What a good hand would look at next; in a thread of its own."""
        with PLANNING:
            return advice(self.job, self.bench.setup, records)

    def _story(self, ending: Ending) -> Debrief:
        """The debrief, worked out in a thread of its own."""
        with PLANNING:
            return debrief(self.job, ending)

    def told(self) -> DebriefScreen:
        """The debrief of it; where a fault was hidden, worked out once the screen is there."""
        ending = Ending.of(self.bench)
        if asks_for(self.job):
            return DebriefScreen(None, self.job.title, partial(self._story, ending))
        return DebriefScreen(debrief(self.job, ending))


@dataclass(frozen=True, slots=True)
class Offer:
    """A run left open, as the Workshop offers it. against: why it cannot be gone on with, '' if it can."""

    run: LeftOpen
    title: str
    against: str = ""
    note: str = ""


def open_run(name: str, tape: Path | None, tapes: Path, kept: bool = True) -> Run:
    """A run of the job `name`, written to `tape` or to a new file in `tapes`, or nowhere if not `kept`.

    Raises UserError when the job cannot be loaded, and its kind TapeError when no tape can be written.
    """
    job = load_job(name)
    if not kept:
        return Run(job, job.bench())
    path = tape or _new_tape(tapes, name)
    return Run(job, job.bench(tape=TapeWriter(path, job.setup())))


def go_on_with(path: Path) -> Run:
    """The run on the tape `path`, as it was left.

    Raises UserError when it cannot be gone on with: job edited since, tape damaged, over, or in use.
    """
    tape = read_tape(path)
    job = load_job(tape.head.job)
    bench = go_on(path, tape, job.setup(tape.head.seed))
    in_order = bool(tape.left) and tape.left == tape.last
    return Run(job, bench, Earlier(bench.records, tape.actions, in_order))


def offers(tapes: Path) -> list[Offer]:
    """Every run in `tapes` that was left open, the last one first."""
    return [_offer(run) for run in runs_left_open(tapes)]


def rehearsal(mode: str) -> str:
    """The name of the job that rehearses a mode."""
    return REHEARSAL + mode


def _offer(run: LeftOpen) -> Offer:
    try:
        job = load_job(run.job)
    except UserError as error:
        return Offer(run, run.job, f"Its job cannot be loaded now: {error.problems[0]}")
    if job.setup(run.seed).fingerprint() != run.setup:
        return Offer(run, job.title, CHANGED)
    ours = own_version()
    note = "" if run.version == ours else OTHER_VERSION.format(theirs=run.version, ours=ours)
    return Offer(run, job.title, note=note)


def _new_tape(folder: Path, name: str) -> Path:
    """A name that is not taken yet."""
    stem = Path(name.replace(":", "-")).stem
    return next(path for n in count(1) if not (path := folder / f"{stem}-{n:03d}.tape").exists())


def sheet_of(job: Job) -> Sheet:
    """What of a job its learner reads."""
    return Sheet(
        title=job.title,
        briefing=job.briefing,
        goals=tuple(goal.words for goal in job.goals),
        minutes=job.minutes if job.marked else 0,
        hints=tuple(hint.text for hint in job.hints),
        caution=" ".join(job.caution.split()),
        rehearsal=job.name.startswith(REHEARSAL),
        exam=job.exam,
    )
