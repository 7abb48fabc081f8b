"""What the proof leans on and time decides: input filter, reversing pause and backing off, on the real parts.

The prover lets every timer be due at any moment. Three lengths of time are promises of their own, so each
is tried out whole here: how long a lasting change of a terminal may take to be seen, how long a leaf must
rest before it is driven the other way, and how soon whoever a leaf presses is let go.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Mapping
from copy import copy
from dataclasses import dataclass
from functools import cache

from simgate.board.drive import GIVE_WAY_MS, Drive
from simgate.board.inputs import Inputs
from simgate.board.leaf import REVERSE_MS, SCAN_MS, LeafDrive
from simgate.board.prove_scene import BIT, HEALTHY, TERMINALS, found
from simgate.board.settings import Settings
from simgate.board.signals import Outputs, Signals
from simgate.board.stimuli import Input, Way
from simgate.board.travel import LeafTravel, Move
from simgate.board.tuning import tuning

START = 1_000_000
DELAY_MS = 200  # of the leaf that follows, in the trial of the reversing pause
MOVES = {way: Move(way, 0.5, 0.5, 5.0, 0) for way in Way}


@cache
def filter_fault(filter_ms: int) -> str:
    """Where the filter takes longer than its time and one scan, or lets a bounce through; '' nowhere."""
    for one in TERMINALS:
        for level in (False, True):
            before = HEALTHY & ~BIT[one] if level else HEALTHY | BIT[one]
            lasted = _seen_after(one, before, filter_ms, lasts=filter_ms + 10 * SCAN_MS)
            if lasted is None or lasted > filter_ms + SCAN_MS:
                return f"{one.value} {'made' if level else 'open'} is seen after {lasted} ms"
            bounce = filter_ms - SCAN_MS
            if bounce > 0 and _seen_after(one, before, filter_ms, lasts=bounce) is not None:
                return f"{one.value} counts though it bounced for less than the filter time"
    return ""


def _seen_after(one: Input, before: int, filter_ms: int, lasts: int) -> int | None:
    """ms after which a change of `one` that `lasts` so long counts, None when it does not."""
    inputs = Inputs()
    inputs.start(found(before).volts)
    for passed in range(0, filter_ms + 20 * SCAN_MS, SCAN_MS):
        mask = before ^ BIT[one] if passed < lasts else before
        if (changes := inputs.read(found(mask).volts, START + passed, filter_ms)) and changes[0][0] is one:
            return passed
    return None


def _power(leaf: LeafDrive, tick: int) -> None:
    leaf.clear()
    leaf.coast(tick)


ORDERS: Mapping[str, Callable[[LeafDrive, int], None]] = {
    "open": lambda leaf, tick: leaf.go(MOVES[Way.OPENING], tick),
    "open later": lambda leaf, tick: leaf.go(MOVES[Way.OPENING], tick, DELAY_MS),
    "shut": lambda leaf, tick: leaf.go(MOVES[Way.CLOSING], tick),
    "shut later": lambda leaf, tick: leaf.go(MOVES[Way.CLOSING], tick, DELAY_MS),
    "stop": lambda leaf, tick: leaf.stop(tick),
    "power goes and comes": _power,
    "wait": lambda leaf, tick: None,
}
"""Every order that reaches a leaf comes down to one of these; then its scan follows."""

State = tuple[tuple[int, ...], int, int]
"""What the leaf goes by; the direction that it was driven last, and for how long it has not been."""


@dataclass(frozen=True, slots=True)
class Reversing:
    """What the trial found: the shortest row of orders that turns a leaf round too soon, and its size."""

    orders: tuple[str, ...]
    states: int


@cache
def reversing() -> Reversing:
    """Try every row of orders, one in each scan, until no new state comes."""
    leaf = LeafDrive("A")
    first: State = (_plain(leaf, START), 0, REVERSE_MS)
    came: dict[State, tuple[State, str] | None] = {first: None}
    waiting = deque([(first, leaf, START)])
    while waiting:
        state, leaf, tick = waiting.popleft()
        for name, order in ORDERS.items():
            after, now = copy(leaf), tick + SCAN_MS  # its position is shared: no order here depends on it
            order(after, now)
            after.step(now, 0, 1.0)
            _, way, rest = state
            rest = min(rest + SCAN_MS, REVERSE_MS)
            if after.driven:
                if after.driven == -way and rest < REVERSE_MS:
                    return Reversing((*_orders(came, state), name), len(came))
                way, rest = after.driven, 0
            found = (_plain(after, now), way, rest)
            if found not in came:
                came[found] = (state, name)
                waiting.append((found, after, now))
    return Reversing((), len(came))


def _plain(leaf: LeafDrive, tick: int) -> tuple[int, ...]:
    """What the leaf goes by in starting and turning, with times from now, as far as they matter."""
    rest = max(leaf._rest_tick + REVERSE_MS - tick, 0) if leaf._rest_sign else 0
    start = max(leaf.start_at - tick, 0) if leaf.sign and not leaf.driven else 0
    return (leaf.sign, leaf.driven, leaf._rest_sign if rest else 0, rest, start, max(leaf._ready - tick, 0))


def _orders(came: Mapping[State, tuple[State, str] | None], state: State) -> list[str]:
    names: list[str] = []
    while (before := came[state]) is not None:
        state, name = before
        names.insert(0, name)
    return names


LETTING_GO: Mapping[str, Callable[[Drive, int], None]] = {
    "open": lambda drive, tick: drive.open(tick),
    "leave": lambda drive, tick: drive.leave(tick),
    "wait": lambda drive, tick: None,
}
"""Every order that may come while a gate backs off, and does not end it outright."""


@cache
def relief() -> tuple[str, ...]:
    """The row of orders under which a leaf that turned round does not back off as promised; () for none.

    It is driven away from what it met within REVERSE_MS, and for GIVE_WAY_MS.
    """
    settings = Settings({"Latch": False}, {"mode": "Latch", "leaves": 1})
    first = Drive([], tuning(settings))
    first.take((LeafTravel(1000),))
    first.leaves[0].position.refer(500)
    first.close(START)
    signals, outputs = Signals(), Outputs()
    first.scan(START, signals, outputs)
    first.turn(START)
    level: dict[tuple[object, ...], tuple[Drive, tuple[str, ...]]] = {(): (first, ())}
    for passed in range(SCAN_MS, REVERSE_MS + GIVE_WAY_MS, SCAN_MS):
        tick = START + passed
        found: dict[tuple[object, ...], tuple[Drive, tuple[str, ...]]] = {}
        for drive, orders in level.values():
            for name, order in LETTING_GO.items():
                after = _twin(drive)
                order(after, tick)
                signals.pulses[0] = passed  # it goes on, so that nothing but orders and time ends it
                after.scan(tick, signals, outputs)
                if passed >= REVERSE_MS and after.leaves[0].driven != Way.OPENING.value:
                    return (*orders, name)
                move = after.leaves[0].move
                plans = (after._relief_until, after._give_way_until, move is not None and move.goal)
                found[*plans, *_plain(after.leaves[0], tick)] = (after, (*orders, name))
        level = found
    return ()


def _twin(drive: Drive) -> Drive:
    """A drive that goes its own way from here."""
    twin = copy(drive)
    twin.leaves = tuple(copy(leaf) for leaf in drive.leaves)
    for leaf in twin.leaves:
        leaf.position = copy(leaf.position)
    twin._noted = [*drive._noted]
    return twin
