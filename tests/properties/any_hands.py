"""Random hands for any bench: whatever kinds of action there are, aimed at what the bench has.

A hand is a kind of action and a number. Which names it takes is found at the bench, when it comes to it:
from the snapshot and, where that was no good, from the refusal, as a person would. So a new device, wire,
action or site is driven without a word here.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any, get_args

import msgspec
from hypothesis import strategies as st

from simgate.bench import actions as a
from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.bench.site import Site
from simgate.board.line_table import all_settings
from simgate.files import Problem, UserError
from simgate.plant.spec import LeafKind
from simgate.wiring.faults import kind_of, row
from simgate.wiring.spec import DeviceKind

KINDS: tuple[type[Any], ...] = get_args(a.Action)
OFTEN = (a.Operate, a.Operate, a.Operate, a.Operate, a.PressKey, a.Block, a.Release, a.Push, a.Mains)
TRIES = 5  # how often a hand listens to a refusal and tries again


def possible(site: Site) -> list[type[Any]]:
    """The kinds of action that hands must manage at a site, by what stands there."""
    there = {
        "head": bool(site.line_beams),
        "beam": bool(site.across),
        "relay_beam": bool(site.beams),
        "off": site.wiring.supply.battery is not None,
        "edge": any(device.kind is DeviceKind.EDGE_THROUGH for device in site.wiring.devices),
    }
    return [kind for kind in KINDS if all(there.get(field.name, True) for field in FIELDS[kind])]


FIELDS = {kind: msgspec.structs.fields(kind) for kind in KINDS}
"""What each kind of action is made of."""

Hand = tuple[int, type[Any], int]
"""ms to wait, the kind of action, the number that decides the rest."""

WAITS = st.sampled_from([0, 10, 40, 60, 200, 500, 1_000, 2_500])
HANDS = st.tuples(WAITS, st.sampled_from((*KINDS, *OFTEN)), st.integers(0, 1 << 24))
RUNS = st.lists(HANDS, min_size=1, max_size=9)

NUMBERS = (0.0, 0.3, 0.8, 1.0, 1.5, 2.0, 5.0, 20.0, 45.0, 80.0, 200.0, 400.0, -1.0, -150.0, -400.0, 3e3, 1e9)


def try_hand(bench: Bench, hand: Hand) -> bool:
    """Do what a hand means, if hands can. A refusal is in words and leaves the bench as it was."""
    _, kind, number = hand
    chance = random.Random(number)
    if kind not in possible(bench.setup.site):
        return False
    view = bench.snapshot()
    values = {field.name: _value(chance, field, view, bench, kind) for field in FIELDS[kind]}
    if kind is a.RemoveLink:  # two points that have a link are not met by chance
        if not view.links:  # only one that was put in can be taken out
            try_hand(bench, (0, a.AddLink, number))
        if links := view.links or bench.snapshot().links:
            values["a"], values["b"] = chance.choice(links)
    if kind is a.Inject:  # a kind and one of its own places are seldom met by chance
        what, places = chance.choice([one for one in bench.fault_choices() if one[1]])
        values["kind"], values["place"] = what, chance.choice(places)
        if chance.random() < 0.7:  # nor is an amount that the kind can have
            values["amount"] = row(kind_of(what)).least
    if kind is a.Mend:  # only what was put in can be mended
        if not bench.faults():
            try_hand(bench, (0, a.Inject, number))
        for fault in bench.faults()[:1]:
            values["kind"], values["place"] = fault.kind.value, fault.place
    if kind is a.TestPlug:
        values["fitted"] = view.plug is None
        values["a"], values["b"] = view.plug or (values["a"], values["b"])
    if kind is a.SpareBeam:
        values["connected"] = values["relay_beam"] not in view.spares
    if kind is a.TakeBattery:
        values["off"] = bool(view.battery)
    if kind is a.Inspect:  # a leaf is pulled released, and stands; what it is looked for is one of its own
        values["of"] = chance.choice(dict(view.looks)[values["how"]])
        if values["how"] in ("pull", "play"):
            values["how"] = "stop"
    if kind is a.FitLens:
        values["fitted"] = not bench.harness.heads[values["head"]].lens
    if kind is a.ReplayCode:  # only a code that was sent can be sent again
        bench.act(a.RemoteKey(values["remote"], 1, True))
        bench.act(a.RemoteKey(values["remote"], 1, False))
        values["on"] = not bench.air.replaying(values["remote"])
    if kind is a.PlaceBody:  # a body on a track has a place, one in a swing a radius and an angle
        slides = any(leaf.kind is LeafKind.SLIDES for leaf, _ in bench.setup.site.plant.leaves)
        values.update({"radius_m": 0.0, "angle_deg": 0.0} if slides else {"place_m": 0.0})
    if kind is a.Push and not any(leaf.released for leaf in view.leaves if leaf.name == values["leaf"]):
        bench.act(a.Release(values["leaf"], True))
    before = bench.digest()
    for _ in range(TRIES):
        try:
            bench.act(kind(**values))
        except UserError as error:
            assert error.problems
            assert bench.digest() == before
            if not _listen(chance, values, error.problems[0]):
                return False
        else:
            return True
    return False


def call(bench: Bench, number: int) -> None:
    """Press one of the buttons that call, whichever has a contact that is open at rest.

    Let go of it, unless the mode moves only while it is held.
    """
    names = [one.name for one in bench.setup.site.wiring.devices if one.kind is DeviceKind.BUTTON_NO]
    if names:
        name = names[number % len(names)]
        bench.act(a.Operate(name, True))
        bench.run(150)
        if not bench.setup.modes()[bench.board.mode].while_held:
            bench.act(a.Operate(name, False))


def _value(
    chance: random.Random, field: msgspec.structs.FieldInfo, view: Snapshot, bench: Bench, kind: type[Any]
) -> Any:
    """A value for one field of an action."""
    if field.type is bool:
        return chance.random() < 0.6
    if isinstance(field.type, type) and issubclass(field.type, Enum):
        return chance.choice(list(field.type))
    if field.type in (float, int):
        return field.type(chance.choice(NUMBERS) * chance.choice((1.0, 1.0, chance.random())))
    assert field.type is str, f"hands do not know what a {field.type} is"
    return chance.choice(_names(view, bench, kind, field.name))


def _names(view: Snapshot, bench: Bench, kind: type[Any], field: str) -> Sequence[str]:
    """Names that a field may take: of its own kind of thing, else any that the bench knows."""
    wires = [wire.name for wire in view.wires]
    if kind is a.Inject:
        faults = bench.fault_choices()
        return (
            [what for what, _ in faults] if field == "kind" else [one for _, some in faults for one in some]
        )
    own: dict[str, Sequence[str]] = {
        "wire": wires,
        "device": [device.name for device in view.devices],
        "beam": [beam.name for beam in view.beams],
        "relay_beam": view.relay_beams,
        "how": [how for how, _ in view.looks],
        "of": [name for _, names in view.looks for name in names],
        "edge": [edge for edge, _ in view.edge_ends],
        "head": [head.name for head in view.heads],
        "remote": [remote.name for remote in view.remotes],
        "switches": all_settings() if kind is a.SetSwitches else (),
        "leaf": [leaf.name for leaf in view.leaves],
        "fuse": view.fuses,
        "a": wires if kind is a.SwapWires else view.points,
        "b": wires if kind is a.SwapWires else view.points,
        "to": view.points,
    }
    return own.get(field) or sorted(set(_texts(view))) or ["nothing"]


def _texts(value: object) -> Iterator[str]:
    """Every short text that stands in a snapshot."""
    if isinstance(value, str):
        if 0 < len(value) <= 40:
            yield value
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from _texts(item)


def _listen(chance: random.Random, values: dict[str, Any], refusal: Problem) -> bool:
    """Change one value to something that the refusal says is allowed. False when it names nothing."""
    numbers = re.findall(r"-?\d+(?:\.\d+)?", refusal.allowed)
    words = [word.strip("'") for word in re.split(r"[,;:?()] *| or | and ", refusal.allowed) if word.strip()]
    amounts = [name for name, value in values.items() if type(value) in (float, int)]
    texts = [name for name, value in values.items() if isinstance(value, str)]
    if refusal.where in values:
        amounts, texts = ([name for name in some if name == refusal.where] for some in (amounts, texts))
    if amounts and len(numbers) >= 2:
        name = chance.choice(amounts)
        values[name] = type(values[name])(chance.uniform(float(numbers[0]), float(numbers[1])))
    elif texts and words:
        values[chance.choice(texts)] = chance.choice(words)
    else:
        return False
    return True
