"""Four more jobs worked through by a person who knows how: drift, the lock, the clash, the rail switches."""

from __future__ import annotations

from collections.abc import Callable

from simgate.bench import actions as do
from simgate.board.stimuli import Condition, Key
from tests.golden.hands import Person

STANDS = "stands: at an end"  # what a jog says at its end


def jog(person: Person, leaf: str, *keys: Key, seconds: int = 60) -> None:
    """Jog a leaf with each key until the board says that it stands."""
    person.turn_to("Learn", f"Jog leaf {leaf}")
    person.tap(Key.NEXT)
    for key in keys:
        person.bench.act(do.PressKey(key, True))
        person.bench.run(500)
        person.wait(lambda view: STANDS in " ".join(view.display), seconds)
        person.bench.act(do.PressKey(key, False))
        person.bench.run(200)
    person.tap(Key.BACK)
    person.shut_book()


def cycles(person: Person, times: int) -> None:
    """So many whole cycles in Latch."""
    for _ in range(times):
        person.cycle()


def drift(person: Person) -> None:
    """See it end short, tell the book of the switches, jog past both, shut, learn, three cycles."""
    person.cycle()
    assert person.see().leaves[0].place > 0.05  # 'Gate shut', and it stands ajar
    person.set("Gate", "END-O-A is", "stop here")
    person.set("Gate", "END-C-A is", "stop here")
    jog(person, "A", Key.MORE, Key.LESS)
    person.learn()
    cycles(person, 3)


def lock_stuck(person: Person) -> None:
    """Volts at the coil, ohms up to the box in the far post, the joint, the stroke, three cycles."""
    person.do(do.Probe("volts", "lock.1", "lock.2"))
    person.press("call-button")
    person.bench.run(300)
    meter = person.see().meter
    assert meter is not None
    assert 2 < float(meter.reading.split()[0]) < 12
    person.wait_for(Condition.STOPPED_OPENING)
    person.bench.run(3000)
    person.do(do.PutAway(), do.Mains(False), do.Probe("ohms", "board.LOCK-", "post-far.4"))
    meter = person.see().meter
    assert meter is not None
    assert float(meter.reading.split()[0]) > 10
    person.do(do.PutAway(), do.RemakeWire("lock-black"), do.Mains(True))
    person.bench.run(1000)
    person.set("Outputs", "Lock", "stroke and pulse")
    cycles(person, 3)


def clash(person: Person) -> None:
    """A open, B shut, A shut; a wait that is long enough; learn; two cycles."""
    person.set("Gate", "Leaf A waits, closing", "7 s")
    jog(person, "A", Key.MORE)
    jog(person, "B", Key.LESS)
    jog(person, "A", Key.LESS)
    person.learn()
    cycles(person, 2)


def ends_slow_down(person: Person) -> None:
    """Set both, roll past them by jogging, set the one that slipped, roll past again, learn, a cycle."""
    person.set("Gate", "END-O-A is", "begin slow-down")
    person.set("Gate", "END-C-A is", "begin slow-down")
    jog(person, "A", Key.MORE, Key.LESS, seconds=120)
    person.dead(do.Renew("end-open-a"))
    jog(person, "A", Key.MORE, Key.LESS, seconds=120)
    person.learn()
    person.cycle()


SCRIPTS: dict[str, Callable[[Person], None]] = {
    "drift": drift,
    "lock-stuck": lock_stuck,
    "clash": clash,
    "ends-slow-down": ends_slow_down,
}
