"""What the first screen does without so that it is there sooner, and that it is the right one at once."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual.geometry import Size

from simgate.tui.app import SimgateApp
from simgate.tui.first_paint import hold, release
from simgate.tui.screens.workshop import WorkshopScreen, classes_of
from tests.tui.stage import OneScreen


@pytest.fixture(autouse=True)
def collecting() -> Iterator[None]:
    """Leave Python as it was, whatever fails."""
    yield
    gc.enable()


def test_garbage_is_looked_for_again_once_released_but_not_in_what_was_loaded() -> None:
    before = gc.get_freeze_count()
    hold()
    assert not gc.isenabled()
    release()
    assert gc.isenabled()
    assert gc.get_freeze_count() > before


def test_without_a_hold_a_release_does_nothing() -> None:
    before = gc.get_freeze_count()
    release()
    assert gc.isenabled()
    assert gc.get_freeze_count() == before


async def test_the_app_releases_after_its_first_paint(tmp_path: Path) -> None:
    hold()
    async with SimgateApp(tapes=tmp_path).run_test() as pilot:
        await pilot.pause()
        assert gc.isenabled()


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (139, 47), (140, 48), (200, 60)])
async def test_the_classes_before_the_first_paint_are_those_that_textual_gives(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """Else the Workshop would be painted twice."""
    screen = WorkshopScreen((), ())
    async with OneScreen(screen).run_test(size=size) as pilot:
        await pilot.pause()
        assert set(classes_of(Size(*size))) == set(screen.classes)
        await pilot.resize_terminal(*size[::-1])
        while screen.size != Size(*size[::-1]):  # a busy machine tells the screen later
            await pilot.pause()
        await pilot.pause()
        assert set(classes_of(Size(*size[::-1]))) == set(screen.classes)
