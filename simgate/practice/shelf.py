"""What can be started, as it stands in a list: read from the top of each file alone.

A job or a mode is read whole, and checked, when somebody starts it. To parse all of every file would take
a good part of what passes before the first screen is there, and a list needs only what stands above
the first table.
"""

from __future__ import annotations

from typing import Any, Literal, TypeVar, get_args

import msgspec

from simgate.files import find, head, shipped

Learner = Literal["apprentice", "installer"]  # in the order of a list


class JobEntry(msgspec.Struct, frozen=True):
    """A shipped job as it stands in a list."""

    title: str
    learner: Learner
    minutes: int
    name: str = ""


class ModeEntry(msgspec.Struct, frozen=True):
    """A shipped mode as it stands in a list."""

    title: str
    summary: str
    name: str = ""


E = TypeVar("E", JobEntry, ModeEntry)


def all_jobs() -> tuple[JobEntry, ...]:
    """The shipped jobs, an apprentice's first and the shorter first. Raises UserError for a wrong shape."""
    jobs = [_entry("jobs", name, JobEntry) for name in shipped("jobs")]
    order = get_args(Learner)
    return tuple(sorted(jobs, key=lambda one: (order.index(one.learner), one.minutes, one.name)))


def all_modes() -> tuple[ModeEntry, ...]:
    """The shipped modes in the order of their names. Raises UserError for a wrong shape."""
    return tuple(_entry("modes", name, ModeEntry) for name in shipped("modes"))


def _entry(family: str, name: str, kind: type[E]) -> E:
    values: dict[str, Any] = {**head(find(family, name)), "name": name}
    try:
        return msgspec.convert(values, kind)
    except msgspec.ValidationError:
        _refuse(family, name)
        raise


def _refuse(family: str, name: str) -> None:
    """Read a file whole that has no such top, for the report that names what is wrong with it."""
    from simgate.board import modes
    from simgate.files import read
    from simgate.practice.job_file import JobFile

    if family == "jobs":
        read(find(family, name), JobFile, f"{name}.toml")
    else:
        modes.read(find(family, name))
