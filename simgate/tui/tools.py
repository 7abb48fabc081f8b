"""The Toolbag as a table: each piece of work, what it asks for, and the action that it becomes.

Screens walk this table and know nothing of probes or wires; a new piece of work is a new row. What is
offered comes from the snapshot, so only what stands at this site can be picked.
"""

# ruff: noqa: E501  (a table reads best with one row per line)
from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.passer_kinds import kinds
from simgate.bench.record import Snapshot, reach
from simgate.tui import device_choices as at
from simgate.tui.captions import point, wire_words, words


class Tool(Enum):
    """What can be taken from the bag."""

    METER = "meter"
    LINK = "link"
    SCREWDRIVER = "screwdriver"
    HANDS = "hands"
    PASSERS = "passers"


TITLES = {
    Tool.METER: "Meter",
    Tool.LINK: "Link wire",
    Tool.SCREWDRIVER: "Screwdriver",
    Tool.HANDS: "Hands",
    Tool.PASSERS: "Through the gate",
}

Choice = tuple[str, str]  # what goes into the action, how it reads
Answers = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to point at. choices: from the snapshot and the answers so far."""

    prompt: str
    choices: Callable[[Snapshot, Answers], Sequence[Choice]]


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work. offered: whether it makes sense now; a hand could still be refused later.

    touch: the action is a press that lets go by itself. again: done in small steps, so its last question
    stays. watch: what is looked at meanwhile, in words.
    """

    tool: Tool
    title: str
    questions: tuple[Question, ...]
    make: Callable[[Snapshot, Answers], Action]
    offered: Callable[[Snapshot], bool] = lambda shot: True
    touch: bool = False
    again: bool = False
    watch: Callable[[Snapshot, Answers], str] = lambda shot, answers: ""


# What can be pointed at -----------------------------------------------------------------------------


def _points(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(name, point(name)) for name in shot.points if name not in answers[:1]]


def _any_point(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(name, point(name)) for name in shot.points]


def _wires(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(wire.name, wire_words(wire)) for wire in shot.wires if wire.name not in answers]


def _ends(shot: Snapshot, answers: Answers) -> list[Choice]:
    wire = next(wire for wire in shot.wires if wire.name == answers[0])
    return [("from", f"the end on {point(wire.a)}"), ("to", f"the end on {point(wire.b)}")]


def _links(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(f"{a}|{b}", f"{point(a)} to {point(b)}") for a, b in shot.links]


def _renewable(shot: Snapshot, answers: Answers) -> list[Choice]:
    said = {"wind": "the wind: wait for a calm day", "mains": "the mains lead: a licensed person"}
    return [(name, said.get(name, words(name))) for name in shot.renewable]


def _fuses(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(name, f"{words(name)} fuse") for name in shot.fuses]


def _buttons(down: bool | None) -> Callable[[Snapshot, Answers], list[Choice]]:
    return lambda shot, _: [
        (item.name, item.label or words(item.name))
        for item in shot.devices
        if down is None or item.down is down
    ]


def _beams(blocked: bool) -> Callable[[Snapshot, Answers], list[Choice]]:
    return lambda shot, _: [(beam.name, words(beam.name)) for beam in shot.beams if beam.blocked is blocked]


def _leaves(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(leaf.name, f"leaf {leaf.name}") for leaf in shot.leaves]


def _released(free: bool) -> Callable[[Snapshot, Answers], list[Choice]]:
    return lambda shot, _: [(leaf.name, f"leaf {leaf.name}") for leaf in shot.leaves if leaf.released is free]


