"""`simgate modes`: the logic modes, one line each."""

from __future__ import annotations

import argparse
import json

EXAMPLE = "example: simgate modes"


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `modes`."""
    parser = commands.add_parser("modes", help="list the logic modes", description=__doc__, epilog=EXAMPLE)
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")
    parser.set_defaults(run=run)


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
