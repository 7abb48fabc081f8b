"""The receiver: rolling codes as general IT dictionaries have them (window from memory), and its memory."""

from __future__ import annotations

from simgate.board.book_devices import DeviceBook
from simgate.board.book_words import Page
from simgate.board.line import Line
from simgate.board.radio import (
    BEHIND,
    COUNTS,
    FAMILY,
    FAR_AHEAD,
    MEMORY,
    NOTHING,
    OLD_CODE,
    OTHER_FAMILY,
    WINDOW,
    Frame,
    Radio,
    Use,
)

SERIAL = 210417


def code(counter: int, key: int = 1, family: int = FAMILY, serial: int = SERIAL) -> Frame:
    """One code on the air."""
    return Frame(family, serial, key, counter % COUNTS)


def taught(counter: int = 100) -> Radio:
    """A receiver that was taught key 1 for a call, at `counter`."""
    radio = Radio()
    assert radio.teach(code(counter), Use.CALL) == ""
    return radio


def press(radio: Radio, frame: Frame) -> bool:
    """Press and let go; whether it was obeyed."""
    down = radio.scan((frame,))
    up = radio.scan(NOTHING)
    assert bool(down) is bool(up)
    return bool(down)


def test_a_held_key_is_a_held_call_and_its_end_lets_go() -> None:
    radio = taught()
    air = (code(101),)
    assert radio.scan(air) == ((Use.CALL, True),)
    assert radio.scan(air) == ()
    assert radio.holds(Use.CALL)
    assert radio.scan(NOTHING) == ((Use.CALL, False),)
    assert not radio.holds(Use.CALL)


def test_a_code_that_was_copied_is_refused_for_ever_after() -> None:
    radio = taught()
    old = code(101)
    assert press(radio, old)
    assert not press(radio, old)
    assert radio.words == OLD_CODE
    assert press(radio, code(102))
    assert not press(radio, old)


def test_the_code_it_was_taught_with_opens_nothing() -> None:
    radio = taught(100)
    assert not press(radio, code(100))


def test_only_counts_within_the_window_are_obeyed_at_the_first_press() -> None:
    assert press(taught(100), code(100 + WINDOW))
    assert not press(taught(100), code(101 + WINDOW))
    assert not press(taught(100), code(100 + BEHIND))


def test_far_ahead_takes_two_presses_one_after_the_other() -> None:
    radio = taught(100)
    assert not press(radio, code(500))
    assert radio.words == FAR_AHEAD
    assert not press(radio, code(500))  # the same one sent again is not a second press
    assert not press(radio, code(700))
    assert press(radio, code(701))
    assert not press(radio, code(501))


def test_the_count_goes_round() -> None:
    radio = taught(COUNTS - 1)
    assert press(radio, code(COUNTS))
    assert press(radio, code(COUNTS + 1))
    assert not press(radio, code(COUNTS - 1))


def test_a_remote_has_one_count_for_all_its_keys() -> None:
    radio = taught(100)
    assert radio.teach(code(101, key=2), Use.PART) == ""
    assert not press(radio, code(101, key=1))
    assert press(radio, code(102, key=2))


def test_keys_that_nobody_taught_and_other_families_do_nothing() -> None:
    radio = taught()
    assert not press(radio, code(101, key=2))
    assert not press(radio, code(101, serial=1))
    assert not press(radio, code(101, family=FAMILY + 1))
    assert radio.teach(code(5, family=FAMILY + 1), Use.CALL) == "Remote of another family"


def test_a_full_memory_refuses_and_a_known_key_can_still_be_changed() -> None:
    radio = Radio()
    for serial in range(1, MEMORY + 1):
        assert radio.teach(code(0, serial=serial), Use.CALL) == ""
    assert radio.teach(code(0, serial=MEMORY + 1), Use.CALL) == f"Memory is full: {MEMORY} keys"
    assert radio.teach(code(0, serial=1), Use.PART) == ""
    assert radio.taught[0].use is Use.PART
    radio.erase(radio.taught[3])
    assert radio.teach(code(0, serial=MEMORY + 1), Use.CALL) == ""


def test_erased_keys_are_forgotten() -> None:
    radio = taught()
    radio.teach(code(101, key=2), Use.PART)
    radio.erase(radio.taught[0])
    assert not press(radio, code(102, key=1))
    assert press(radio, code(103, key=2))
    radio.erase_all()
    assert not press(radio, code(104, key=2))


def test_while_the_book_listens_a_key_is_shown_and_not_obeyed() -> None:
    radio = taught()
    radio.listening = True
    assert not press(radio, code(101, key=2))
    assert radio.offer() == f"Remote {SERIAL}: key 2"


def test_teaching_never_takes_the_count_of_a_known_remote_back() -> None:
    """A copied code on the teach page would bring every copy after it back to life."""
    radio = taught(100)
    assert press(radio, code(105))
    assert radio.teach(code(101), Use.PART) == OLD_CODE
    assert radio.taught[0].use is Use.CALL
    assert not press(radio, code(102))
    assert radio.teach(code(106), Use.PART) == ""
    assert press(radio, code(107))
    radio.erase_all()
    assert radio.teach(code(101), Use.CALL) == ""  # forgotten, it may begin anywhere


def test_a_remote_of_another_family_is_not_offered() -> None:
    radio = Radio()
    radio.listening = True
    press(radio, code(5, family=FAMILY + 1))
    page = DeviceBook(Line(), radio).lines(Page.TEACH, "teach-call", 0)
    assert page == ("Teach a key: call", OTHER_FAMILY)
    press(radio, code(5))
    assert DeviceBook(Line(), radio).lines(Page.TEACH, "teach-call", 0)[0].endswith("Keep?")


def test_each_refusal_is_told_also_when_it_is_the_same_again() -> None:
    radio = taught()
    for _ in range(2):
        assert not press(radio, code(100))
        assert radio.untold
        radio.untold = False
    assert press(radio, code(101))
    assert not radio.untold


def test_a_key_that_is_held_when_the_power_comes_is_no_call() -> None:
    radio = taught()
    air = (code(101),)
    radio.start(air)
    assert radio.scan(air) == ()
    assert radio.scan(NOTHING) == ()
