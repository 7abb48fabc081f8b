"""`simgate modes prove`: what is proven of a mode, and the shortest story of what is not."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Mapping
from itertools import product
from textwrap import wrap
from typing import TYPE_CHECKING

from simgate.cli.command import Commands, add_json
from simgate.files import Problem, UserError

if TYPE_CHECKING:
    from simgate.board.mode_table import Table
    from simgate.board.prove import Proof
    from simgate.board.settings_table import Value

WALKED = {
    "terminals": "STOP, guards, edge and calls at their terminals, any two at once",
    "line": "STOP, GUARD-C, CALL and PART, and a line beam of opening, of closing and of both",
    "remotes": "STOP, GUARD-C, CALL and PART, and a remote key taught to each call",
    "mixed": "STOP, GUARD-O, EDGE, CALL and PART, a line beam of both, and a remote key taught to CALL",
}
"""Name of a scene -> what changes around the board in it."""
ALWAYS = "timers due at any time, power cuts, what leaves meet, jog, learn cycle done, run and broken off"
TRIED = "filter, reversing pause and backing off on real parts; what comes of a leaf on its way is left open"
CAUTION = (
    "Proven of the board's program, with guards that tell the truth. Force at the\n"
    "closing edge, wiring and site are not in it: they are measured and judged on the\n"
    "site, by the local code and a licensed person."
)
EVERY = {
    "part-opening": ("in use", "not in use"),
    "guard-c-use": ("closing", "both"),
    "edge-use": ("not fitted", "closing", "opening", "both"),
}
PROVEN, BROKEN = 0, 1
WIDE = 79


def add(asks: Commands) -> None:
    """Add `prove`."""
    parser = asks.add_parser("prove", help="explore every state that the board can come to with a mode")
    parser.add_argument("mode", metavar="MODE", help="title, name or file of a mode")
    parser.add_argument(
        "--with", dest="given", metavar="KEY=VALUE", action="append", default=[],
        help="a setting that differs from what a board comes with, as edge-use=both",
    )  # fmt: skip
    parser.add_argument("--every", action="store_true", help="once for each use of part, GUARD-C and EDGE")
    parser.add_argument(
        "--scene", choices=tuple(WALKED), default="terminals",
        help="what changes around the board beside STOP, GUARD-C and calls",
    )  # fmt: skip
    add_json(parser)


def run(table: Table, args: argparse.Namespace) -> int:
    """Prove, and tell."""
    from simgate.board.prove import prove

    proofs = (prove(table, given, scene=args.scene) for given in _settings(table, args))
    if args.json:
        told = [plain(proof) for proof in proofs]
        print(json.dumps(told if args.every else told[0], indent=2, ensure_ascii=False))
        return PROVEN if all(one["proven"] for one in told) else BROKEN
    code = PROVEN
    for proof in proofs:
        print(text(proof))
        print()
        code = code if proof.proven else BROKEN
    print(CAUTION)
    return code


def plain(proof: Proof) -> dict[str, object]:
    """One proof as plain values."""
    return {
        "mode": proof.mode,
        "settings": dict(proof.settings),
        "proven": proof.proven,
        "states": proof.states,
        "edges": proof.edges,
        "scene": proof.scene,
        "scans_of_the_board": proof.scans,
        "chart_events": proof.events,
        "chart_events_fired": proof.fired,
        "conditions_reached": [condition.value for condition in proof.reached],
        "properties": [
            {
                "property": verdict.key,
                "says": verdict.words,
                "proven": verdict.proven,
                "story": list(verdict.story),
            }
            for verdict in proof.verdicts
        ],
    }


def text(proof: Proof) -> str:
    """One proof as a report."""
    settings = ", ".join(f"{key} {value}" for key, value in proof.settings.items())
    lines = [
        f"{proof.mode}{f' ({settings})' if settings else ''}: {proof.states:,} states, "
        f"{proof.edges:,} edges, {proof.events:,} chart events",
        *_lines("Walked", f"{WALKED[proof.scene]}; {ALWAYS}{_battery(proof)}."),
        *_lines("Tried apart", f"{TRIED}."),
    ]
    for verdict in proof.verdicts:
        mark = "proven    " if verdict.proven else "NOT PROVEN"
        lines += wrap(verdict.words, WIDE, initial_indent=f"  {mark}  ", subsequent_indent=" " * 14)
        for number, line in enumerate(verdict.story, 1):
            lines += wrap(line, WIDE, initial_indent=f"      {number:>2}. ", subsequent_indent=" " * 10)
    return "\n".join(lines)


def _battery(proof: Proof) -> str:
    choice = proof.settings.get("battery-low", "go on")
    return "" if choice == "go on" else "; a battery that sinks and is charged"


def _lines(heading: str, words: str) -> list[str]:
    """Words under a heading, no wider than a terminal."""
    return wrap(words, WIDE, initial_indent=f"  {heading}: ", subsequent_indent="    ")


def _settings(table: Table, args: argparse.Namespace) -> Iterator[Mapping[str, Value]]:
    """The choices of settings to prove the mode with. Raises UserError for one that cannot be."""
    given = dict(map(_pair, args.given))
    checked = _checked(table, given)
    if not args.every:
        yield checked
        return
    for values in product(*EVERY.values()):
        yield {**dict(zip(EVERY, values, strict=True)), **checked}


def _pair(written: str) -> tuple[str, str]:
    key, sign, value = written.partition("=")
    if not sign or not key:
        raise UserError(
            Problem("simgate modes prove", "--with", f"'{written}'", "KEY=VALUE, as edge-use=both")
        )
    return key, value


def _checked(table: Table, given: Mapping[str, str]) -> dict[str, Value]:
    """The settings as their catalogue takes them: numbers as numbers."""
    from simgate.board.modes import facts
    from simgate.board.settings import Settings

    modes = facts({table.title: table})
    blank = Settings(modes)
    values: dict[str, Value] = {}
    for key, written in given.items():
        options = {str(option): option for option in blank.setting(key).options}
        values[key] = options.get(written, options.get(f"{written}.0", written))
    Settings(modes, values)
    return values
