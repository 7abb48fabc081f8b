"""Lines broken under their own beginning."""

from __future__ import annotations

import pytest
from textual.app import App, ComposeResult

from simgate.tui.panes.hanging import Hanging, Line, plain
from tests.tui.stage import text_of

LINES = (Line("one two three four five", "□ "), Line(), Line("six", "□ "))


class OneHanging(App[None]):
    """Nothing but the lines."""

    def compose(self) -> ComposeResult:
        yield Hanging(LINES)


@pytest.mark.parametrize(
    ("width", "shown"),
    [
        (30, "□ one two three four five\n\n□ six\n"),
        (16, "□ one two three\n  four five\n\n□ six\n"),
        (11, "□ one two\n  three\n  four five\n\n□ six\n"),
    ],
)
async def test_long_lines_go_on_under_their_own_beginning(width: int, shown: str) -> None:
    app = OneHanging()
    async with app.run_test(size=(width, 8)) as pilot:
        await pilot.pause()
        assert text_of(app).rstrip("\n") == shown.rstrip("\n")
        assert app.query_one(Hanging).size.height == shown.count("\n")


def test_square_brackets_in_a_briefing_are_text() -> None:
    assert plain([Line("[bold]not a style[/bold]", "1. ")]) == "1. [bold]not a style[/bold]"


async def test_square_brackets_are_painted_as_they_are() -> None:
    class Bracketed(App[None]):
        def compose(self) -> ComposeResult:
            yield Hanging([Line("[red]x[/red]")])

    app = Bracketed()
    async with app.run_test(size=(30, 4)) as pilot:
        await pilot.pause()
        assert "[red]x[/red]" in text_of(app)
