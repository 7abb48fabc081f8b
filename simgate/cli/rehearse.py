"""`simgate rehearse MODE`: try a logic mode on a learned gate; MODE is a title or a mode file."""

from __future__ import annotations

import argparse

from simgate.cli.command import Commands, add_command


def add(commands: Commands) -> None:
    """Add `rehearse`."""
    parser = add_command(commands, "rehearse", run, __doc__, "self-close")
    parser.add_argument("mode", metavar="MODE", help="a shipped mode's title, or the path of a mode file")
    parser.add_argument(
        "--against", metavar="MODE", help="another mode: two gates side by side, the same calls to both"
    )


def run(args: argparse.Namespace) -> int:
    """Open the Bench at a rehearsal."""
    if args.against is not None:
        return compare(args.mode, args.against)
    return rehearse(args.mode)


def compare(mode: str, against: str) -> int:
    """Two gates under two modes."""
    from simgate.cli.play import open_bench
    from simgate.practice.rehearse import rehearsal

    for one in (mode, against):
        rehearsal(one)  # a bad file is told here
    return open_bench(modes=(mode, against))


def rehearse(mode: str) -> int:
    """A rehearsal of one mode; a bad file is told here, on the command line, not inside the terminal."""
    from simgate.cli.play import open_bench
    from simgate.practice.rehearse import rehearsal

    return open_bench(rehearsal(mode).name)
