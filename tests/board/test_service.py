"""Cycles counted, service said to be due, and the book behind a passcode."""

from __future__ import annotations

from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key
from tests.board.rig import Rig
from tests.board.test_book import BACK, KEEP, LESS, MORE, NEXT, Bench

C = Condition


def cycle(rig: Rig) -> None:
    rig.tap("CALL")
    rig.until(C.OPEN)
    rig.run(500)
    rig.tap("CALL")
    rig.until(C.SHUT)
    rig.run(500)


def power_cut(rig: Rig) -> None:
    rig.board.signals.powered = False
    rig.run(100)
    rig.board.signals.powered = True
    rig.run(100)


def test_a_cycle_is_counted_when_the_gate_is_shut_again_and_kept_through_a_power_cut() -> None:
    rig = Rig("Latch")
    cycle(rig)
    cycle(rig)
    power_cut(rig)
    assert (rig.board.service.cycles, rig.board.service.since) == (2, 2)


def test_a_service_that_is_due_is_said_and_blocks_nothing() -> None:
    rig = Rig("Latch", service_after=100)
    rig.board.service.cycles = 99
    assert rig.board.display == ("Gate shut", "Ready: Latch")
    cycle(rig)
    assert rig.board.display == ("Gate shut", "Service due: 100 cycles")
    cycle(rig)
    rig.board.work.service_done(rig.tick)
    rig.run(50)
    assert rig.notes(NoteKind.SERVICE) == ["101"]
    assert rig.board.service.words == ""


def test_cycles_are_read_in_the_book_and_service_is_done_by_holding_keep() -> None:
    bench = Bench()
    bench.turn_to("Reset", "cycles-made")
    assert bench.tap(NEXT) == ("1204 cycles, 204 unserviced", "Hold Keep 2 s: service done")
    bench.book.press(KEEP, bench.now)
    bench.wait(1_900)
    assert bench.asked == []
    bench.wait(200)
    assert bench.asked == [("service done",)]


def test_a_locked_book_opens_only_with_its_number() -> None:
    bench = Bench(passcode=3)
    assert bench.tap(KEEP) == ("The book is locked", "Passcode: < 0 >  then Keep")
    assert bench.tap(MORE, KEEP) == ("Wrong passcode", "The book stays locked")
    bench.tap(NEXT)
    assert not bench.book.open
    bench.tap(KEEP, MORE, MORE, MORE)
    assert bench.tap(KEEP)[0] == "Set-up book"
    assert not Bench(passcode=3).tap(KEEP, BACK)[0]


def test_less_from_nothing_is_the_highest_number() -> None:
    bench = Bench(passcode=99)
    assert bench.tap(KEEP, LESS)[1] == "Passcode: < 99 >  then Keep"
    assert bench.tap(KEEP)[0] == "Set-up book"


def test_a_passcode_is_not_told_when_it_is_kept() -> None:
    bench = Bench()
    bench.turn_to("Reset", "passcode")
    bench.tap(NEXT, MORE, KEEP, BACK, BACK)
    bench.tap(KEEP)
    assert bench.asked == [("kept", "passcode", "changed")]


def test_a_forgotten_passcode_leaves_only_back_to_default_with_the_mains_cycled() -> None:
    rig = Rig("Latch", passcode=42, pause=30)
    rig.key(Key.KEEP)
    assert rig.board.display[0] == "The book is locked"
    rig.key(Key.BACK)
    power_cut(rig)
    rig.key(Key.KEEP)
    assert rig.board.display[0] == "The book is locked"
    rig.board.signals.powered = False
    rig.run(100)
    rig.hold(Key.KEEP)
    rig.board.signals.powered = True
    rig.run(3_000)
    assert rig.board.display[0].endswith("differ")
    rig.let_go()
    rig.run(50)
    rig.key(Key.BACK)
    assert not rig.board.book.open
    rig.board.signals.powered = False
    rig.run(100)
    rig.hold(Key.KEEP)
    rig.board.signals.powered = True
    rig.run(50)
    rig.let_go()
    rig.run(50)
    rig.key(Key.KEEP, ms=2_500)
    assert rig.board.display[0] == "Back to default?"
    rig.key(Key.KEEP)
    assert rig.settings.differs() == ()
    rig.key(Key.BACK)
    rig.key(Key.KEEP)
    assert rig.board.display[0] == "Set-up book"
