"""Work of many small steps: its last question stays, beside what comes of it. What typing narrows."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace

import pytest
import pytest_asyncio
from textual import events

from simgate.bench import actions as do
from simgate.bench.device_view import HeadView
from simgate.bench.record import Snapshot
from simgate.tui.device_choices import lamp
from simgate.tui.screens.picker import narrowed
from simgate.tui.tools import WORKS
from tests.tui.made import CardboardBench, made
from tests.tui.stage import SHARED, SMALL, bench_app, text_of

pytestmark = pytest.mark.usefixtures("unpainted")


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for all of these tests."""
    async with SHARED.running():
        yield


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


class TurnedBench(CardboardBench):
    """Its beam has light from the second step to the left on."""

    def _turn(self, action: do.Turn) -> None:
        turned = sum(asked.across_deg for asked in self.asked if isinstance(asked, do.Turn))
        self._shot = replace(self._shot, heads=shot(turned > 1).heads)


@pytest.mark.asyncio(loop_scope="module")
async def test_the_card_stays_while_a_head_is_turned_and_tells_of_the_lamp() -> None:
    """Enters as fast as they come are steps, and none falls through to the keys of the Cabinet."""
    assert [work.title for work in WORKS if work.again] == ["Turn a beam's head"]
    bench = TurnedBench(shot(False))
    app, screen = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("w", *"turn", "enter", *"inner", "down", "enter")
        assert "lamp on the receiver dark" in text_of(app)
        await pilot.press(*"left")
        for _ in range(3):
            pilot.app.post_message(events.Key("enter", None))
        await pilot.pause()
        await pilot.pause()
        assert bench.asked == [do.Turn("inner-receiver", 1, 0)] * 3
        assert "lamp on the receiver lit" in text_of(app)
        await pilot.press("escape")
        assert "Which head?" in text_of(app)
        assert "lamp on the receiver" not in text_of(app)
        await pilot.press("escape", "escape")
        assert app.screen is screen


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


def test_a_point_is_found_by_the_name_it_has_in_files_and_plus_is_not_minus() -> None:
    points = [("p", "board · AUX+"), ("m", "board · AUX-"), ("s", "stop-feed")]
    assert [value for value, _ in narrowed(points, "board.aux-")] == ["m"]
    assert [value for value, _ in narrowed(points, "aux")] == ["p", "m"]
    assert [value for value, _ in narrowed(points, "stop feed")] == ["s"]
