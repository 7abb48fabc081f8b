"""Each shipped job worked through by a person who knows how: the source of the tapes beside this file."""

from __future__ import annotations

from collections.abc import Callable

from simgate.bench import actions as do
from simgate.board.stimuli import Condition, Key
from tests.golden import scripts_b, scripts_c
from tests.golden.hands import Person
from tests.golden.scripts_a import SCRIPTS_A

STOP_CHAIN = (
    "board.COM",
    "post-left.1",
    "stop-post.1",
    "stop-post.2",
    "post-left.2",
    "stop-barn.1",
    "stop-barn.2",
    "post-left.3",
    "board.STOP",
)  # the farm gate's, screw by screw as the job sheet tells it


def first_learn(person: Person) -> None:
    """Set, jog, learn, try."""
    person.set("Gate", "Leaves", "1")
    person.set("Calls", "Logic mode", "Latch")
    person.jog("A")
    person.learn()
    person.cycle()


def wrong_way(person: Person) -> None:
    """Jog, see the leaf go the wrong way, turn the motor round with the mains off, jog again, learn, try."""
    person.jog("A", opens=Key.LESS)
    person.dead(do.SwapWires("motor-a-brown", "motor-a-blue"))
    person.jog("A")
    person.learn()
    person.cycle()


def parted_stop(person: Person) -> None:
    """Halve the chain with the meter on volts, mend the core, let the gate find its stops, prove the stop."""
    live, dead = 0, len(STOP_CHAIN) - 1
    while dead - live > 1:
        middle = (live + dead) // 2
        person.do(do.Probe("volts", STOP_CHAIN[middle], "board.AUX-"))
        meter = person.see().meter
        assert meter is not None
        if float(meter.reading.split()[0]) > 12:
            live = middle
        else:
            dead = middle
    person.do(do.PutAway())
    wire = next(
        wire for wire in person.see().wires if {wire.a, wire.b} == {STOP_CHAIN[live], STOP_CHAIN[dead]}
    )
    person.dead(do.RemakeWire(wire.name))
    person.cycle()  # slowly: after the power cut the gate has to find both its stops
    person.press("call-button")
    person.bench.run(3000)
    person.press("stop-barn")
    person.wait_for(Condition.STOPPED_OPENING)
    person.press("call-button")
    person.wait_for(Condition.SHUT)


def self_close_and_back(person: Person) -> None:
    """Self-close with a short pause, the beam broken while it shuts, then back to Latch."""
    person.set("Calls", "Logic mode", "Self-close")
    person.set("Calls", "Pause before shutting", "10 s")
    person.press("call-button")
    person.wait_for(Condition.OPEN)
    person.wait_for(Condition.CLOSING)
    person.bench.run(2000)
    person.do(do.Block("beam-gate", True))
    person.wait_for(Condition.OPENING)
    person.do(do.Block("beam-gate", False))
    person.wait_for(Condition.OPEN)
    person.wait_for(Condition.SHUT)
    person.set("Calls", "Logic mode", "Latch")
    person.cycle()


SCRIPTS: dict[str, Callable[[Person], None]] = {
    "first-learn": first_learn,
    "wrong-way": wrong_way,
    "parted-stop": parted_stop,
    "self-close-and-back": self_close_and_back,
    **SCRIPTS_A,
    **scripts_b.SCRIPTS,
    **scripts_c.SCRIPTS,
}
