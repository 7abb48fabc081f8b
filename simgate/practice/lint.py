"""Checking scenario files before anybody plays them: shape, meaning, and whether a job makes sense at all.

A job that cannot be built, or that is done before it begins, is found here and not in a classroom.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from simgate.bench.actions import HandOver
from simgate.bench.site import load_site
from simgate.board.modes import read as read_mode
from simgate.files import Problem, UserError, parse
from simgate.practice.job import load_job
from simgate.practice.marks import mark

FAMILIES = ("jobs", "sites", "modes")


def lint(paths: Iterable[Path]) -> tuple[int, tuple[Problem, ...]]:
    """Check files, and every .toml file below folders. Returns how many were checked, and all mistakes."""
    checked, problems = 0, []
    for path in paths:
        files = sorted(path.rglob("*.toml")) if path.is_dir() else [path]
        if not files:
            problems.append(Problem(str(path), "", "no .toml file", "a folder with scenario files"))
        for file in files:
            checked += 1
            problems += lint_file(file)
    return checked, tuple(problems)


def lint_file(path: Path) -> tuple[Problem, ...]:
    """Every mistake of one file."""
    try:
        return tuple(CHECKERS[family_of(path)](path))
    except UserError as error:
        return error.problems


def family_of(path: Path) -> str:
    """'jobs', 'sites' or 'modes': by the folder that the file is in, else by what it holds.

    Raises UserError when it is none of them.
    """
    raw = parse(path, path.name).raw
    if path.resolve().parent.name in FAMILIES:
        return path.resolve().parent.name
    for family, keys in MARKS_OF.items():
        if keys & raw.keys():
            return family
    raise UserError(Problem(path.name, "", "neither a job, a site nor a mode", _ALLOWED))


_ALLOWED = "goals (a job), leaves and wires (a site), or a row of cells for each condition (a mode)"
MARKS_OF = {"jobs": {"briefing", "goal"}, "sites": {"leaf", "wire"}, "modes": {"closes-itself", "while-held"}}


def _check_job(path: Path) -> Iterator[Problem]:
    job = load_job(path)
    try:
        bench = job.bench()
    except UserError as error:  # the gate cannot be brought to where the job says that it starts
        document = parse(path, path.name)
        for problem in error.problems:
            yield document.problem(["board", problem.where], problem.found, problem.allowed)
        return
    bench.act(HandOver())
    if mark(job, bench).passed:
        yield Problem(path.name, "goal", "a job that is passed by doing nothing", "a goal that needs work")


def _check_site(path: Path) -> Iterator[Problem]:
    load_site(str(path))
    return iter(())


def _check_mode(path: Path) -> Iterator[Problem]:
    read_mode(path, path.name)
    return iter(())


CHECKERS: dict[str, Callable[[Path], Iterator[Problem]]] = {
    "jobs": _check_job,
    "sites": _check_site,
    "modes": _check_mode,
}
