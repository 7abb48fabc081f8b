"""A job: a gate in a certain state, what to do about it, and by what it is judged.

Jobs are written by trainers, so a file is checked twice before anything runs: shape first, then meaning
(a fault at a wire that the site has not, a goal that nobody can judge), and every mistake of meaning is
told at once with its line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from simgate.bench.head_file import head_spec
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup, Value
from simgate.bench.site import Site, load_site
from simgate.bench.tape import TapeWriter
from simgate.board.line_table import all_settings
from simgate.board.modes import Table, facts, shipped_modes
from simgate.board.settings import Settings
from simgate.board.settings_table import catalogue
from simgate.files import Document, Problem, UserError, find, nearest, read, scenarios, shown
from simgate.plant.spec import LeafKind
from simgate.practice.complaint import Complaint, complaint_of, mistakes
from simgate.practice.conduct import STANDARD, WATCHERS
from simgate.practice.goals import CHECKS, Goal
from simgate.practice.job_file import BoardFile, FaultFile, GoalFile, JobFile
from simgate.wiring.faults import Fault, FaultKind, places, row
from simgate.wiring.harness import Harness
from simgate.wiring.heads import HeadSpec

__all__ = ["REHEARSAL", "Hint", "Job", "load_job"]

FEWEST_GOALS = 2  # with a single one, that goal would weigh more than conduct
SETTING = "setting-is"  # the check whose values hang on its key
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
    complaint: what the briefing tells of the fault, beside what the board shows. exam: nobody can be asked
    what to measure next.
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
    problems.extend(_meaning(file, document))
    if site is not None:
        problems.extend(_on_site(file, document, site))
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
        heads=tuple((one.name, head_spec(one)) for one in file.head),
        complaint=tuple(complaint_of(one) for one in file.complaint),
        exam=file.exam,
    )


def _given(goal: GoalFile) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return tuple((key, _values(value)) for key, value in goal.given.items())


def _values(value: str | list[str]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value)


# Meaning ------------------------------------------------------------------------------------------


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


def _meaning(file: JobFile, document: Document) -> Iterator[Problem]:
    """What can be said without the site."""
    try:
        Settings(facts(shipped_modes()), file.board.settings)
    except UserError as error:
        for problem in error.problems:
            yield document.problem(["board", "settings", problem.where], problem.found, problem.allowed)
    if len(file.goal) < FEWEST_GOALS:
        count = "one goal" if file.goal else "no goal"
        yield document.problem(["goal", 0], count, f"{FEWEST_GOALS} goals or more")
    for index, goal in enumerate(file.goal):
        yield from _goal(goal, index, document)
    names = [] if file.conduct == STANDARD else _values(file.conduct)
    for name in names:
        if name not in WATCHERS:
            yield document.problem(["conduct"], shown(name), nearest(name, [STANDARD, *WATCHERS]))


def _goal(goal: GoalFile, index: int, document: Document) -> Iterator[Problem]:
    if goal.check not in CHECKS:
        yield document.problem(["goal", index, "check"], shown(goal.check), nearest(goal.check, CHECKS))
        return
    parameters = CHECKS[goal.check].parameters
    for key, value in goal.given.items():
        where: list[str | int] = ["goal", index, "given", key]
        if key not in parameters:
            yield document.problem(where, "an unknown key", nearest(key, parameters))
            continue
        if not parameters[key].many and not isinstance(value, str):
            yield document.problem(where, shown(value), "one value, not a list")
        choices = parameters[key].choices()
        for one in _values(value):
            if one not in choices and not parameters[key].any_word:
                yield document.problem(where, shown(one), nearest(one, choices))
    for key, parameter in parameters.items():
        if parameter.needed and key not in goal.given:
            yield document.problem(["goal", index, "given", key], "nothing", "a value: this check needs it")
    if goal.check == SETTING:
        yield from _setting(goal, index, document)


def _setting(goal: GoalFile, index: int, document: Document) -> Iterator[Problem]:
    """A value that the setting of a goal can never have."""
    setting = catalogue(facts(shipped_modes())).get(str(goal.given.get("key")))
    if setting is None:
        return  # told already
    allowed = [setting.plain(place) for place in range(len(setting.options))]
    for value in _values(goal.given.get("value", [])):
        if value not in allowed:
            yield document.problem(["goal", index, "given", "value"], shown(value), setting.allowed())


def _on_site(file: JobFile, document: Document, site: Site) -> Iterator[Problem]:
    """What the site decides: where a fault can be, how many leaves there are."""
    harness = Harness(site.wiring)
    for index, fault in enumerate(file.fault):
        yield from _fault(fault, index, document, harness)
    yield from mistakes(file.complaint, document, harness, site)
    yield from _starts(file.board, site, document)
    yield from _devices(file, document, site)


def _devices(file: JobFile, document: Document, site: Site) -> Iterator[Problem]:
    """Line beams and remotes that a job names."""
    beams = [beam.name for beam in site.line_beams]
    for index, name in enumerate(file.board.strangers):
        if name not in beams:
            yield document.problem(["board", "strangers", index], shown(name), nearest(name, beams))
    names = [name for beam in site.line_beams for name in (beam.sender, beam.receiver)]
    for index, head in enumerate(file.head):
        if head.name not in names:
            yield document.problem(["head", index, "name"], shown(head.name), nearest(head.name, names))
        if head.switches not in all_settings():
            allowed = nearest(head.switches, all_settings())
            yield document.problem(["head", index, "switches"], shown(head.switches), allowed)
    remotes = {remote.name: remote for remote in site.wiring.remotes}
    for index, one in enumerate(file.board.taught):
        where: list[str | int] = ["board", "taught", index]
        if one.remote not in remotes:
            yield document.problem([*where, "remote"], shown(one.remote), nearest(one.remote, remotes))
        elif one.key > remotes[one.remote].keys:
            yield document.problem([*where, "key"], str(one.key), f"1 to {remotes[one.remote].keys}")
    for index, goal in enumerate(file.goal):
        named = goal.given.get("remote")
        if isinstance(named, str) and goal.check in CHECKS and named not in remotes:
            yield document.problem(["goal", index, "given", "remote"], shown(named), nearest(named, remotes))


def _starts(board: BoardFile, site: Site, document: Document) -> Iterator[Problem]:
    """Where the leaves stand at the start: one place each, in the unit of its kind, within its travel."""
    leaves = [leaf for leaf, _ in site.plant.leaves]
    sliding = leaves[0].kind is LeafKind.SLIDES
    key, given, other = "leaves_deg", board.leaves_deg, "leaves_m"
    if sliding:
        key, given, other = "leaves_m", board.leaves_m, "leaves_deg"
    if board.leaves_m if not sliding else board.leaves_deg:
        yield document.problem(["board", other], "places of the other kind of leaf", f"{key} at this site")
    if given and len(given) != len(leaves):
        what = "places" if sliding else "angles"
        yield document.problem(["board", key], f"{len(given)} {what}", f"{len(leaves)}, one for each leaf")
    if board.learned and any(given):
        yield document.problem(
            ["board", key], "a learned gate that starts open", "0: it learned standing shut"
        )
    for place, leaf in zip(given, leaves, strict=False):
        most = leaf.reach if sliding else math.degrees(leaf.reach)
        if place > most + 1e-9:
            yield document.problem(["board", key], f"{place:g}", f"0 to {most:g}")


def _fault(fault: FaultFile, index: int, document: Document, harness: Harness) -> Iterator[Problem]:
    kinds = [kind.value for kind in FaultKind]
    if fault.kind not in kinds:
        yield document.problem(["fault", index, "kind"], shown(fault.kind), nearest(fault.kind, kinds))
        return
    kind = FaultKind(fault.kind)
    possible = places(harness, kind)
    if set(fault.place.split("|")) not in [set(place.split("|")) for place in possible]:
        yield document.problem(["fault", index, "place"], shown(fault.place), nearest(fault.place, possible))
    least, most = row(kind).least, row(kind).most
    if not least <= fault.amount <= most:
        allowed = f"{least:g} to {most:g} {row(kind).unit}" if most else "no amount: this kind has none"
        yield document.problem(["fault", index, "amount"], f"{fault.amount:g}", allowed)
