"""The wiring diagram over the Bench, by keyboard alone."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace

import pytest
import pytest_asyncio

from simgate.bench import actions as do
from simgate.bench.record import MeterView
from simgate.tui.screens.diagram import Wiring
from simgate.tui.screens.offer import Offer
from tests.tui.made import CardboardBench, made
from tests.tui.stage import SHARED, SMALL, bench_app, matches, text_of

pytestmark = [pytest.mark.asyncio(loop_scope="module"), pytest.mark.usefixtures("unpainted")]


@pytest_asyncio.fixture(scope="module", loop_scope="module", autouse=True)
async def shared_app() -> AsyncIterator[None]:
    """One app for all of these tests."""
    async with SHARED.running():
        yield


async def test_a_chain_is_followed_with_the_red_probe() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d")
        assert isinstance(app.screen, Wiring)
        await pilot.press("k", "right", "r")
        await pilot.pause()
        assert "A probe goes on a point" in text_of(app)
        await pilot.press("right", "r")
        assert bench.asked == [do.Probe("volts", "stop-button.2", "board.COM")]
        await pilot.press("right", "r", "i")
        assert bench.asked[1:] == [
            do.Probe("volts", "stop-button.1", "board.COM"),
            do.Probe("ohms", "stop-button.1", "board.COM"),
        ]
        await pilot.pause()
        assert "24.0 V" in text_of(app)
        assert matches(app, "diagram-80x24")
        await pilot.press("d")
        assert not isinstance(app.screen, Wiring)


async def test_a_wire_is_undone_where_one_stands_and_the_mains_is_minded() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "right", "enter")
        await pilot.pause()
        assert isinstance(app.screen, Offer)
        assert "prove dead" in text_of(app)
        await pilot.press("u", "n", "d", "o", "enter")
        await pilot.pause()
        assert bench.asked == [do.PartWire("stop-2")]
        assert type(app.screen).__name__ == "Wiring"


async def test_a_link_and_a_move_want_a_second_point_and_escape_drops_them() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "enter", "l", "i", "n", "k", "enter")
        await pilot.pause()
        assert "Link from board · COM: enter takes" in text_of(app)
        await pilot.press("right", "enter")
        await pilot.pause()
        assert "It wants a point" in text_of(app)
        await pilot.press("right", "enter")
        assert bench.asked == [do.AddLink("board.COM", "stop-button.2")]
        await pilot.press("left", "enter", "m", "o", "v", "e", "enter", "escape")
        await pilot.pause()
        assert "enter takes" not in text_of(app)
        assert isinstance(app.screen, Wiring)
        await pilot.press("enter", "m", "o", "v", "e", "enter", "home", "enter")
        assert bench.asked[1:] == [do.MoveWire("stop-2", "from", "board.COM")]


async def test_at_a_joint_each_wire_that_ends_there_can_be_worked_on() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "right", "right", "enter", *"work", "enter")
        await pilot.pause()
        assert isinstance(app.screen, Offer)
        assert "Make it good" in text_of(app)
        await pilot.press(*"good", "enter")
        assert bench.asked == [do.RemakeWire("stop-2")]


async def test_what_hands_cannot_do_here_leaves_the_diagram_open() -> None:
    app, _ = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "r", "k")
        await pilot.pause()
        assert "The other probe is on that point" in text_of(app)
        await pilot.press("escape")
        assert not isinstance(app.screen, Wiring)


async def test_one_goes_to_a_screw_or_a_wire_by_what_is_typed_and_comes_back_to_where_one_was() -> None:
    app, _ = bench_app(CardboardBench())
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "g", *"brown", "enter")
        await pilot.pause()
        assert "▸brown◂" in text_of(app)
        assert "motor a 1 (brown): board · MOTOR-A1 to motor a · 1" in text_of(app)
        await pilot.press("d", "d")
        await pilot.pause()
        assert "▸brown◂" in text_of(app)


async def test_the_mains_and_the_meter_are_at_hand_in_the_diagram() -> None:
    bench = CardboardBench()
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "k", "right", "right", "r", "x", "e")
        assert bench.asked[1:] == [do.PutAway(), do.Mains(False)]
        await pilot.press("k")
        await pilot.pause()
        assert len(bench.asked) == 3  # one probe reads nothing


async def test_a_meter_that_is_on_the_mains_side_does_not_come_along() -> None:
    bench = CardboardBench(replace(made(), meter=MeterView("volts-ac", "mains.L", "mains.N", "231 V", "")))
    app, _ = bench_app(bench)
    async with app.run_test(size=SMALL) as pilot:
        await pilot.press("d", "i", "k", "right", "right", "r")
        assert bench.asked == [do.Probe("ohms", "stop-button.2", "board.COM")]
