"""The Cabinet's keys on the whole board: through the book to a jog, a learn cycle and a kept setting."""

from __future__ import annotations

from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key, Task
from tests.board.rig import Rig


def walk_to(rig: Rig, *names: str) -> None:
    """Open the book and walk down to what `names` say, one level each, as a person reads it."""
    rig.key(Key.NEXT)
    for depth, name in enumerate(names):
        seen: list[tuple[str, str]] = []
        while name not in rig.board.book.place()[depth:]:
            assert rig.board.display not in seen, f"{name} not found among {seen}"
            seen.append(rig.board.display)
            rig.key(Key.MORE)
        rig.key(Key.NEXT)


def test_keep_held_two_seconds_in_the_book_starts_the_learn_cycle_and_no_less() -> None:
    rig = Rig("Latch", learned=False, leaves=1)
    walk_to(rig, "Learn", "learn-cycle")
    rig.key(Key.KEEP, 1_900)
    assert rig.board.task is Task.MODE
    rig.key(Key.KEEP, 2_100)
    assert rig.notes(NoteKind.LEARN_STARTED) == [""]
    assert rig.board.display == ("Learn cycle", "Sweep: A opens")
    rig.run(160_000)
    assert rig.board.learned
    assert rig.now() is Condition.SHUT


def test_a_learn_cycle_that_may_not_start_says_why_in_the_book() -> None:
    rig = Rig("Latch", learned=False, leaves=1)
    rig.terminals(GUARD_C=0.0)
    walk_to(rig, "Learn", "learn-cycle")
    rig.key(Key.KEEP, 2_100)
    assert rig.board.display == ("No learn cycle", "GUARD-C is open")


def test_a_jog_lasts_as_long_as_its_key_is_held() -> None:
    rig = Rig("Latch", learned=False)
    walk_to(rig, "Learn", "jog-b")
    rig.hold(Key.MORE)
    rig.run(1_500)
    assert rig.board.task is Task.JOG
    assert rig.board.outputs.duty[1] > 0.0
    assert rig.board.outputs.duty[0] == 0.0
    rig.let_go()
    rig.run(10)
    assert rig.board.outputs.duty == [0.0, 0.0]
    assert rig.notes(NoteKind.RESTING) == ["B"]


def test_a_jog_that_stop_ends_says_so_and_does_not_go_on_by_itself() -> None:
    rig = Rig("Latch", learned=False)
    walk_to(rig, "Learn", "jog-a")
    rig.hold(Key.MORE)
    rig.run(1_500)
    rig.terminals(STOP=0.0)
    rig.run(100)
    assert "STOP is open" in rig.board.display
    rig.terminals(STOP=24.0)
    rig.run(3_000)
    assert rig.board.outputs.duty == [0.0, 0.0]


def test_a_setting_changed_in_the_book_acts_once_it_is_kept() -> None:
    rig = Rig("Self-close", pause=20)
    walk_to(rig, "Calls")
    while rig.board.book.place()[-1] != "pause":
        rig.key(Key.MORE)
    rig.key(Key.NEXT)
    rig.key(Key.MORE)
    rig.key(Key.NEXT)  # done with this one
    assert rig.settings.number("pause") == 20
    rig.key(Key.BACK)
    rig.key(Key.BACK)
    rig.key(Key.KEEP)
    assert rig.settings.number("pause") == 21
    assert rig.notes(NoteKind.SETTING_KEPT) == ["pause = 21"]
    rig.tap("CALL")
    rig.until(Condition.OPEN)
    assert rig.until(Condition.CLOSING) == 21_000 - 10


def test_a_power_cut_shuts_the_book() -> None:
    rig = Rig("Latch")
    rig.key(Key.NEXT)
    assert rig.board.book.open
    rig.board.signals.powered = False
    rig.run(50)
    rig.board.signals.powered = True
    rig.run(50)
    assert rig.board.display == ("Stopped", "Place not known: moves slowly")