def _with_body(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [(leaf.name, f"leaf {leaf.name}") for leaf in shot.leaves if leaf.body is not None]


def _radii(shot: Snapshot, answers: Answers) -> list[Choice]:
    leaf = next(leaf for leaf in shot.leaves if leaf.name == answers[0])
    shares = ((1.0, "at its leading edge"), (0.75, "three quarters out"), (0.5, "half way out"))
    return [
        (f"{leaf.width * share:.2f}", f"{words_} ({leaf.width * share:.1f} m)") for share, words_ in shares
    ]


def _of_kind(slides: bool) -> Callable[[Snapshot, Answers], list[Choice]]:
    return lambda shot, _: [(leaf.name, f"leaf {leaf.name}") for leaf in shot.leaves if leaf.slides is slides]


def _any_of_kind(slides: bool) -> Callable[[Snapshot], bool]:
    return lambda shot: any(leaf.slides is slides for leaf in shot.leaves)


def _tracks(shot: Snapshot, answers: Answers) -> list[Choice]:
    leaf = next(leaf for leaf in shot.leaves if leaf.name == answers[0])
    steps = [n / 2 for n in range(1, 2 * math.ceil(leaf.travel)) if n / 2 < leaf.travel]
    return [(f"{step:g}", f"{step:.1f} m from shut") for step in steps]


def _angles(shot: Snapshot, answers: Answers) -> list[Choice]:
    leaf = next(leaf for leaf in shot.leaves if leaf.name == answers[0])
    full = round(math.degrees(leaf.open_angle))
    return [(str(angle), f"{angle}° from shut") for angle in range(15, full, 15)]


def _forces(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [
        ("60", "gently, towards open"),
        ("150", "firmly, towards open"),
        ("-60", "gently, towards shut"),
        ("-150", "firmly, towards shut"),
        ("0", "let go"),
    ]


def _kinds(shot: Snapshot, answers: Answers) -> list[Choice]:
    return [
        (kind.name, f"a {kind.name} ({kind.length / 1000:.1f} m long, {kind.width / 1000:.2f} m wide)")
        for kind in kinds().values()
    ]


def _link(answer: str) -> tuple[str, str]:
    a, _, b = answer.partition("|")
    return a, b


def _two_points(instrument: str) -> Callable[[Snapshot, Answers], Action]:
    return lambda shot, answers: do.Probe(instrument, answers[0], answers[1])


def _red(shot: Snapshot, answers: Answers) -> Action:
    assert shot.meter is not None, "offered only with a meter in hand"
    return do.Probe(shot.meter.instrument, answers[0], shot.meter.b)


def _black(shot: Snapshot, answers: Answers) -> Action:
    assert shot.meter is not None, "offered only with a meter in hand"
    return do.Probe(shot.meter.instrument, shot.meter.a, answers[0])


def _steps(room: str, into: bool) -> Callable[[Snapshot], bool]:
    return lambda shot: shot.inside is not into and reach(shot.leaves) == room


def _has_remote(shot: Snapshot) -> bool:
    return bool(shot.remotes)


def _two_probes(shot: Snapshot) -> bool:
    return shot.meter is not None and bool(shot.meter.b)


ROOMS = ("the swing", "the way of the leaf", "the way of the leaves")
_RED = Question("Red probe on", _points)
_BLACK = Question("Black probe on", _points)
_SWINGING = Question("Which leaf?", _of_kind(False))
_SLIDING = Question("Which leaf?", _of_kind(True))
_WIRE = Question("Which wire?", _wires)
_HEAD = Question("Which head?", at.heads())
_REMOTE = Question("Which remote?", at.remotes)
_WHO = Question("Who or what?", _kinds)
_M, _L, _S, _H, _P = Tool.METER, Tool.LINK, Tool.SCREWDRIVER, Tool.HANDS, Tool.PASSERS

WORKS: tuple[Work, ...] = (
    Work(_M, "Red probe to another point", (Question("Red probe on", _any_point),), _red, _two_probes),
    Work(_M, "Black probe to another point", (Question("Black probe on", _any_point),), _black, _two_probes),
    Work(_M, "Volts between two points", (_RED, _BLACK), _two_points("volts")),
    Work(_M, "Ohms between two points", (_RED, _BLACK), _two_points("ohms")),
    Work(_M, "Continuity between two points", (_RED, _BLACK), _two_points("continuity")),
    Work(_M, "Clamp round a wire", (_WIRE,), lambda _, a: do.Probe("clamp", a[0])),
    Work(_M, "Put the meter away", (), lambda _, a: do.PutAway(), lambda shot: shot.meter is not None),
    Work(_M, "Diode test between two points", (_RED, _BLACK), _two_points("diode")),
    Work(_M, "Volts AC on the mains side", (Question("Red probe on", at.mains), Question("Black probe on", at.mains)), _two_points("volts-ac")),
    Work(_L, "Put a link in", (Question("Link from", _points), Question("Link to", _points)), lambda _, a: do.AddLink(a[0], a[1])),
    Work(_L, "Take a link out", (Question("Which link?", _links),), lambda _, a: do.RemoveLink(*_link(a[0])), lambda shot: bool(shot.links)),
    Work(_L, "Put the 8.2 kΩ test plug in", (Question("Plug from", _any_point), Question("Plug to", _points)), lambda _, a: do.TestPlug(a[0], a[1], True), lambda shot: shot.plug is None),
    Work(_L, "Take the test plug out", (), lambda shot, _: do.TestPlug(*(shot.plug or ("", "")), False), lambda shot: shot.plug is not None),
    Work(_L, "Connect a spare beam instead", (Question("Instead of which?", at.spares(False)),), lambda _, a: do.SpareBeam(a[0], True), lambda shot: bool(at.spares(False)(shot, ()))),
    Work(_L, "Take the spare beam off again", (Question("From which?", at.spares(True)),), lambda _, a: do.SpareBeam(a[0], False), lambda shot: bool(shot.spares)),
    Work(_S, "Undo a wire", (_WIRE,), lambda _, a: do.PartWire(a[0])),
    Work(_S, "Make a wire good", (_WIRE,), lambda _, a: do.RemakeWire(a[0])),
    Work(_S, "Swap two wires", (_WIRE, Question("With which wire?", _wires)), lambda _, a: do.SwapWires(a[0], a[1])),
    Work(_S, "Move a wire to another point", (_WIRE, Question("Which end?", _ends), Question("To which point?", _any_point)), lambda _, a: do.MoveWire(*a)),
    Work(_S, "Fit a new fuse", (Question("Which fuse?", _fuses),), lambda _, a: do.ReplaceFuse(a[0])),
    Work(_S, "Take the end resistor out of an edge", (Question("Which edge?", at.edges(ended=True)),), lambda _, a: do.EndResistor(a[0], False), lambda shot: bool(at.edges(ended=True)(shot, ()))),
    Work(_S, "Put an end resistor to an edge", (Question("Which edge?", at.edges(ended=False)),), lambda _, a: do.EndResistor(a[0], True), lambda shot: bool(at.edges(ended=False)(shot, ()))),
    Work(_S, "Put a device right: replace, clean, aim, set", (Question("Which one?", _renewable),), lambda _, a: do.Renew(a[0]), lambda shot: bool(shot.renewable)),
    Work(_H, "Press a button, switch or edge", (Question("Which one?", _buttons(None)),), lambda _, a: do.Operate(a[0], True), touch=True),
    Work(_H, "Hold a button, switch or edge down", (Question("Which one?", _buttons(False)),), lambda _, a: do.Operate(a[0], True)),
    Work(_H, "Let a button, switch or edge go", (Question("Which one?", _buttons(True)),), lambda _, a: do.Operate(a[0], False), lambda shot: any(item.down for item in shot.devices)),
    Work(_H, "Block a beam", (Question("Which beam?", _beams(False)),), lambda _, a: do.Block(a[0], True), lambda shot: any(not beam.blocked for beam in shot.beams)),
    Work(_H, "Clear a beam", (Question("Which beam?", _beams(True)),), lambda _, a: do.Block(a[0], False), lambda shot: any(beam.blocked for beam in shot.beams)),
    Work(_H, "Put a test body in the way", (_SWINGING, Question("Where along the leaf?", _radii), Question("At which angle?", _angles)), lambda _, a: do.PlaceBody(a[0], float(a[1]), float(a[2])), _any_of_kind(False)),
    Work(_H, "Put a test body on the track", (_SLIDING, Question("How far from shut?", _tracks)), lambda _, a: do.PlaceBody(a[0], place_m=float(a[1])), _any_of_kind(True)),
    Work(_H, "Take the test body away", (Question("From which leaf?", _with_body),), lambda _, a: do.RemoveBody(a[0]), lambda shot: any(leaf.body for leaf in shot.leaves)),
    Work(_H, "Release a drive", (Question("Which leaf?", _released(False)),), lambda _, a: do.Release(a[0], True), lambda shot: any(not leaf.released for leaf in shot.leaves)),
    Work(_H, "Couple a drive", (Question("Which leaf?", _released(True)),), lambda _, a: do.Release(a[0], False), lambda shot: any(leaf.released for leaf in shot.leaves)),
    Work(_H, "Push a released leaf", (Question("Which leaf?", _released(True)), Question("How?", _forces)), lambda _, a: do.Push(a[0], float(a[1])), lambda shot: any(leaf.released for leaf in shot.leaves)),
    Work(_H, "Look closely, or try by hand", (Question("How?", at.ways), Question("At what?", at.looked_at)), lambda _, a: do.Inspect(a[0], a[1])),
    Work(_H, "Let it rain, or dry", (Question("How hard?", at.rains),), lambda _, a: do.Rain(float(a[0]))),
    Work(_S, "Take the battery off", (), lambda _, a: do.TakeBattery(True), lambda shot: shot.battery is True),
    Work(_S, "Put the battery on again", (), lambda _, a: do.TakeBattery(False), lambda shot: shot.battery is False),
    Work(_H, "Mains off", (), lambda _, a: do.Mains(False), lambda shot: shot.mains),
    Work(_H, "Mains on", (), lambda _, a: do.Mains(True), lambda shot: not shot.mains),
    *(Work(_H, f"Step into {room}", (), lambda _, a: do.Step(True), _steps(room, True)) for room in ROOMS),
    *(Work(_H, f"Step out of {room}", (), lambda _, a: do.Step(False), _steps(room, False)) for room in ROOMS),
    Work(_S, "Set the address switches of a beam's head", (_HEAD, Question("To which address?", at.switches)), lambda _, a: do.SetSwitches(a[0], a[1]), at.any_head()),
    Work(_S, "Turn a beam's head", (_HEAD, Question("Which way?", at.turns)), lambda _, a: do.Turn(a[0], *at.degrees(a[1])), at.any_head(), again=True, watch=at.lamp),
    Work(_S, "Put a lens into a beam's head", (Question("Which head?", at.heads(lens=False)),), lambda _, a: do.FitLens(a[0], True), at.any_head(lens=False)),
    Work(_S, "Take the lens out of a beam's head", (Question("Which head?", at.heads(lens=True)),), lambda _, a: do.FitLens(a[0], False), at.any_head(lens=True)),
    Work(_S, "Fit a new head of a beam", (Question("Where?", at.heads(fitted=None)),), lambda _, a: do.FitHead(a[0], True), lambda shot: bool(shot.heads)),
    Work(_S, "Take a beam's head away", (_HEAD,), lambda _, a: do.FitHead(a[0], False), at.any_head()),
    Work(_H, "Wipe a beam's head", (_HEAD,), lambda _, a: do.CleanLens(a[0]), at.any_head()),
    Work(_H, "Press a remote's key", (Question("Which key?", at.keys(False)),), lambda _, a: do.RemoteKey(*at.key(a[0]), True), _has_remote, touch=True),
    Work(_H, "Hold a remote's key down", (Question("Which key?", at.keys(False)),), lambda _, a: do.RemoteKey(*at.key(a[0]), True), _has_remote),
    Work(_H, "Let a remote's key go", (Question("Which key?", at.keys(True)),), lambda _, a: do.RemoteKey(*at.key(a[0]), False), lambda shot: any(one.down for one in shot.remotes)),
    Work(_H, "Carry a remote away", (_REMOTE, Question("How far?", at.distances)), lambda _, a: do.CarryRemote(a[0], float(a[1])), _has_remote),
    Work(_H, "Put a fresh battery into a remote", (_REMOTE,), lambda _, a: do.FreshBattery(a[0]), _has_remote),
    Work(_H, "Send a recorded code again", (Question("Whose?", at.recorded(False)),), lambda _, a: do.ReplayCode(a[0], True), lambda shot: any(one.sent and not one.replaying for one in shot.remotes)),
    Work(_H, "Stop sending a recorded code", (Question("Whose?", at.recorded(True)),), lambda _, a: do.ReplayCode(a[0], False), lambda shot: any(one.replaying for one in shot.remotes)),
    Work(_H, "Let the low sun shine", (Question("How strong?", at.suns),), lambda _, a: do.Sun(float(a[0])), lambda shot: bool(shot.heads)),
    Work(_P, "Send somebody in from the road", (_WHO,), lambda _, a: do.Send(a[0], "in")),
    Work(_P, "Send somebody out from inside", (_WHO,), lambda _, a: do.Send(a[0], "out")),
    Work(_P, "Clear the way", (), lambda _, a: do.ClearWay(), lambda shot: bool(shot.passing)),
)  # fmt: skip


def works(tool: Tool, shot: Snapshot) -> tuple[Work, ...]:
    """The work that `tool` offers now."""
    return tuple(work for work in WORKS if work.tool is tool and work.offered(shot))


def device_for(shot: Snapshot, word: str) -> str | None:
    """The first button whose name or label has `word` in it ('call', 'part', 'stop'), or None."""
    for item in shot.devices:
        if word in words(item.name).split() or word in item.label.lower().split():
            return item.name
    return None
