"""The drawings as text of 80 columns, to read in a terminal and to print on anything."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from textwrap import wrap

from simgate.practice.drawing.plan import Branch, Plan, Strip, owner, screw
from simgate.practice.names import plain
from simgate.wiring.tables import BOARD

WIDTH = 80
DEVICE_LEAST = 24  # columns kept for the words of a place, however deep the tree
FAR_LEAST = 16  # columns kept for the far end of a wire
CAME = 66  # column from which on the wires are named that came to a screw already
CAUTIONS = (
    "Isolate the mains and prove dead before a screw is touched; MAINS is for a licensed person, by the "
    "local code.",
    "An invented site, drawn as it was meant to be wired: at the gate, the meter tells what is there.",
)


def text(plan: Plan) -> str:
    """Both diagrams."""
    return "\n".join([*one_line(plan), "", *terminals(plan), "", *cautions()]) + "\n"


def cautions() -> Iterator[str]:
    """What goes below every drawing."""
    for caution in CAUTIONS:
        yield from wrap(f"! {caution}", WIDTH, subsequent_indent="  ")


def one_line(plan: Plan) -> Iterator[str]:
    """The one-line diagram."""
    yield from _headed(f"{plan.title} ({plan.site}): one-line diagram")
    yield f" mains: {plan.mains}"
    yield "   │"
    yield "   ╳ isolator"
    yield "   │"
    box, *more = wrap(f"{plan.tree.place.title}, {plan.supply}", WIDTH - 6)
    wide = max(len(line) for line in (box, *more))
    yield f" ╔═╧{'═' * wide}╗"
    for line in (box, *more):
        yield f" ║ {line:<{wide}} ║"
    yield f" ╚═╤{'═' * wide}╝"
    for number, branch in enumerate(plan.tree.on):
        yield from _branch(branch, "   ", number == len(plan.tree.on) - 1)
    for tree in plan.apart:
        yield ""
        yield f" {_named(tree)}: not wired to the board"
        for number, branch in enumerate(tree.on):
            yield from _branch(branch, "   ", number == len(tree.on) - 1)


def _branch(branch: Branch, margin: str, last: bool) -> Iterator[str]:
    """A run or several, what stands at its end, and what goes on from there."""
    room = WIDTH - len(margin) - 8 - DEVICE_LEAST
    told = [run.named if len(run.named) <= room else run.told for run in branch.by]
    wide = max(len(one) for one in told)
    start = len(margin) + wide + 8
    label = wrap(_named(branch), max(WIDTH - start, DEVICE_LEAST), break_on_hyphens=False)
    onward = margin + ("    " if last else "│   ")
    for number, (run, words_) in enumerate(zip_longest(told, label)):
        trunk = margin + ("└" if last and number == len(told) - 1 else "├")
        if run is None:
            yield f"{onward}{'':<{wide + 4}}{words_}".rstrip()
        else:
            joint = "─" if len(told) == 1 else "┬" if not number else "┘" if number == len(told) - 1 else "┤"
            line = f"{run} ".ljust(wide + 1, "─")
            yield f"{trunk}─ {line}─{joint}" + (f"─ {words_}" if words_ else "")
    below = [*branch.on]
    for number, (run, place) in enumerate(branch.also):
        to = "between its own screws" if place == branch.place else f"also to {place.title}"
        end = number == len(branch.also) - 1 and not below
        yield _cut(f"{onward}{'└' if end else '├'}┄ {run.named} ┄┄ {to}")
    for number, one in enumerate(below):
        yield from _branch(one, onward, number == len(below) - 1)


def _named(branch: Branch) -> str:
    place = branch.place
    if place.kind is None:
        return f"{place.title}, joints {', '.join(screw(point) for point in place.points)}"
    return place.title if place.label == place.title else f"{place.title}: {place.label}"


# Terminal diagram ---------------------------------------------------------------------------------


def terminals(plan: Plan) -> Iterator[str]:
    """The terminal diagram: for each screw its wires, each wire once."""
    yield from _headed(f"{plan.title} ({plan.site}): terminal diagram")
    yield " Each wire stands once: its number, colour, size, length, and where it goes."
    for strip in plan.strips:
        yield ""
        yield from _strip(strip)


def _strip(strip: Strip) -> Iterator[str]:
    yield _cut(f" ▌{strip.place.title}: {strip.place.label}")
    wide = max((len(screw(one.point)) for one in strip.screws), default=0)
    wide = min(max(wide, 9), 24)
    for one in strip.screws:
        name = screw(one.point)
        came = f"with {', '.join(map(str, one.came))}" if one.came else ""
        for core in one.cores:
            wire = core.wire
            far = f"{plain(owner(core.far))} · {screw(core.far)}"
            size = f"{wire.size:g} mm² {wire.length:g} m"
            row = f"  {name:<{wide}} ●─{wire.number:>4} {core.code:<4} {size:<16}─● "
            first, *more = wrap(far, max(WIDTH - len(row), FAR_LEAST), break_on_hyphens=False)
            fits = len(row + first) <= CAME and not more
            yield f"{row + first:<{CAME}} {came}".rstrip() if fits else row + first
            for line in more:
                yield f"{'':<{len(row)}}{line}"
            name, came = "", "" if fits else came
        for link in one.links:
            at = f"{plain(owner(link))} · {screw(link)}" if owner(link) != strip.place.name else screw(link)
            yield _cut(f"  {name:<{wide}} ●═ link {'═' * 20}● {at}")
            name = ""
        if name:
            yield f"  {name:<{wide}} ●  {came}".rstrip()
    if strip.free:
        yield from wrap(
            f"free: {', '.join(strip.free)}",
            WIDTH,
            initial_indent="  ",
            subsequent_indent="        ",
            break_on_hyphens=False,
        )
    if strip.place.name == BOARD:
        yield "  MAINS     behind its cover: from the isolator, for a licensed person"


def _cut(line: str) -> str:
    return line if len(line) <= WIDTH else line[: WIDTH - 1] + "…"


def _headed(title: str) -> Iterator[str]:
    yield from wrap(title, WIDTH)
    yield "═" * min(len(title), WIDTH)
