"""`simgate`: words to calls. Each family of commands has a file with `add(parsers)` and `run(args)`.

Nothing heavy is imported here: a headless command must not pay for a terminal, and the terminal's
import is left to the command that opens it.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from simgate.cli import faults, jobs, lint, modes, play, rehearse, replay, wiring
from simgate.cli.command import FINE, MISUSE
from simgate.files import UserError

FAMILIES = (play, rehearse, jobs, modes, replay, lint, faults, wiring)
DESCRIPTION = "A bench simulator and training game for the control boards of powered gates."
CAUTION = "A simulator qualifies nobody: on a real gate the local code and a licensed person decide."


class _Version(argparse.Action):
    """Looks the version up only when asked; the look-up costs more than the whole parser."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from simgate.bench.tape import own_version

        print(f"simgate {own_version()}")
        parser.exit(FINE)


def build_parser() -> argparse.ArgumentParser:
    """The whole command line."""
    parser = argparse.ArgumentParser(
        prog="simgate", description=DESCRIPTION, epilog=f"Without a command: opens the Workshop. {CAUTION}"
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and stop")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    for family in FAMILIES:
        family.add(commands)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command. Returns 0 fine, 1 the thing asked about is not fine, 2 misuse or a bad file."""
    parser = build_parser()
    args = parser.parse_args(argv)
    try:
        if args.command is None:
            return play.workshop()
        code: int = args.run(args)
        sys.stdout.flush()
        return code
    except UserError as error:
        print(f"simgate: {error}" if len(error.problems) == 1 else str(error), file=sys.stderr)
        return MISUSE
    except BrokenPipeError:  # the reader of a pipe went away; nothing is wrong with us
        _forget_output()
        return FINE
    except OSError as error:  # nowhere to print to; files are told by the room that reads them
        _forget_output()
        print(f"simgate: found {error.strerror or error}; allowed: a place to print to", file=sys.stderr)
        return MISUSE


def _forget_output() -> None:
    """Leave what could not be printed unprinted, or the interpreter would stumble over it once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
