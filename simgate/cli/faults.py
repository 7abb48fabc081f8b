"""`simgate faults SITE`: every single fault that a site can have, and which no look tells apart.

Each fault is put into the copper or iron and every look is simulated; readings that the tolerance of an
instrument lets overlap count as one.
"""

from __future__ import annotations

import argparse
import json
from textwrap import fill, wrap
from typing import TYPE_CHECKING

from simgate.cli.command import Commands, add_command, add_json
from simgate.files import Problem, UserError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from simgate.bench.setup import Setup
    from simgate.practice.diagnosis.table import Table
    from simgate.wiring.fault_table import FaultRow

HELD = "\N{NO-BREAK SPACE}"  # a line breaks between faults, not within one
PLACED = {  # what the shorter names of the ways to look stand for
    "look": "the display, the lamps, a leaf, a device",
    "play": "a leaf rocked at its edge",
    "force": "of a leaf, on the gauge",
    "heard": "a remote pressed beside the board",
    "strip": "cores and links at one place, against the drawing",
    "lens": "lens and aim of a beam",
    "pull": "a leaf pulled with the spring scale",
    "stop": "a leaf led to its open stop",
    "capacity": "of the battery",
}

CAUTION = (
    "Meant for trainers: it names what a learner should find. On a real gate, isolate\n"
    "before hands go inside; the local code and a licensed person decide."
)

ALIKE = (
    "A core is taken off at its first end, the board's or a joint's. What only the\n"
    "end at the device would part (two cores touching there, or the contact that\n"
    "they go to) stays together."
)


