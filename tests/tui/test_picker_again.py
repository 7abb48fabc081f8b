"""Work of many small steps: its last question is asked once more, beside what comes of it."""

from __future__ import annotations

from dataclasses import replace

from simgate.bench.device_view import HeadView
from simgate.bench.record import Snapshot
from simgate.tui.device_choices import lamp
from simgate.tui.screens.picker import Picker, narrowed
from simgate.tui.tools import WORKS, Tool
from tests.tui.made import made


def shot(lit: bool) -> Snapshot:
    """A gate with one beam of the line."""
    heads = tuple(
        HeadView(f"inner-{word}", "inner", word, True, "12--", 0.0, 0.0, True, False, lit)
        for word in ("sender", "receiver")
    )
    return replace(made(), heads=heads)


def test_the_lamp_of_the_pair_is_told_whichever_head_is_turned() -> None:
    for head in ("inner-sender", "inner-receiver"):
        assert lamp(shot(True), (head,)) == "lamp on the receiver lit"
        assert lamp(shot(False), (head,)) == "lamp on the receiver dark"
    assert lamp(shot(True), ()) == ""


def test_only_turning_a_head_is_asked_once_more_and_from_the_same_answer() -> None:
    again = [work.title for work in WORKS if work.again]
    assert again == ["Turn a head"]
    picker = Picker(Tool.SCREWDRIVER, shot(False))
    assert picker.once_more(shot(True)) is None
    picker._work = next(work for work in WORKS if work.again)
    picker._answers = ["inner-receiver", "5|0"]
    more = picker.once_more(shot(True))
    assert more is not None
    assert (more._answers, more._last) == (["inner-receiver"], "5|0")


def test_what_was_typed_as_whole_words_stands_first() -> None:
    """'key 2' is the second key, also of a remote with a 2 in its number."""
    keys = [("a", "spare remote (210530), key 1"), ("b", "spare remote (210530), key 2")]
    assert [value for value, _ in narrowed(keys, "key 2")] == ["b", "a"]
    assert [value for value, _ in narrowed(keys, "2")] == ["b", "a"]
    assert [value for value, _ in narrowed(keys, "530")] == ["a", "b"]
    assert [value for value, _ in narrowed(keys, "2 KEY")] == ["b", "a"]
    points = [("x", "terminal COM of the board"), ("y", "post-a, joint 1"), ("z", "com of the inner beam")]
    assert [value for value, _ in narrowed(points, "com")] == ["x", "z"]
    assert narrowed(points, "") == points
