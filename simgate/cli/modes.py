"""`simgate modes`: the logic modes: list them, show one, compare two, choose one, check a file.

A mode is named by its title or file name, or is the path of a mode file of your own.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from simgate.cli import mode_proof
from simgate.cli.command import FINE, Commands, add_command, add_json, write
from simgate.files import Problem, UserError, nearest

if TYPE_CHECKING:
    from simgate.board.mode_table import Table

CAUTION = (
    "This narrows the choice. The site's risk assessment, the local code and a licensed person make it;\n"
    "whatever the mode, the force at the closing edge is measured on the site."
)
QUESTIONS = {
    "shuts_itself": "Must it shut by itself?",
    "many": "Do drivers come who do not know of each other?",
    "watched": "Does somebody who works it see the whole gate?",
    "walkers": "Do people walk through?",
    "follow": "Must nobody slip through behind a vehicle?",
}


def add(commands: Commands) -> None:
    """Add `modes` and what can be asked of them."""
    parser = add_command(commands, "modes", run, __doc__, "diff self-close latch")
    add_json(parser)
    asks = parser.add_subparsers(dest="ask", metavar="WHAT")
    show = asks.add_parser("show", help="the whole table of one mode, and its diagram")
    show.add_argument("mode", metavar="MODE")
    form = show.add_mutually_exclusive_group()
    add_json(form)  # type: ignore[arg-type]
    form.add_argument("--mermaid", action="store_true", help="the state diagram as Mermaid text")
    form.add_argument("--svg", metavar="FILE", type=Path, help="write the state diagram to an SVG file")
    diff = asks.add_parser("diff", help="only what two modes do differently, in words")
    diff.add_argument("one", metavar="MODE")
    diff.add_argument("other", metavar="MODE")
    add_json(diff)
    which = asks.add_parser("which", help="which mode suits a site; asks what the options leave open")
    for name, question in QUESTIONS.items():
        flag = "--" + name.replace("_", "-")
        which.add_argument(flag, choices=("yes", "no"), dest=name, help=question)
    which.add_argument(
        "--users", choices=("trained", "trained-public", "untrained"), help="who uses it (default: untrained)"
    )
    add_json(which)
    lint = asks.add_parser("lint", help="check a mode file: every missing cell and contradiction at once")
    lint.add_argument("file", metavar="FILE", type=Path)
    mode_proof.add(asks)


def run(args: argparse.Namespace) -> int:
    """Answer what is asked; without a question, list the modes."""
    asks = {None: _list, "show": _show, "diff": _diff, "which": _which, "lint": _lint, "prove": _prove}
    code: int = asks[args.ask](args)
    return code


def _list(args: argparse.Namespace) -> int:
    from simgate.board.modes import shipped_modes

    modes = shipped_modes()
    if args.json:
        rows = [
            {"title": title, "summary": table.summary, "closes_itself": table.closes_itself}
            for title, table in modes.items()
        ]
        _print(rows)
        return FINE
    width = max(len(title) for title in modes)
    for title, table in modes.items():
        print(f"{title:<{width}}  {table.summary}")
    return FINE


def _show(args: argparse.Namespace) -> int:
    from simgate.board import mode_card, mode_diagram

    table = _table(args.mode)
    if args.json:
        _print(mode_card.plain(table))
    elif args.mermaid:
        print(mode_diagram.mermaid(table))
    elif args.svg:
        write(args.svg, mode_diagram.svg(table))
    else:
        print(mode_card.text(table))
    return FINE


def _diff(args: argparse.Namespace) -> int:
    from simgate.board.mode_words import differences, told

    one, other = _table(args.one), _table(args.other)
    found = list(differences(one.cells, other.cells))
    if args.json:
        _print(
            [
                {
                    "condition": each.condition.value,
                    "stimulus": each.stimulus.value,
                    one.title: each.one.value,
                    other.title: each.other.value,
                }
                for each in found
            ]
        )
        return FINE
    for each in found:
        print(told(each, one, other))
    print(f"\n{len(found)} cells differ." if found else "They do the same in every cell.")
    return FINE


def _which(args: argparse.Namespace) -> int:
    from simgate.board.modes import shipped_modes
    from simgate.practice.choose import Needs, choices
    from simgate.rules.activation import Users, letters, words_for

    answers = {name: _answer(getattr(args, name), question) for name, question in QUESTIONS.items()}
    needs = Needs(**answers, users=Users(args.users or "untrained"))
    ranked = choices(needs, shipped_modes().values())
    if args.json:
        _print(
            [
                {
                    "mode": one.title,
                    "score": one.score,
                    "pro": one.pro,
                    "contra": one.contra,
                    "activation": one.activation.value,
                    "allowed": one.demand.allowed,
                    "asked": one.demand.words,
                    "source": one.demand.source,
                }
                for one in ranked
            ]
        )
        return FINE
    for number, one in enumerate(ranked, 1):
        print(f"{number}. {one.title}")
        for words in one.pro:
            print(f"   + {words}")
        for words in one.contra:
            print(f"   - {words}")
        print(f"   {one.activation.value.replace('-', ' ')}; least at the closing edge: {one.demand.words}")
    print(f"\nLeast protection of the main closing edge for {words_for(needs.users)}:")
    for letter, meaning in letters().items():
        print(f"  {letter}  {meaning}")
    print(f"Source: {ranked[0].demand.source}.\n{CAUTION}")
    return FINE


def _answer(given: str | None, question: str) -> bool:
    """The option, or the answer to a question; without anybody to ask, one clear error."""
    import sys

    while given is None:
        if not sys.stdin.isatty():
            allowed = "every option given, or a terminal to ask in"
            raise UserError(Problem("simgate modes which", "", f"no answer to '{question}'", allowed))
        said = input(f"{question} [yes/no] ").strip().lower()
        given = {"y": "yes", "yes": "yes", "n": "no", "no": "no"}.get(said)
    return given == "yes"


def _lint(args: argparse.Namespace) -> int:
    from simgate.board.modes import read

    table = read(args.file, args.file.name)
    print(f"{args.file.name}: {table.title}, every cell written, no contradiction found")
    return FINE


def _prove(args: argparse.Namespace) -> int:
    return mode_proof.run(_table(args.mode), args)


def _table(name: str) -> Table:
    """A mode by its title, its file name, or the path of its file."""
    from simgate.board.modes import read, shipped_modes

    shipped = shipped_modes()
    known = {title.lower(): table for title, table in shipped.items()}
    known |= {table.name: table for table in shipped.values()}
    if name.lower() in known:
        return known[name.lower()]
    if name.endswith(".toml") or "/" in name:
        return read(Path(name))
    allowed = f"{nearest(name, [*shipped])}; or the path of a mode file"
    raise UserError(Problem("simgate modes", "MODE", f"'{name}'", allowed))


def _print(value: object) -> None:
    print(json.dumps(value, indent=2, ensure_ascii=False))
