"""`simgate lint PATH...`: check job, site and mode files, and tell every mistake at once."""

from __future__ import annotations

import argparse
from pathlib import Path

EXAMPLE = "example: simgate lint scenarios/jobs my-job.toml"


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `lint`."""
    parser = commands.add_parser("lint", help="check scenario files", description=__doc__, epilog=EXAMPLE)
    parser.add_argument("paths", metavar="PATH", nargs="+", type=Path, help="a .toml file, or a folder of them")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Check the files; 1 when something is wrong with one."""
    from simgate.practice.lint import lint

    checked, problems = lint(args.paths)
    for problem in problems:
        print(problem)
    print(f"{checked} file{'' if checked == 1 else 's'} checked, {len(problems)} mistake{'' if len(problems) == 1 else 's'}")
    return 1 if problems else 0
