"""`simgate play JOB`, and `simgate` alone: open the terminal, at a job or at the Workshop."""

from __future__ import annotations

import argparse
import sys

from simgate.files import Problem, UserError

EXAMPLE = "example: simgate play first-learn"


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `play`."""
    parser = commands.add_parser("play", help="work on a job at the Bench", description=__doc__, epilog=EXAMPLE)
    parser.add_argument("job", metavar="JOB", help="a shipped job's name, or the path of a job file")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Open the Bench at one job."""
    from simgate.practice.job import load_job

    load_job(args.job)  # a bad file is told here, on the command line, not inside the terminal
    return _open(args.job)


def workshop() -> int:
    """Open the Workshop."""
    return _open(None)


def _open(job: str | None) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        allowed = "a terminal; without one use 'simgate jobs', 'simgate replay TAPE' or the Python API"
        raise UserError(Problem("simgate", "", "no terminal to draw in", allowed))
    from simgate.tui.app import run as run_app

    return run_app(job)
