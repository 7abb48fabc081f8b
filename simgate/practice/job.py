"""A job: a gate in a certain state, what to do about it, and by what it is judged.

Jobs are written by trainers, so a file is checked twice before anything runs: shape first, then meaning
(a fault at a wire that the site has not, a goal that nobody can judge), and every mistake of meaning is
told at once with its line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from simgate.bench.head_file import head_spec
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup, Value
from simgate.bench.site import Site, load_site
from simgate.bench.tape import TapeWriter
from simgate.board.mode_table import Table
from simgate.files import Document, Problem, UserError, find, read, scenarios, shown
from simgate.practice.complaint import Complaint, complaint_of
from simgate.practice.conduct import STANDARD, WATCHERS
from simgate.practice.goals import Goal
from simgate.practice.job_check import mistakes, mistakes_at
from simgate.practice.job_file import GoalFile, JobFile, values
from simgate.wiring.faults import Fault, FaultKind
from simgate.wiring.heads import HeadSpec

__all__ = ["REHEARSAL", "Hint", "Job", "load_job"]

REHEARSAL = "rehearse:"  # a job by this name and a mode's title is made, not read


@dataclass(frozen=True, slots=True)
class Hint:
    """Something a learner may be told, and what it costs in marks."""

    text: str
    cost: int


@dataclass(frozen=True)
class Job:
    """A checked job. name: what it goes by on the tape. minutes: allowance of simulated time.

    faults: hidden; for the bench and the marks, never for a learner's screen. marked: False for a
    rehearsal. text: the file as read, so that a tape can tell whether it is still the same job.
    own: a mode of a person's own, to be rehearsed. wind: m/s of the day, None for the site's own.
    rain: of the day, 0 to 1. complaint: what the briefing tells of the fault, beside what the board shows.
    exam: nobody can be asked what to measure next.
    """

    name: str
    title: str
    learner: str
    minutes: int
    briefing: str
    caution: str
    site: Site
    settings: tuple[tuple[str, Value], ...] = ()
    learned: bool = False
    mains: bool = True
    places: tuple[float, ...] = ()
    faults: tuple[Fault, ...] = ()
    goals: tuple[Goal, ...] = ()
    conduct: tuple[str, ...] = ()
    hints: tuple[Hint, ...] = ()
    marked: bool = True
    text: str = ""
    roll_call: bool = False
    strangers: tuple[str, ...] = ()
    taught: tuple[tuple[str, int, str], ...] = ()
    heads: tuple[tuple[str, HeadSpec], ...] = ()
    own: Table | None = None
    wind: float | None = None
    rain: float = 0.0
    complaint: tuple[Complaint, ...] = ()
    exam: bool = False

    def setup(self, seed: int = 0) -> Setup:
        """How a run of this job starts."""
        return Setup(
            job=self.name,
            site=self.site,
            settings=self.settings,
            learned=self.learned,
            faults=self.faults,
            places=self.places,
            mains=self.mains,
            seed=seed,
            text=self.text,
            roll_call=self.roll_call,
            strangers=self.strangers,
            taught=self.taught,
            heads=self.heads,
            own=self.own,
            wind=self.wind,
            rain=self.rain,
            exam=self.exam,
        )

    def bench(self, tape: TapeWriter | None = None) -> Bench:
        """A fresh bench at the start of this job, writing to `tape` if there is one."""
        return Bench(self.setup(), tape)


def load_job(name_or_path: str | Path) -> Job:
    """The shipped job of that name, the one in that file, or a rehearsal ('rehearse:Self-close').

    Raises UserError with every mistake found.
    """
    name = str(name_or_path)
    if name.startswith(REHEARSAL):
        from simgate.practice.rehearse import rehearsal  # it makes a Job, so it cannot be imported above

        return rehearsal(name.removeprefix(REHEARSAL))
    path = find("jobs", name)
    file, document = read(path, JobFile, path.name)
    site, problems = _site(file, document, path)
    problems.extend(mistakes(file, document))
    if site is not None:
        problems.extend(mistakes_at(site, file, document))
    if problems or site is None:
        raise UserError(problems)
    own = path.resolve().parent == (scenarios() / "jobs").resolve()
    return _job(path.stem if own else name, file, document, site)


def _job(name: str, file: JobFile, document: Document, site: Site) -> Job:
    return Job(
        name=name,
        title=file.title,
        learner=file.learner,
        minutes=file.minutes,
        briefing=file.briefing.strip(),
        caution=file.caution.strip(),
        site=site,
        settings=tuple(file.board.settings.items()),
        learned=file.board.learned,
        mains=file.board.mains,
        places=tuple(math.radians(angle) for angle in file.board.leaves_deg) or tuple(file.board.leaves_m),
        faults=tuple(Fault(FaultKind(fault.kind), fault.place, fault.amount) for fault in file.fault),
        goals=tuple(Goal(goal.check, goal.words, _given(goal)) for goal in file.goal),
        conduct=tuple(WATCHERS) if file.conduct == STANDARD else tuple(file.conduct),
        hints=tuple(Hint(hint.text, hint.cost) for hint in file.hint),
        text=document.text,
        roll_call=file.board.roll_call,
        strangers=tuple(file.board.strangers),
        taught=tuple((one.remote, one.key, one.call) for one in file.board.taught),
        wind=file.wind_m_s,
        rain=file.rain_percent / 100,
        heads=tuple((one.name, head_spec(one)) for one in file.head),
        complaint=tuple(complaint_of(one) for one in file.complaint),
        exam=file.exam,
    )


def _given(goal: GoalFile) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return tuple((key, values(value)) for key, value in goal.given.items())


def _site(file: JobFile, document: Document, path: Path) -> tuple[Site | None, list[Problem]]:
    try:
        return load_site(file.site, beside=path), []
    except UserError as error:
        line = document.problem(["site"], "", "").line
        if any(problem.found == "no such site" for problem in error.problems):
            return None, [
                Problem(document.name, "site", shown(file.site), p.allowed, line) for p in error.problems
            ]
        return None, list(error.problems)
