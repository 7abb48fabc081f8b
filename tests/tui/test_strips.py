"""The terminal strips: every wire of the board and of the boxes on its screws, by number and colour."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace

import pytest
import pytest_asyncio

from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.files import shipped
from simgate.tui.strips import strips_text
from tests.tui.made import CardboardBench, busy, made
from tests.tui.stage import LARGE, SHARED, SMALL, bench_app, text_of


def gate(name: str) -> Snapshot:
    """A shipped site as it is wired."""
    return Bench(Setup("test", load_site(name))).snapshot()


@pytest.mark.parametrize("name", shipped("sites"))
def test_every_core_stands_at_each_of_its_screws_on_the_board_and_in_the_boxes(name: str) -> None:
    shot = gate(name)
    text = strips_text(shot).plain
    assert max(map(len, text.splitlines())) <= 70
    devices = {point.partition(".")[0] for point in shot.through}
    for wire in shot.wires:
        ends = [end for end in (wire.a, wire.b) if end.partition(".")[0] not in devices]
        assert text.count(f"{wire.number:>3} {wire.colour:<10} ──") == len(ends)


def test_a_strip_read_off_by_hand() -> None:
    """The stop chain in the box of the farm's left post, as its drawing has it."""
    lines = strips_text(gate("farm-double")).plain.splitlines()
    at = lines.index("Post left")
    assert lines[at + 1 :] == [
        "  1          31 white      ── board · COM",
        "             32 white      ── stop post · 1",
        "  2          33 orange     ── stop post · 2",
        "             34 orange     ── stop barn · 1",
        "  3          35 violet     ── stop barn · 2",
        "             36 violet     ── board · STOP",
    ]
    assert " GUARD-O       link       ══ board · COM" in [line[1:] for line in lines]  # behind its lamp
    assert any(line.startswith("  free: 0V, EDGE, TEST+, LOCK+") for line in lines)


def test_a_core_that_hangs_off_its_screw_is_told_at_both_its_ends() -> None:
    shot = made()
    wires = (replace(shot.wires[0], undone=True), *shot.wires[1:])
    text = strips_text(replace(shot, wires=wires)).plain
    assert "red        ╳─ stop button · 1, off its screw here" in text


@pytest_asyncio.fixture(scope="module", loop_scope="module")
async def shared_app() -> AsyncIterator[None]:
    """One app for the tests of the Bench."""
    async with SHARED.running():
        yield


@pytest.mark.asyncio(loop_scope="module")
@pytest.mark.parametrize(
    ("size", "turns"), [(SMALL, 3), (LARGE, 2), ((200, 60), 2)], ids=["80", "120", "200"]
)
@pytest.mark.usefixtures("shared_app")
async def test_the_strips_are_a_key_away_in_every_size(size: tuple[int, int], turns: int) -> None:
    app, screen = bench_app(CardboardBench(busy()))
    async with app.run_test(size=size) as pilot:
        screen.advance(10)
        await pilot.press(*"v" * turns)
        await pilot.pause()
        assert "Terminal strips" in text_of(app)
        assert "link       ══ board · COM" in text_of(app)
