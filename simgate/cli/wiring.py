"""`simgate wiring SITE`: the one-line and the terminal diagram of a site, to read or to print.

Both are worked out from the site's wires. As text they take 80 columns; as SVG they share one sheet of A4.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from simgate.cli.command import FINE, Commands, add_command, write


def add(commands: Commands) -> None:
    """Add `wiring`."""
    parser = add_command(commands, "wiring", run, __doc__, "farm-double --svg farm.svg")
    parser.add_argument("site", metavar="SITE", help="a shipped site's name, or the path of a site file")
    parser.add_argument("--svg", metavar="FILE", type=Path, help="write one sheet of A4 instead")


def run(args: argparse.Namespace) -> int:
    """Print both diagrams, or write the sheet."""
    from simgate.bench.site import load_site
    from simgate.practice.drawing.plan import plan
    from simgate.wiring.harness import Harness

    site = load_site(args.site)
    drawn = plan(Harness(site.wiring), site.title, site.name)
    if args.svg is None:
        from simgate.practice.drawing.text import text

        print(text(drawn), end="")
    else:
        from simgate.practice.drawing.sheet import svg

        write(args.svg, svg(drawn))
    return FINE
