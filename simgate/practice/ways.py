"""From where the gate is to a cell of its card in few calls: the shortest path over the mode's own table.

A small copy of what the chart would do, made of the very table that the board runs, with nothing of time in
it. It only proposes: what really comes of a move is read from the gate, and the way is looked for anew after
each.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from simgate.bench.record import Snapshot
from simgate.bench.table import cells_of, table_of
from simgate.board.mode_table import AFTER, STOPPED, WAYS
from simgate.board.stimuli import Condition, Response, Stimulus, Way
from simgate.practice.moves import ARRIVES, MEETS, RUNS_OUT, Cell, Contact, Hands, Move

S, R = Stimulus, Response

ROOM = 0.25  # of the way; a gate that shuts from less than that is shut before a body is placed
OPENED = (Condition.OPEN, Condition.PART_OPEN)
STOPS = {  # what must not be put for a direction to be permitted, as in board/guards.py
    Way.OPENING: (S.STOP_PARTED, S.GUARD_O_BROKEN),
    Way.CLOSING: (S.STOP_PARTED, S.GUARD_C_BROKEN),
}


@dataclass(frozen=True, slots=True)
class Stand:
    """How a gate stands, to its table. far: it was open, so there is room for a body before a leaf."""

    condition: Condition
    pausing: bool
    put: frozenset[Contact]
    far: bool


@dataclass(frozen=True, slots=True)
class Step:
    """A cell that a move makes act. stand: how the gate stands after it. refused: its guards forbid it."""

    cell: Cell
    response: Response
    stand: Stand
    refused: bool


@dataclass(frozen=True, slots=True)
class Route:
    """A way to a cell: the moves, the last of which makes it act."""

    moves: tuple[Move, ...]
    cell: Cell


class Ways:
    """The table of one gate, walked by one pair of hands."""

    def __init__(self, shot: Snapshot) -> None:
        self.table = table_of(shot)
        self.cells = cells_of(shot)
        self.hands = Hands(shot)
        self._guard_c_use = str(shot.settings.get("guard-c-use"))
        self._edge_use = str(shot.settings.get("edge-use"))

    def stand(self, shot: Snapshot) -> Stand:
        """How the gate of `shot` stands."""
        far = max(leaf.share for leaf in shot.leaves) > ROOM
        return Stand(shot.condition, shot.pause_left > 0, self.hands.put(shot), far)

    def moves(self, stand: Stand) -> Iterator[Move]:
        """What hands could do there, and what could be waited for."""
        if stand.condition in WAYS:
            yield ARRIVES
            if stand.far or WAYS[stand.condition] is Way.OPENING:
                yield MEETS
        if stand.pausing:
            yield RUNS_OUT
        for contact in self.hands.contacts:
            there = contact in stand.put
            yield Move(contact.back if there else contact.put, contact, puts=not there)

    def steps(self, stand: Stand, move: Move) -> list[Step]:
        """The cells that act one after the other."""
        if move.contact is not None:
            put = stand.put | {move.contact} if move.puts else stand.put - {move.contact}
            stand = replace(stand, put=put)
        steps: list[Step] = []
        for stimulus in move.stimuli:
            steps.append(self._step(stand, stimulus))
            stand = steps[-1].stand
        return steps

    def find(self, stand: Stand, wanted: Callable[[Cell], bool]) -> Route | None:
        """The shortest way to a cell that is wanted and would not be refused; of equals the telling one."""
        seen = {stand}
        level: list[tuple[Stand, tuple[Move, ...]]] = [(stand, ())]
        while level:
            found: list[tuple[tuple[bool, int], Route]] = []
            following: list[tuple[Stand, tuple[Move, ...]]] = []
            for here, path in level:
                for move in self.moves(here):
                    steps = self.steps(here, move)
                    for step in steps:
                        if not step.refused and wanted(step.cell):
                            rank = (step.response is R.IGNORE, len(steps[-1].stand.put))
                            found.append((rank, Route((*path, move), step.cell)))
                    if steps[-1].stand not in seen:
                        seen.add(steps[-1].stand)
                        following.append((steps[-1].stand, (*path, move)))
            if found:
                return min(found, key=_rank)[1]
            level = following
        return None

    def reach(self, stand: Stand) -> frozenset[Cell]:
        """Every cell that hands could make act from there, and see it do what it says."""
        cells: set[Cell] = set()
        seen, waiting = {stand}, deque([stand])
        while waiting:
            here = waiting.popleft()
            for move in self.moves(here):
                steps = self.steps(here, move)
                cells |= {step.cell for step in steps if not step.refused}
                if steps[-1].stand not in seen:
                    seen.add(steps[-1].stand)
                    waiting.append(steps[-1].stand)
        return frozenset(cells)

    def _step(self, stand: Stand, stimulus: Stimulus) -> Step:
        condition = stand.condition
        response = self.cells[condition][stimulus]
        after, pausing, refused = AFTER[response][condition], stand.pausing, False
        if after in WAYS and after is not condition:
            turning = response is R.REVERSE
            refused = self._forbidden(stand, WAYS[after], turning)
            if refused:
                after = STOPPED[condition] if turning else condition
        if response is R.START_PAUSE:  # none starts with STOP open
            pausing = not any(S.STOP_PARTED in contact.put for contact in stand.put)
            refused = refused or not pausing
        elif response is R.STOP or after is not condition:
            pausing = False
        far = after is not Condition.SHUT and (stand.far or after in OPENED)
        return Step(Cell(condition, stimulus), response, Stand(after, pausing, stand.put, far), refused)

    def _forbidden(self, stand: Stand, way: Way, turning: bool) -> bool:
        forbid = [*STOPS[way]]
        if self._guard_c_use == "both" and way is Way.OPENING and not turning:
            forbid.append(S.GUARD_C_BROKEN)
        if self._edge_use == way.name.lower() or (self._edge_use == "both" and not turning):
            forbid.append(S.EDGE_AMISS)
        return any(contact.put[0] in forbid for contact in stand.put)


def _rank(found: tuple[tuple[bool, int], Route]) -> tuple[bool, int]:
    return found[0]
