"""Loading any TOML that is shipped or spoiled, by the functions with which the program itself does it.

Also what a refusal must be like. Shared by the corpus of wrong files and the fuzz.
"""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import simgate
from simgate import files
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board import modes, settings_table
from simgate.board.chart_program import Program
from simgate.files import Document, Problem, scenarios
from simgate.practice.job import load_job
from tests.catalogue.mutants import toml_below

LONGEST = 900  # characters of one report
WHOLE = ("neither a job, a site nor a mode",)  # what can only be said of a whole file
NO_WORDS = re.compile(
    r"datetime\.|0x[0-9a-f]{6}|Traceback|(Error|Exception)\b|\bNone\b|\bTrue\b|\bFalse\b|\{'\w+':|<class"
)

SCENARIOS = toml_below(scenarios())
TABLES = tuple(path for path in toml_below(Path(simgate.__file__).parent) if path not in SCENARIOS)
SOURCES = (*SCENARIOS, *TABLES)


# Loading, as the program itself does ----------------------------------------------------------------


def load_scenario(path: Path, family: str) -> None:
    """Load a mutant of a job, a site or a mode, and try out what loads."""
    if family == "sites":
        site = load_site(str(path))
        Bench(Setup("made", site, (("leaves", len(site.plant.leaves)),))).run(1_000)
    elif family == "modes":
        table = modes.read(path, path.name)
        common = modes.common()
        choices = {setting: choice for setting, choice, _ in common.variants}
        Program(table, common.when(choices))
    else:
        load_job(path)


@cache
def readers(source: Path) -> tuple[Callable[[], object], ...]:
    """The functions without parameters by which the rooms read one of their own tables.

    Found by watching which tables each of them reads, so that a new table needs nothing here.
    """
    if source == settings_table.TABLE:
        return (
            lambda: settings_table.checked(
                files.parse(source, source.name), modes.facts(modes.shipped_modes())
            ),
        )
    found = tuple(function for function, read_now in _reading() if read_now[:1] == (source,))
    assert found, f"nothing reads {source.name}: a table needs a cached function without parameters"
    return found


@cache
def _reading() -> tuple[tuple[Any, tuple[Path, ...]], ...]:
    """Every such function with the tables that it reads, itself or through another."""
    found = []
    for function in _remembering():
        with watched() as read_now:
            for other in _remembering():
                other.cache_clear()
            function()
        found.append((function, tuple(read_now)))
    return tuple(found)


@cache
def _remembering() -> tuple[Any, ...]:
    """Every cached function of the rooms that needs no parameter."""
    found = {}
    for room in ("plant", "wiring", "board", "rules", "bench", "practice"):
        package = importlib.import_module(f"simgate.{room}")
        for module in pkgutil.walk_packages(package.__path__, f"simgate.{room}."):
            for value in vars(importlib.import_module(module.name)).values():
                if hasattr(value, "cache_clear") and hasattr(value, "__wrapped__") and _needs_nothing(value):
                    found[f"{value.__module__}.{value.__qualname__}"] = value
    return tuple(found.values())


def _needs_nothing(function: Any) -> bool:
    code, defaults = function.__wrapped__.__code__, function.__wrapped__.__defaults__ or ()
    return bool(code.co_argcount == len(defaults))


def _forget(source: Path) -> None:
    """Let everything that comes from a table be read anew; what comes from others stays as it is."""
    for function, read_now in _reading():
        if source in read_now:
            function.cache_clear()


@contextmanager
def watched() -> Iterator[list[Path]]:
    """The files that are parsed meanwhile."""
    read_now: list[Path] = []
    before = files.parse

    def parse(path: Path, name: str | None = None) -> Document:
        read_now.append(path)
        return before(path, name)

    files.parse = parse
    try:
        yield read_now
    finally:
        files.parse = before


@contextmanager
def in_place_of(source: Path, other: Path) -> Iterator[None]:
    """Let `other` be read wherever the rooms read their table `source`."""
    before = files.parse
    files.parse = lambda path, name=None: before(other if path == source else path, name or path.name)
    _forget(source)
    try:
        yield
    finally:
        files.parse = before
        _forget(source)


def load(path: Path, source: Path) -> None:
    """Load the mutant at `path` of `source`. Raises UserError."""
    if source in SCENARIOS:
        load_scenario(path, source.parent.name)
        return
    functions = readers(source)
    with in_place_of(source, path):
        for function in functions:
            function()


# What a refusal must be like -------------------------------------------------------------------------


def complaint(problem: Problem) -> str:
    """What is wrong with a report, '' for a good one."""
    text = str(problem)
    faults = {
        "no file": not problem.file,
        "no place": not (problem.where or problem.line or problem.found in WHOLE),
        "nothing found": not problem.found.strip(),
        "nothing allowed": not problem.allowed.strip(),
        "too long": len(text) > LONGEST,
        "not words": bool(NO_WORDS.search(problem.found + " " + problem.allowed)),
        "not one printable line": not text.isprintable(),
        "line out of the file": problem.line is not None and problem.line < 1,
    }
    return ", ".join(fault for fault, so in faults.items() if so)
