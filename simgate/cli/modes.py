"""`simgate modes`: the logic modes, one line each."""

from __future__ import annotations

import argparse
import json

from simgate.cli.command import Commands, add_command, add_json


def add(commands: Commands) -> None:
    """Add `modes`."""
    parser = add_command(commands, "modes", run, __doc__, "--json")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the modes."""
    from simgate.board.modes import shipped_modes

    modes = shipped_modes()
    if args.json:
        rows = [
            {"title": title, "summary": table.summary, "closes_itself": table.closes_itself}
            for title, table in modes.items()
        ]
        print(json.dumps(rows, indent=2, ensure_ascii=False))
        return 0
    width = max(len(title) for title in modes)
    for title, table in modes.items():
        print(f"{title:<{width}}  {table.summary}")
    return 0
