"""`simgate play JOB`: work on a job at the Bench. `simgate` alone opens the Workshop."""

from __future__ import annotations

import argparse
import sys

from simgate.cli.command import Commands, add_command
from simgate.files import Problem, UserError


def add(commands: Commands) -> None:
    """Add `play`."""
    parser = add_command(commands, "play", run, __doc__, "first-learn")
    parser.add_argument("job", metavar="JOB", help="a shipped job's name, or the path of a job file")


def run(args: argparse.Namespace) -> int:
    """Open the Bench at one job."""
    from simgate.practice.job import load_job

    load_job(args.job)  # a bad file is told here, on the command line, not inside the terminal
    return _open(args.job)


def workshop() -> int:
    """Open the Workshop."""
    return _open(None)


def _open(job: str | None) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty() and sys.stderr.isatty()):  # the screen goes to stderr
        allowed = "a terminal; without one use 'simgate jobs', 'simgate replay TAPE' or the Python API"
        raise UserError(Problem("simgate", "", "no terminal to draw in", allowed))
    from simgate.tui.app import run as run_app

    return run_app(job)
