"""`simgate jobs`: the shipped jobs, one line each; the file of one of them, to begin one of your own with.

With --checks, what a goal can ask for.
"""

from __future__ import annotations

import argparse
import json

from simgate.cli.command import FINE, Commands, add_command, add_json
from simgate.files import Problem, UserError, find, parse, read, shipped

HOW = "In a job file: [[goal]] with check, words, and given = { ... }; what stands in ( ) may be left out."
DARK = """\
A hidden fault of which display and lamps show nothing is told by the briefing, and
once more for par: [[complaint]] with a look (how, state, at: as in lock-stuck), or
among which devices and wires it is (among: as in ends-slow-down). Without that every
fault that stays dark is a suspect, and par runs to half an hour."""


def add(commands: Commands) -> None:
    """Add `jobs`."""
    parser = add_command(commands, "jobs", run, __doc__, "parted-stop > my-job.toml")
    parser.add_argument("job", metavar="JOB", nargs="?", help="print the file of this shipped job")
    parser.add_argument("--checks", action="store_true", help="list the checks that a goal can name, instead")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the jobs, one job's file, or the checks."""
    if args.checks and args.job is not None:
        raise UserError(Problem("simgate jobs", "--checks", "a job beside it", "one of the two"))
    if args.json and args.job is not None:
        raise UserError(Problem("simgate jobs", "--json", "a job beside it", "the file as it is written"))
    if args.job is not None:
        return _file(args.job)
    if args.checks:
        _print_checks(args.json)
    else:
        _print_jobs(args.json)
    return FINE


def _print_jobs(as_json: bool) -> None:
    from simgate.practice.shelf import all_jobs

    jobs = all_jobs()
    if as_json:
        rows = [
            {"name": job.name, "title": job.title, "for": job.learner, "minutes": job.minutes} for job in jobs
        ]
        print(json.dumps(rows, indent=2, ensure_ascii=False))
        return
    width = max(len(job.name) for job in jobs)
    for job in jobs:
        print(f"{job.name:<{width}}  {job.title} ({job.learner}, {job.minutes} min)")
    print("\nStart one with: simgate play NAME")


def _file(name: str) -> int:
    print(parse(find("jobs", name)).text, end="")
    return FINE


def _print_checks(as_json: bool) -> None:
    """Every check with what has to be given, and how a shipped job asks for it."""
    from simgate.practice.goals import CHECKS
    from simgate.practice.job_file import JobFile

    asked = {
        goal.check: goal.words
        for name in reversed(shipped("jobs"))
        for goal in read(find("jobs", name), JobFile)[0].goal
    }
    if as_json:
        rows = [
            {
                "check": name,
                "given": {key: "needed" if one.needed else "optional" for key, one in it.parameters.items()},
                "asked_as": asked.get(name),
            }
            for name, it in sorted(CHECKS.items())
        ]
        print(json.dumps(rows, indent=2, ensure_ascii=False))
        return
    for name, it in sorted(CHECKS.items()):
        given = ", ".join(key if one.needed else f"({key})" for key, one in it.parameters.items())
        print(f"{name}  given: {given}" if given else name)
        if name in asked:
            print(f"    {asked[name]}")
    print(f"\n{HOW}\n\n{DARK}")
