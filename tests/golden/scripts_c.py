"""Jobs with more than one thing wrong, worked through by a person who looks again after each repair."""

from __future__ import annotations

import math
from collections.abc import Callable

from simgate.bench import actions as do
from simgate.board.stimuli import Condition
from tests.golden.hands import Person

COURT_CHAIN = ("post-left.2", "stop-porch.1", "stop-porch.2", "post-left.3")  # behind the button on the post
HALVED = ("post-left.2", "post-left.3", "stop-porch.1", "stop-porch.2")
LIVE = 12.0  # V; less is none
PREFIXES = {"mV": 1e-3, "kΩ": 1e3, "MΩ": 1e6}
SHORT = 2.0  # ohm; the cores of a short are no more


def number(person: Person, probe: do.Probe) -> float:
    """What an instrument reads, as the number that it shows; nothing at all is as good as endless."""
    person.do(probe)
    meter = person.see().meter
    assert meter is not None
    value, *unit = meter.reading.split()
    if value == "OL":
        return math.inf
    return float(value) * PREFIXES.get(unit[0], 1.0)


def volts(person: Person, one: str, other: str) -> float:
    """What the meter reads there on volts."""
    return number(person, do.Probe("volts", one, other))


def made(person: Person, terminal: str) -> bool:
    """Whether an input's lamp is lit."""
    return next(one.made for one in person.see().inputs if one.terminal == terminal)


def break_beam(person: Person) -> None:
    """From the shut gate: open it, let it shut, break its beam, let it open, and shut it again."""
    person.press("call-button")
    person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.bench.run(3000)
    person.do(do.Block("beam-gate", True))
    person.wait_for(Condition.OPENING)
    person.do(do.Block("beam-gate", False))
    person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.wait_for(Condition.SHUT)


def after_the_storm(person: Person) -> None:
    """No volts at AUX, no short behind it: the fuse. GUARD-C open still, volts at both heads: the beam."""
    assert volts(person, "board.AUX+", "board.AUX-") < LIVE
    person.do(do.PutAway(), do.Mains(False))
    assert number(person, do.Probe("ohms", "board.AUX+", "board.AUX-")) > SHORT
    person.do(do.PutAway(), do.ReplaceFuse("aux"), do.Mains(True))
    person.bench.run(1000)
    assert not made(person, "GUARD-C")
    assert volts(person, "beam-gate.tx+", "beam-gate.tx-") > LIVE
    assert volts(person, "beam-gate.rx+", "beam-gate.rx-") > LIVE
    person.do(do.PutAway())
    person.dead(do.Renew("beam-gate"))
    assert made(person, "GUARD-C")
    person.cycle()  # slowly: after the power cut the gate has to find both its stops
    break_beam(person)


def two_at_once(person: Person) -> None:
    """Every core is on its screw; the chain by halves, its core; then volts at the sender, and its core."""
    person.do(do.Inspect("strip", "board"))
    found = {point: volts(person, point, "board.0V") > LIVE for point in HALVED}
    live = next(point for point in reversed(COURT_CHAIN) if found[point])
    dead = COURT_CHAIN[COURT_CHAIN.index(live) + 1]
    person.do(do.PutAway())
    wire = next(wire for wire in person.see().wires if {wire.a, wire.b} == {live, dead})
    person.dead(do.RemakeWire(wire.name))
    assert made(person, "STOP")
    assert not made(person, "GUARD-C")
    assert volts(person, "beam-gate.tx+", "board.0V") < LIVE
    person.do(do.PutAway())
    person.dead(do.RemakeWire("beam-tx-red"))
    assert made(person, "GUARD-C")
    person.cycle()  # slowly: after the power cut the gate has to find both its stops
    break_beam(person)
    person.press("call-button")
    person.bench.run(3000)
    person.press("stop-porch")
    person.wait_for(Condition.STOPPED_OPENING)
    person.press("call-button")
    person.wait_for(Condition.SHUT)


SCRIPTS: dict[str, Callable[[Person], None]] = {
    "after-the-storm": after_the_storm,
    "two-at-once": two_at_once,
}