def add(commands: Commands) -> None:
    """Add `faults`."""
    parser = add_command(commands, "faults", run, __doc__, "farm-double --classes")
    parser.add_argument("site", metavar="SITE", help="a shipped site's name, or the path of a site file")
    parser.add_argument(
        "--classes", action="store_true", help="the sets of faults that no look tells apart, instead"
    )
    parser.add_argument(
        "--pairs",
        nargs="+",
        metavar="KIND@PLACE",
        help="these faults alone, and every two of them at once: parted-wire@stop-feed blown-fuse@aux",
    )
    parser.add_argument("--costs", action="store_true", help="what each look costs in seconds, instead")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the faults, or the classes."""
    from simgate.bench.setup import Setup
    from simgate.bench.site import load_site
    from simgate.practice.diagnosis.costs import prices
    from simgate.practice.diagnosis.table import build

    site = load_site(args.site)
    setup = Setup(job=site.name, site=site)
    if args.costs:
        table_of_costs = prices()
        print(json.dumps(table_of_costs, indent=2) if args.json else _told_costs(table_of_costs))
        return 0
    table = _of_pairs(setup, args.pairs) if args.pairs else build(setup)
    if args.json:
        print(json.dumps(_document(table, args.classes or bool(args.pairs)), indent=2, ensure_ascii=False))
    elif args.classes or args.pairs:
        _print_classes(table)
    else:
        _print_faults(table)
    return 0


def _of_pairs(setup: Setup, named: Sequence[str]) -> Table:
    """The table of the faults called 'kind@place', and of their pairs."""
    from simgate.practice.diagnosis.costs import typical
    from simgate.practice.diagnosis.table import with_pairs
    from simgate.wiring import faults
    from simgate.wiring.harness import Harness

    harness = Harness(setup.site.wiring)
    singles = []
    for name in dict.fromkeys(named):
        kind, _, place = name.partition("@")
        fault = typical(faults.kind_of(kind), place)
        faults.check(harness, fault)
        singles.append(fault)
    try:
        return with_pairs(setup, singles)
    except ValueError as error:
        raise UserError(Problem("--pairs", "faults", str(error), "a smaller set")) from None


def _told_costs(seconds_of: Mapping[str, Mapping[str, float]]) -> str:
    from simgate.practice.diagnosis.costs import BRING, PLACE
    from simgate.practice.diagnosis.states import State, StateKind

    of = {StateKind.SPARE: "one of the site", StateKind.WORKED: "a device", StateKind.LINKED: "an input"}
    brought = {}
    for kind in StateKind:
        told = State(kind, of.get(kind, "A")).words
        brought[kind.value] = told.replace("leaf A", "a leaf").replace("core A", "a core")
    rows = ["Trade time of looking and measuring, in seconds", "(invented for the game, not field data)."]
    for name, part in seconds_of.items():
        rows.append(f"\n{name}:")
        words = {PLACE: PLACED, BRING: brought}.get(name, {})
        for what, seconds in part.items():
            key = what.replace("_", "-")
            line = f"  {key:14}{seconds:6g} s   {words.get(key, '')}".rstrip()
            rows.append(fill(line, 80, subsequent_indent=" " * 27))
    return "\n".join(rows)


def _print_faults(table: Table) -> None:
    from simgate.wiring.fault_table import row

    kind = None
    for fault in table.faults:
        if fault.kind is not kind:
            kind = fault.kind
            its = row(kind)
            print(f"\n{kind.value} (weight {its.weight:g}, {its.seconds:g} s to mend)")
            print(f"{_told_kind(its)}\n  places:")
        print(f"    {fault.place}")
    apart = len(table.classes) - 1
    unseen = len(table.classes[0]) - 1
    print(f"\n{len(table.faults)} single faults, {len(table.looks)} looks, {apart} sets told apart.")
    print(f"{unseen} show in no look. See the sets with: simgate faults {table.setup.site.name} --classes")
    print(CAUTION)


def _told_kind(its: FaultRow) -> str:
    """What a kind is and does, where it sits, how it shows and is mended, in 80 columns."""
    rows = [("is", its.words), ("does", its.does)]
    if its.most:
        rows.append(("amount", f"{its.least:g} to {its.most:g} {its.unit}"))
    rows += [("sits", its.sits), ("shows", its.shows), ("mended", its.mended)]
    return "\n".join(fill(f"  {f'{head}:':8}{text}", 80, subsequent_indent=" " * 10) for head, text in rows)


def _print_classes(table: Table) -> None:
    from simgate.practice.diagnosis.table import told

    unseen, *others = table.classes
    print(f"Shown by none of {len(table.looks)} looks (in the tolerance of the instruments):")
    _print_sets([told(table, suspect) for suspect in unseen[1:]])
    print("\nNot to be told apart:")
    _print_sets(["; ".join(told(table, suspect) for suspect in its) for its in others if len(its) > 1])
    alone = [its for its in others if len(its) == 1]
    if len(alone) < len(others):
        print(ALIKE)
    whose = f"{len(table.suspects)} "
    if table.pairs:
        pairs = f"{len(table.pairs)} pair{'' if len(table.pairs) == 1 else 's'} of them"
        whose += f"({len(table.faults)} faults and {pairs})"
    else:
        whose += "faults"
    print(f"\n{len(alone)} of {whose} can be told from every other.")
    print(CAUTION)


def _print_sets(sets: Sequence[str]) -> None:
    for its in sets or ["none"]:
        held = its.replace(" ", HELD).replace(f";{HELD}", "; ").replace(f"{HELD}and{HELD}", " and ")
        lines = wrap(held, 76, subsequent_indent="    ", break_long_words=False, break_on_hyphens=False)
        print("\n".join(f"  {line}" for line in lines).replace(HELD, " "))


def _document(table: Table, classes: bool) -> dict[str, object]:
    from simgate.practice.diagnosis.table import told
    from simgate.wiring.fault_table import row

    counts: dict[str, object] = {"site": table.setup.site.name, "looks": len(table.looks)}
    number = {suspect: n for n, its in enumerate(table.classes) for suspect in its}
    if classes:
        unseen, *others = table.classes
        return counts | {
            "unseen": [told(table, suspect) for suspect in unseen[1:]],
            "classes": [[told(table, suspect) for suspect in its] for its in others],
        }
    kinds = dict.fromkeys(fault.kind for fault in table.faults)
    return counts | {
        "kinds": {kind.value: _kind_document(row(kind)) for kind in kinds},
        "faults": [
            {
                "kind": fault.kind.value,
                "place": fault.place,
                "amount": fault.amount,
                "unit": row(fault.kind).unit if fault.amount else "",
                "weight": row(fault.kind).weight,
                "mending_seconds": row(fault.kind).seconds,
                "class": number[n],
                "looks_that_show_it": [
                    look.words
                    for look, outcome in zip(table.looks, table.outcomes, strict=True)
                    if outcome[n] != outcome[0]
                ],
            }
            for n, fault in enumerate(table.faults, 1)
        ],
    }


def _kind_document(its: FaultRow) -> dict[str, object]:
    words = {name: getattr(its, name) for name in ("words", "does", "sits", "shows", "mended")}
    amount = {"least": its.least, "most": its.most, "unit": its.unit} if its.most else {}
    return words | {"weight": its.weight, "mending_seconds": its.seconds} | amount
