"""`simgate lint PATH...`: check job, site and mode files, and tell every mistake at once."""

from __future__ import annotations

import argparse
from pathlib import Path

from simgate.cli.command import FINE, NOT_FINE, Commands, add_command


def add(commands: Commands) -> None:
    """Add `lint`."""
    parser = add_command(commands, "lint", run, __doc__, "scenarios/jobs my-job.toml")
    parser.add_argument(
        "paths", metavar="PATH", nargs="+", type=Path, help="a .toml file or a folder of them"
    )


def run(args: argparse.Namespace) -> int:
    """Check the files; 1 when something is wrong with one."""
    from simgate.practice.lint import lint

    checked, problems = lint(args.paths)
    for problem in problems:
        print(problem)
    print(f"{_count(checked, 'file')} checked, {_count(len(problems), 'mistake')}")
    return NOT_FINE if problems else FINE


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
