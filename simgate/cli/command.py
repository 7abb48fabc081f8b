"""How a command is added: its help, its description and an example, alike for every family."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

from simgate.files import Problem, UserError

FINE, NOT_FINE, MISUSE = 0, 1, 2  # exit codes, as the README tells them

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"  # argparse has no public name


def add_command(
    commands: Commands, name: str, run: Callable[[argparse.Namespace], int], doc: str | None, example: str
) -> argparse.ArgumentParser:
    """Add a command that calls `run`. Its one-line help is the first sentence of the family's docstring."""
    description = (doc or "").split(": ", 1)[-1].strip().replace("`", "'")
    parser = commands.add_parser(
        name,
        help=description.split(".\n")[0].splitlines()[0].rstrip("."),
        description=description,
        epilog=f"example: simgate {name} {example}".rstrip(),
    )
    parser.set_defaults(run=run)
    return parser


def add_json(parser: argparse.ArgumentParser) -> None:
    """Add the option --json."""
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")


def write(path: Path, text: str) -> None:
    """Write what a command was asked to write, and say so. Raises UserError where that cannot be done."""
    try:
        path.write_text(text, encoding="utf-8")
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL in it
        found = (error.strerror if isinstance(error, OSError) else "") or "an unwritable file"
        raise UserError(Problem(str(path), "", found, "a file that can be written")) from None
    print(f"written: {path}")
