"""A tour of a mode's card in the running bench: every cell that hands can bring about is made to act.

The gate is brought from cell to cell by the shortest way, as a round brings a learner, so that one learned
gate serves a whole card. What must come of each cell stands in the tables that the board's tests hold.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simgate.bench import actions as do
from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.board.mode_table import AFTER, WAYS
from simgate.board.signals import Acted
from simgate.board.stimuli import Condition, Response, Stimulus
from simgate.practice.moves import MEETS, Cell, Move, actions, clearing
from simgate.practice.ways import Ways

C, R = Condition, Response

LOOK = 50  # ms between two looks at the leaves
SETS_OFF = 6_000  # ms; a leaf that follows the other one waits for its delay
COMES_TO_REST = 3_000  # ms, a give-way included
ANSWERS = 400  # ms; an input's filter and the scans of copper and board
MEETS_BY, WAITS_BY = 12_000, 60_000  # ms
TRIES = 4  # ways to a cell; on the first the gate may arrive before hands do
FULLY, PARTLY = 0.97, (0.45, 0.75)  # shares of the travel; part opening is 60 % of leaf A

Table = Mapping[Condition, Mapping[Stimulus, Response]]


@dataclass
class Tour:
    """What came of it. seen: cells that acted as planned. wrong: in words, what was not as written."""

    seen: set[Cell]
    wrong: list[str]
    reach: frozenset[Cell]


def walk(bench: Bench, golden: Table) -> Tour:
    """Make every cell act that hands can bring about, and compare answer and effect with `golden`."""
    ways = Ways(bench.snapshot())
    tour = Tour(set(), [], ways.reach(ways.stand(bench.snapshot())))
    tries: dict[Cell, int] = {}
    while True:
        shot = bench.snapshot()
        wanted = {cell for cell in tour.reach - tour.seen if tries.get(cell, 0) < TRIES}
        route = ways.find(ways.stand(shot), wanted.__contains__)
        if route is None and wanted & _from_power_up(bench, ways):
            continue
        if route is None:
            return tour
        move = route.moves[0]
        last = len(route.moves) == 1
        if last:
            tries[route.cell] = tries.get(route.cell, 0) + 1
        for before, acted, after in make(bench, move):
            cell = Cell(acted.condition, acted.stimulus)
            if cell in tour.reach and not acted.refused:
                tour.seen.add(cell)
                tour.wrong += _differences(bench, golden, before, acted, after)


def _from_power_up(bench: Bench, ways: Ways) -> frozenset[Cell]:
    """Switch off and on again, where no call leads on; what can be reached from there."""
    for on in (False, True):
        bench.act(do.Mains(on))
        bench.run(2_000)
    return ways.reach(ways.stand(bench.snapshot()))


def make(bench: Bench, move: Move) -> list[tuple[Snapshot, Acted, Snapshot]]:
    """Make one move and give what acted, with the gate before and after."""
    before = bench.snapshot()
    done = actions(move, before)
    if move is MEETS and not done:
        bench.run(500)  # the leaf is too near to where it set off, or to its end
        return []
    for action in done:
        bench.act(action)
    limit = bench.tick + (WAITS_BY if move.waits else MEETS_BY if move is MEETS else ANSWERS)
    came: list[tuple[Snapshot, Acted, Snapshot]] = []
    while bench.tick < limit and not came:
        records = bench.run_to_next(limit - bench.tick)
        after = bench.snapshot()
        came = [(before, acted, after) for record in records for acted in record.acted]
    if move is MEETS:
        for action in clearing(bench.snapshot()):
            bench.act(action)
    return came


def _differences(bench: Bench, golden: Table, before: Snapshot, acted: Acted, after: Snapshot) -> list[str]:
    """What is not as written: answer, condition, leaves, pause."""
    expected = golden[acted.condition][acted.stimulus]
    where = f"{bench.board.mode}: {acted.condition.value}, {acted.stimulus.value}"
    wrong = []
    if acted.response is not expected:
        wrong.append(f"{where}: {acted.response.value}, not {expected.value}")
    then = AFTER[expected][acted.condition]
    if acted.after is not then:
        wrong.append(f"{where}: then {acted.after.value}, not {then.value}")
    wrong += [f"{where}: {words}" for words in _pause(bench, expected, before, after)]
    wrong += [f"{where}: {words}" for words in _leaves(bench, acted, then)]
    return wrong


def _pause(bench: Bench, response: Response, before: Snapshot, after: Snapshot) -> list[str]:
    """Whether the pause runs as the answer says."""
    settings = bench.board.settings
    whole, soon = (round(settings.number(key) * 1000) for key in ("pause", "shut-soon"))
    left = after.pause_left
    if not next(one.made for one in after.inputs if one.terminal == "STOP"):
        return ["a pause runs with STOP open"] if left else []
    if response is R.START_PAUSE and bench.board._logic.met <= settings.number("re-tries"):
        return [] if left == whole else [f"a pause of {left} ms"]
    if response is R.RESTART_PAUSE:
        wanted = whole if before.pause_left else 0
        return [] if left == wanted else [f"a pause of {left} ms, not {wanted}"]
    if response is R.SHUT_SOON:
        return [] if left <= soon else [f"{left} ms to shutting, not {soon}"]
    if response in (R.STOP, R.CLOSE, R.CUT_PAUSE, R.OPEN, R.REST, R.REVERSE):
        return [] if not left else ["a pause runs on"]
    return []


def _leaves(bench: Bench, acted: Acted, then: Condition) -> list[str]:
    """Whether the leaves do what the condition says, as soon as iron can."""
    chart = bench.board.chart
    limit = bench.tick + (SETS_OFF if then in WAYS else COMES_TO_REST)
    moves = acted.response is not R.IGNORE or acted.condition in WAYS
    while bench.tick < limit and chart.last is acted:
        shot = bench.snapshot()
        if then in WAYS and any(leaf.speed * WAYS[then].value > 0.01 for leaf in shot.leaves):
            return []
        if then not in WAYS and not any(leaf.speed for leaf in shot.leaves):
            return _ends(shot, acted, then)
        bench.run(LOOK)
    if chart.last is not acted:
        return []  # the next thing has come already
    return ["the leaves do not do it"] if moves else []


def _ends(shot: Snapshot, acted: Acted, then: Condition) -> list[str]:
    """Where the leaves are when the way is at its end."""
    if acted.stimulus is not Stimulus.ARRIVED:
        return []
    a, *b = (leaf.share for leaf in shot.leaves)
    there = {
        C.OPEN: all(share > FULLY for share in (a, *b)),
        C.PART_OPEN: PARTLY[0] < a < PARTLY[1] and all(share < 1.0 - FULLY for share in b),
        C.SHUT: all(share < 1.0 - FULLY for share in (a, *b)),
    }
    return [] if there[then] else [f"{then.value} at {a:.2f} of the way"]
