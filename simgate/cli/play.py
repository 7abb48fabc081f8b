"""`simgate play JOB`: work on a job at the Bench. `simgate` alone opens the Workshop."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from simgate.cli.command import Commands, add_command
from simgate.files import Problem, UserError

NONE_OPEN = "'simgate play JOB' to begin one; leaving the Bench keeps it"


def add(commands: Commands) -> None:
    """Add `play`."""
    parser = add_command(commands, "play", run, __doc__, "first-learn")
    parser.add_argument(
        "job",
        metavar="JOB",
        nargs="?",
        help="a shipped job's name, or the path of a job file; with --go-on also the path of a tape",
    )
    parser.add_argument("--mode", metavar="FILE", help="rehearse the mode of a file of your own")
    parser.add_argument(
        "--go-on",
        action="store_true",
        help="go on with the run that was left last (of JOB, if given) from where it was left",
    )


def run(args: argparse.Namespace) -> int:
    """Open the Bench at one job, or at a run left open."""
    if args.go_on:
        tape = _tape(args.job)
        _check(tape)
        return open_bench(run_on=tape)
    if args.mode is not None:
        if args.job is not None:
            raise UserError(Problem("simgate play", "--mode", "a job beside it", "one of the two"))
        from simgate.cli.rehearse import rehearse

        return rehearse(args.mode)
    if args.job is None:
        raise UserError(
            Problem("simgate play", "JOB", "nothing", "a job ('simgate jobs' lists them), or --go-on")
        )
    from simgate.practice.job import load_job

    load_job(args.job)  # a bad file is told here, on the command line, not inside the terminal
    return open_bench(args.job)


def workshop() -> int:
    """Open the Workshop."""
    return open_bench()


def _tape(job: str | None) -> Path:
    """The tape meant: the one named, else that of the run left last."""
    from simgate.bench.left_open import runs_left_open
    from simgate.tui.places import tapes_folder

    if job is not None and Path(job).suffix == ".tape":
        return Path(job)
    folder = tapes_folder()
    found = [run.path for run in runs_left_open(folder) if job in (None, run.job)]
    if not found:
        which = f"no run of '{job}' left open" if job else "no run left open"
        raise UserError(Problem(str(folder), "", which, NONE_OPEN))
    return found[0]


def _check(path: Path) -> None:
    """What speaks against going on is told on the command line, too."""
    from simgate.bench.replay import same_job
    from simgate.bench.tape import read_tape
    from simgate.practice.job import load_job

    tape = read_tape(path)
    same_job(tape, load_job(tape.head.job).setup(tape.head.seed))


def open_bench(
    job: str | None = None, run_on: Path | None = None, modes: tuple[str, str] | None = None
) -> int:
    """Open the terminal there. Raises UserError without one."""
    if not (sys.stdin.isatty() and sys.stdout.isatty() and sys.stderr.isatty()):  # the screen goes to stderr
        allowed = "a terminal; without one use 'simgate jobs', 'simgate replay TAPE' or the Python API"
        raise UserError(Problem("simgate", "", "no terminal to draw in", allowed))
    from simgate.tui.first_paint import hold

    hold()
    from simgate.tui.app import run as run_app

    return run_app(job, run_on, modes)
