"""What a pair of hands can bring about at a gate, stimulus by stimulus, and which actions do it.

Known from a snapshot alone, as a person would find out by looking round: buttons, the first beam, a link
that stands in for a guard, an edge, a body in the way of a leaf. Kept apart from rounds and golden tables, so
that both ask the gate by the same hands.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import LeafView, Snapshot
from simgate.board.mode_table import WAYS
from simgate.board.stimuli import Condition, Stimulus, Way

S = Stimulus

COMMON, GUARD_O = "board.COM", "board.GUARD-O"
AHEAD_DEG = 6.0  # how far before a leaf that swings a body is put
AHEAD_M = 0.25  # the same for one that slides
AT_RADIUS = 0.8  # of the width


@dataclass(frozen=True, slots=True)
class Cell:
    """A place on the mode card."""

    condition: Condition
    stimulus: Stimulus


@dataclass(frozen=True, slots=True)
class Contact:
    """Something that hands can put and take back. put, back: the stimuli of it, in the order of the scan."""

    name: str
    put: tuple[Stimulus, ...]
    back: tuple[Stimulus, ...]
    to_put: Action
    to_take_back: Action


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that hands do, or that is waited for: the stimuli that come of it.

    contact: what is put (or taken back, when `puts` is false); None for a wait and for a body in the way.
    """

    stimuli: tuple[Stimulus, ...]
    contact: Contact | None = None
    puts: bool = True

    @property
    def waits(self) -> bool:
        """Whether nothing is done but let time pass."""
        return self.contact is None and self.stimuli[0] is not S.OBSTACLE


ARRIVES = Move((S.ARRIVED,))
RUNS_OUT = Move((S.PAUSE_OVER,))
MEETS = Move((S.OBSTACLE,))


class Hands:
    """The contacts of one gate, found when somebody comes to it."""

    def __init__(self, shot: Snapshot) -> None:
        self.contacts = tuple(_contacts(shot))

    def put(self, shot: Snapshot) -> frozenset[Contact]:
        """Those that are put now."""
        return frozenset(contact for contact in self.contacts if _is_put(contact, shot))

    def move(self, action: Action) -> Move | None:
        """The move that an action makes, None when it is not one of these."""
        for contact in self.contacts:
            if action == contact.to_put:
                return Move(contact.put, contact)
            if action == contact.to_take_back:
                return Move(contact.back, contact, puts=False)
        return None


def actions(move: Move, shot: Snapshot) -> tuple[Action, ...]:
    """What hands do for a move as the gate stands; nothing for a wait, or without room for a body."""
    if move.contact is not None:
        return (move.contact.to_put if move.puts else move.contact.to_take_back,)
    if move is MEETS:
        body = _body(shot)
        return () if body is None else (body,)
    return ()


def clearing(shot: Snapshot) -> tuple[Action, ...]:
    """Bodies taken out of the way again."""
    return tuple(do.RemoveBody(leaf.name) for leaf in shot.leaves if leaf.body is not None)


def _contacts(shot: Snapshot) -> Iterator[Contact]:
    for word, put, back in (
        ("call", (S.CALL,), (S.CALL_RELEASED,)),
        ("part", (S.PART,), (S.PART_RELEASED,)),
        ("stop", (S.STOP_PARTED,), (S.STOP_REMADE,)),
    ):
        name = _device(shot, word)
        if name is not None:
            yield _operated(name, put, back)
    link = next((one for one in shot.links if {*one} == {COMMON, GUARD_O}), None)
    bare = not any(GUARD_O in (wire.a, wire.b) for wire in shot.wires)
    if link or (bare and {COMMON, GUARD_O} <= {*shot.points}):  # taken out, it can be put back
        there, away = do.AddLink(*link or (COMMON, GUARD_O)), do.RemoveLink(*link or (COMMON, GUARD_O))
        yield Contact("link of GUARD-O", (S.GUARD_O_BROKEN,), (S.GUARD_O_CLEAR,), away, there)
    if shot.beams:
        beam = shot.beams[0].name
        put_in, taken = do.Block(beam, True), do.Block(beam, False)
        yield Contact(beam, (S.GUARD_C_BROKEN,), (S.GUARD_C_CLEAR, S.PASSED), put_in, taken)
    edge = _device(shot, "edge")
    if edge is not None and shot.settings.get("edge-use") != "not fitted":
        yield _operated(edge, (S.EDGE_AMISS,), (S.EDGE_HEALTHY,))


def _operated(name: str, put: tuple[Stimulus, ...], back: tuple[Stimulus, ...]) -> Contact:
    return Contact(name, put, back, do.Operate(name, True), do.Operate(name, False))


def _device(shot: Snapshot, word: str) -> str | None:
    return next((one.name for one in shot.devices if word in one.name.split("-")), None)


def _is_put(contact: Contact, shot: Snapshot) -> bool:
    action = contact.to_put
    if isinstance(action, do.Operate):
        return any(one.down for one in shot.devices if one.name == action.device)
    if isinstance(action, do.Block):
        return any(one.blocked for one in shot.beams if one.name == action.beam)
    if isinstance(action, do.RemoveLink):
        return not any({*link} == {action.a, action.b} for link in shot.links)
    return False


def _body(shot: Snapshot) -> do.PlaceBody | None:
    """A body a little before a leaf that moves, or that will move first; None where there is no room."""
    way = WAYS.get(shot.condition)
    if way is None:
        return None
    opening = way is Way.OPENING
    moving = [leaf for leaf in shot.leaves if leaf.speed * way.value > 0.0]
    leaf = (moving or [shot.leaves[0] if opening else shot.leaves[-1]])[0]
    return _before(leaf, way)


def _before(leaf: LeafView, way: Way) -> do.PlaceBody | None:
    ahead = AHEAD_M if leaf.slides else math.radians(AHEAD_DEG)
    place = leaf.place + way.value * ahead
    if not ahead / 2 < place < leaf.travel - ahead / 2:
        return None
    if leaf.slides:
        return do.PlaceBody(leaf.name, place_m=round(place, 2))
    return do.PlaceBody(leaf.name, round(AT_RADIUS * leaf.width, 2), round(math.degrees(place), 1))
