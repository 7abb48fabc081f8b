"""What is wrong with the meaning of a job file: a setting that there is not, a goal that nobody can judge, a
fault at a wire that the site has not. Every mistake is found, each with its key.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from simgate.bench.site import Site
from simgate.board.line_table import all_settings
from simgate.board.modes import facts, shipped_modes
from simgate.board.settings import Settings
from simgate.board.settings_table import catalogue
from simgate.files import Document, Problem, UserError, nearest, shown
from simgate.plant.spec import LeafKind
from simgate.practice import complaint
from simgate.practice.conduct import STANDARD, WATCHERS
from simgate.practice.goals import CHECKS
from simgate.practice.job_file import BoardFile, FaultFile, GoalFile, JobFile, values
from simgate.wiring.faults import FaultKind, places, row
from simgate.wiring.harness import Harness

FEWEST_GOALS = 2  # with a single one, that goal would weigh more than conduct
SETTING = "setting-is"  # the check whose values hang on its key


def mistakes(file: JobFile, document: Document) -> Iterator[Problem]:
    """What can be said without the site."""
    try:
        Settings(facts(shipped_modes()), file.board.settings)
    except UserError as error:
        for problem in error.problems:
            yield document.problem(["board", "settings", problem.where], problem.found, problem.allowed)
    if len(file.goal) < FEWEST_GOALS:
        count = "one goal" if file.goal else "no goal"
        yield document.problem(["goal", 0], count, f"{FEWEST_GOALS} goals or more")
    for index, goal in enumerate(file.goal):
        yield from _goal(goal, index, document)
    names = [] if file.conduct == STANDARD else values(file.conduct)
    for name in names:
        if name not in WATCHERS:
            yield document.problem(["conduct"], shown(name), nearest(name, [STANDARD, *WATCHERS]))


def _goal(goal: GoalFile, index: int, document: Document) -> Iterator[Problem]:
    if goal.check not in CHECKS:
        yield document.problem(["goal", index, "check"], shown(goal.check), nearest(goal.check, CHECKS))
        return
    parameters = CHECKS[goal.check].parameters
    for key, value in goal.given.items():
        where: list[str | int] = ["goal", index, "given", key]
        if key not in parameters:
            yield document.problem(where, "an unknown key", nearest(key, parameters))
            continue
        if not parameters[key].many and not isinstance(value, str):
            yield document.problem(where, shown(value), "one value, not a list")
        choices = parameters[key].choices()
        for one in values(value):
            if one not in choices and not parameters[key].any_word:
                yield document.problem(where, shown(one), nearest(one, choices))
    for key, parameter in parameters.items():
        if parameter.needed and key not in goal.given:
            yield document.problem(["goal", index, "given", key], "nothing", "a value: this check needs it")
    if goal.check == SETTING:
        yield from _setting(goal, index, document)


def _setting(goal: GoalFile, index: int, document: Document) -> Iterator[Problem]:
    """A value that the setting of a goal can never have."""
    setting = catalogue(facts(shipped_modes())).get(str(goal.given.get("key")))
    if setting is None:
        return  # told already
    allowed = [setting.plain(place) for place in range(len(setting.options))]
    for value in values(goal.given.get("value", [])):
        if value not in allowed:
            yield document.problem(["goal", index, "given", "value"], shown(value), setting.allowed())


def mistakes_at(site: Site, file: JobFile, document: Document) -> Iterator[Problem]:
    """What the site decides: where a fault can be, how many leaves there are."""
    harness = Harness(site.wiring)
    for index, fault in enumerate(file.fault):
        yield from _fault(fault, index, document, harness)
    yield from complaint.mistakes(file.complaint, document, harness, site)
    yield from _starts(file.board, site, document)
    yield from _devices(file, document, site)


def _devices(file: JobFile, document: Document, site: Site) -> Iterator[Problem]:
    """Line beams and remotes that a job names."""
    beams = [beam.name for beam in site.line_beams]
    for index, name in enumerate(file.board.strangers):
        if name not in beams:
            yield document.problem(["board", "strangers", index], shown(name), nearest(name, beams))
    names = [name for beam in site.line_beams for name in (beam.sender, beam.receiver)]
    for index, head in enumerate(file.head):
        if head.name not in names:
            yield document.problem(["head", index, "name"], shown(head.name), nearest(head.name, names))
        if head.switches not in all_settings():
            allowed = nearest(head.switches, all_settings())
            yield document.problem(["head", index, "switches"], shown(head.switches), allowed)
    remotes = {remote.name: remote for remote in site.wiring.remotes}
    for index, one in enumerate(file.board.taught):
        where: list[str | int] = ["board", "taught", index]
        if one.remote not in remotes:
            yield document.problem([*where, "remote"], shown(one.remote), nearest(one.remote, remotes))
        elif one.key > remotes[one.remote].keys:
            yield document.problem([*where, "key"], str(one.key), f"1 to {remotes[one.remote].keys}")
    for index, goal in enumerate(file.goal):
        named = goal.given.get("remote")
        if isinstance(named, str) and goal.check in CHECKS and named not in remotes:
            yield document.problem(["goal", index, "given", "remote"], shown(named), nearest(named, remotes))


def _starts(board: BoardFile, site: Site, document: Document) -> Iterator[Problem]:
    """Where the leaves stand at the start: one place each, in the unit of its kind, within its travel."""
    leaves = [leaf for leaf, _ in site.plant.leaves]
    sliding = leaves[0].kind is LeafKind.SLIDES
    key, given, other = "leaves_deg", board.leaves_deg, "leaves_m"
    if sliding:
        key, given, other = "leaves_m", board.leaves_m, "leaves_deg"
    if board.leaves_m if not sliding else board.leaves_deg:
        yield document.problem(["board", other], "places of the other kind of leaf", f"{key} at this site")
    if given and len(given) != len(leaves):
        what = "places" if sliding else "angles"
        yield document.problem(["board", key], f"{len(given)} {what}", f"{len(leaves)}, one for each leaf")
    if board.learned and any(given):
        yield document.problem(
            ["board", key], "a learned gate that starts open", "0: it learned standing shut"
        )
    for place, leaf in zip(given, leaves, strict=False):
        most = leaf.reach if sliding else math.degrees(leaf.reach)
        if place > most + 1e-9:
            yield document.problem(["board", key], f"{place:g}", f"0 to {most:g}")


def _fault(fault: FaultFile, index: int, document: Document, harness: Harness) -> Iterator[Problem]:
    kinds = [kind.value for kind in FaultKind]
    if fault.kind not in kinds:
        yield document.problem(["fault", index, "kind"], shown(fault.kind), nearest(fault.kind, kinds))
        return
    kind = FaultKind(fault.kind)
    possible = places(harness, kind)
    if set(fault.place.split("|")) not in [set(place.split("|")) for place in possible]:
        yield document.problem(["fault", index, "place"], shown(fault.place), nearest(fault.place, possible))
    least, most = row(kind).least, row(kind).most
    if not least <= fault.amount <= most:
        allowed = f"{least:g} to {most:g} {row(kind).unit}" if most else "no amount: this kind has none"
        yield document.problem(["fault", index, "amount"], f"{fault.amount:g}", allowed)
