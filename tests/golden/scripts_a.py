"""Walk-throughs of jobs at the line, at remotes and at edges, for the tapes beside this file."""

from __future__ import annotations

from collections.abc import Callable

from simgate.bench import actions as do
from simgate.bench.device_view import HeadView
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key
from simgate.files import UserError
from tests.golden.hands import Lost, Person

STEP, WELL = 1.0, 5.0  # degrees of a little turn and of a good one
MOST_TURNS = 8  # well to one side; a head turns no further


# At the line --------------------------------------------------------------------------------------


def head(person: Person, name: str) -> HeadView:
    """A head as it can be seen."""
    return next(one for one in person.see().heads if one.name == name)


def lit(person: Person, receiver: str) -> bool:
    """Whether the lamp on a receiver is lit."""
    return head(person, receiver).lit


def aim(person: Person, receiver: str) -> None:
    """Turn a receiver until its lamp lights, on to where it goes dark, and back to the middle, both ways."""
    if not lit(person, receiver):
        for way in (WELL, -WELL):
            turned = 0
            while not lit(person, receiver) and turned < MOST_TURNS // 2:
                try:
                    person.do(do.Turn(receiver, way, 0.0))
                except UserError:
                    break
                turned += 1
            if lit(person, receiver):
                break
            if turned:
                person.do(*[do.Turn(receiver, -way, 0.0)] * turned)
        else:
            raise Lost(f"the lamp on {receiver} lights nowhere")
    for across, up in ((STEP, 0.0), (0.0, STEP)):
        span = 0
        while lit(person, receiver):
            person.do(do.Turn(receiver, across, up))
        person.do(do.Turn(receiver, -across, -up))
        while lit(person, receiver):
            person.do(do.Turn(receiver, -across, -up))
            span += 1
        person.do(*[do.Turn(receiver, across, up)] * ((span + 1) // 2))


def roll_call(person: Person) -> None:
    """Hold the roll-call by the keys, read what it found, and leave the book."""
    person.turn_to("Line", "Roll-call")
    person.tap(Key.NEXT)
    person.hold(Key.KEEP, 2_200)
    assert person.noted(NoteKind.ROLL_CALL)
    person.tap(Key.NEXT)
    person.shut_book()


def break_beam(person: Person, beam: str, then: Condition) -> None:
    """Put something into a beam of the moving gate, see what comes of it, and take it out again."""
    person.bench.run(2_000)
    person.do(do.Block(beam, True))
    person.wait_for(then)
    person.do(do.Block(beam, False))


def try_both_pairs(person: Person) -> None:
    """Inside while it opens, inside and outside while it shuts; then a cycle that nothing disturbs."""
    person.press("call-button")
    break_beam(person, "inner", Condition.HELD)
    person.wait_for(Condition.OPEN)
    for beam in ("inner", "outer"):
        person.press("call-button")
        break_beam(person, beam, Condition.OPENING)
        person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.wait_for(Condition.SHUT)
    person.cycle()


def line_pair(person: Person) -> None:
    """Fit both heads, set them for both ways, aim, roll-call, try."""
    for name in ("inner-sender", "inner-receiver"):
        person.dead(do.FitHead(name, True), do.SetSwitches(name, "12--"))
    aim(person, "inner-receiver")
    roll_call(person)
    try_both_pairs(person)


def line_gone(person: Person) -> None:
    """Read in the book which beam is missed, fit what is missing, set and aim it, try."""
    person.turn_to("Line", "What stands on the line")
    person.tap(Key.NEXT)
    person.walk(Key.MORE, lambda lines: lines[1] == "closing 1: no receiver answers")
    person.tap(Key.BACK)
    person.shut_book()
    assert not head(person, "outer-receiver").fitted
    switches = head(person, "outer-sender").switches
    person.dead(do.FitHead("outer-receiver", True), do.SetSwitches("outer-receiver", switches))
    aim(person, "outer-receiver")
    try_both_pairs(person)


# At remotes ---------------------------------------------------------------------------------------


def press_remote(person: Person, remote: str, key: int) -> None:
    """A light press of a remote's key."""
    person.do(do.RemoteKey(remote, key, True), do.RemoteKey(remote, key, False))


def teach(person: Person, use: str, remote: str, key: int) -> None:
    """Teach a key by the book: choose what for, press it, confirm with Keep."""
    person.turn_to("Remotes", f"Teach a key: {use}")
    person.tap(Key.NEXT)
    press_remote(person, remote, key)
    assert person.lines()[0].endswith("Keep?")
    person.tap(Key.KEEP)
    assert person.lines()[0] == "Taught"
    person.tap(Key.NEXT)
    person.shut_book()


def wrong_half(person: Person) -> None:
    """Teach both keys of the spare remote anew, then press all four."""
    teach(person, "call", "remote-spare", 1)
    teach(person, "part call", "remote-spare", 2)
    for remote in ("remote-spare", "remote-house"):
        for key, opened in ((1, Condition.OPEN), (2, Condition.PART_OPEN)):
            press_remote(person, remote, key)
            person.wait_for(opened)
            press_remote(person, remote, key)
            person.wait_for(Condition.SHUT)


# At edges -----------------------------------------------------------------------------------------


def ohms(person: Person, a: str, b: str) -> str:
    """What the meter reads on ohms, where it warns of nothing."""
    person.do(do.Probe("ohms", a, b))
    meter = person.see().meter
    assert meter is not None
    assert meter.caution == ""
    person.do(do.PutAway())
    return meter.reading


def press_each(person: Person) -> None:
    """Each edge pressed while the gate shuts, then a cycle."""
    person.bench.run(1_000)
    person.press("call-button")
    person.wait_for(Condition.OPEN)
    for edge in ("edge-a", "edge-b"):
        person.press("call-button")
        person.bench.run(4_000)
        person.press(edge)
        person.wait_for(Condition.OPEN)
    person.press("call-button")
    person.wait_for(Condition.SHUT)
    person.cycle()


def edge_parallel(person: Person) -> None:
    """Meter the pair with mains and battery off, put the chain right, meter again, press each edge."""
    person.do(do.Mains(False), do.TakeBattery(True), do.PartWire("edge-white"), do.PartWire("edge-brown"))
    assert ohms(person, "edge-a.1", "edge-a.2").startswith("4.1")
    person.do(
        do.EndResistor("edge-a", False),
        do.MoveWire("edge-on-white", "from", "edge-a.3"),
        do.MoveWire("edge-on-brown", "from", "edge-a.4"),
    )
    assert ohms(person, "edge-a.1", "edge-a.2").startswith("8.2")
    person.do(do.RemakeWire("edge-white"), do.RemakeWire("edge-brown"))
    person.do(do.TakeBattery(False), do.Mains(True))
    press_each(person)


SCRIPTS_A: dict[str, Callable[[Person], None]] = {
    "line-pair": line_pair,
    "line-gone": line_gone,
    "wrong-half": wrong_half,
    "edge-parallel": edge_parallel,
}
