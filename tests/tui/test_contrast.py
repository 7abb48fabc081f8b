"""Every word on every screen stands out from its ground, in every theme that has colours."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from textual.color import Color
from textual.screen import Screen

from simgate.bench.left_open import LeftOpen
from simgate.bench.record import MeterView, Snapshot
from simgate.practice.outcomes import Memory
from simgate.practice.round import Round
from simgate.tui.app import SimgateApp
from simgate.tui.commands import Place
from simgate.tui.opening import Offer as RunOffer
from simgate.tui.panes.job_sheet import briefing_lines
from simgate.tui.preferences import Preferences
from simgate.tui.screens.asking import RoundMap
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.card import CardOver
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.diagram import Wiring
from simgate.tui.screens.drawer import Drawer
from simgate.tui.screens.going_on import GoingOn
from simgate.tui.screens.help import Help
from simgate.tui.screens.offer import Offer
from simgate.tui.screens.picker import Picker
from simgate.tui.screens.reading import Question, Reading
from simgate.tui.screens.strip import StripOver
from simgate.tui.strip import Recorder
from simgate.tui.tools import Tool
from tests.tui.contrast import DRAWN, ENHANCED, TEXT, ratio, words
from tests.tui.made import CardboardBench, busy
from tests.tui.stage import LARGE, SHEET, still
from tests.tui.test_debrief_screen import STORY

NEEDED = {"dusk": TEXT, "noon": TEXT, "high-contrast": ENHANCED}


def test_the_ratio_is_that_of_published_pairs() -> None:
    """Black on white is 21 to 1; #767676 on white is the widely published border case of 4.5 to 1.

    WCAG 2.2, definition of contrast ratio; the figures of the greys from memory.
    """
    white = Color.parse("#ffffff")
    assert ratio(Color.parse("#000000"), white) == pytest.approx(21.0)
    assert ratio(Color.parse("#767676"), white) == pytest.approx(4.54, abs=0.005)
    assert ratio(white, Color.parse("#777777")) == pytest.approx(4.48, abs=0.005)


def over_the_bench(shot: Snapshot) -> list[Screen[Any]]:
    """What can lie over the Bench, each with something in it."""
    run = LeftOpen(Path("x.tape"), "first-learn", "", "", 0, 1000, 0.0)
    return [
        CardOver(shot, shot.last),
        StripOver(Recorder(), shot),
        Help(Place.BENCH),
        Picker(Tool.METER, shot, lambda action, touch: None),
        Drawer(CardboardBench().fault_choices(), ()),
        Wiring(shot, lambda action: None),
        Offer("What?", [("a", "One thing"), ("b", "Another")], "Isolate first."),
        Question("Leave", "Really?"),
        Reading("A gate", briefing_lines(replace(SHEET, briefing="Open it.", caution="Keep out."), 1)),
        GoingOn([RunOffer(run, "A run", note="Begun on another version.")]),
        RoundMap(shot, Round(shot, Memory()).marks(), 4),
    ]


@pytest.mark.parametrize("theme", NEEDED)
async def test_every_word_stands_out_from_its_ground(tmp_path: Path, theme: str) -> None:
    """WCAG 2.2, success criteria 1.4.3 (4.5 to 1) and, for high contrast, 1.4.6 (7 to 1)."""
    faint: list[str] = []
    app = SimgateApp(tapes=tmp_path, pacer=still, chosen=Preferences(theme), chosen_in=tmp_path / "p.toml")

    def look(where: str) -> None:
        seen = [(text, ratio(*pair)) for text, *pair in words(app) if any(map(str.isalnum, text))]
        assert len(seen) > 2, where
        faint.extend(f"{where}: '{text}' {found:.2f}" for text, found in seen if found < NEEDED[theme])

    async with app.run_test(size=LARGE, notifications=True) as pilot:
        look("Workshop")
        await pilot.press("comma")
        look("Preferences")
        await pilot.press("escape", "ctrl+p", *"pre")
        await pilot.pause(0.3)
        look("palette")
        await pilot.press("escape")
        await app.push_screen(DebriefScreen(STORY))
        look("Debrief")
        meter = MeterView("ohms", "board.STOP", "board.COM", "-12.9 Ω", "This circuit is live.")
        shot = replace(busy(), meter=meter, inside=True)
        bench = BenchScreen(CardboardBench(shot), SHEET, still())
        await app.push_screen(bench)
        bench.advance(10)
        await pilot.pause()
        look("Bench")
        for screen in over_the_bench(shot):
            await app.push_screen(screen)
            await pilot.pause()
            look(type(screen).__name__)
            await app.pop_screen()
    assert not faint, "\n".join(faint)


@pytest.mark.parametrize("theme", NEEDED)
def test_the_colours_of_a_theme_go_together(tmp_path: Path, theme: str) -> None:
    """WCAG 2.2: 1.4.3 and 1.4.6 for text; 1.4.11, 3 to 1, for what must be seen to understand a picture."""
    colours = SimgateApp(tapes=tmp_path, chosen=Preferences(theme)).get_css_variables()

    def stands(front: str, back: str) -> float:
        return ratio(Color.parse(colours[front]), Color.parse(colours[back]))

    for ground in ("background", "surface"):
        for front in ("foreground", "text-muted", "accent", "warning", "error", "success"):
            assert stands(front, ground) >= NEEDED[theme], (front, ground)
        for ink in ("text-disabled", "secondary"):
            assert stands(ink, ground) >= DRAWN, (ink, ground)
    for front, back in (("foreground", "panel"), ("text-muted", "panel"), ("display-text", "display")):
        assert stands(front, back) >= NEEDED[theme], (front, back)
    if theme == "high-contrast":
        for front in ("accent", "warning", "error", "success", "rule"):
            assert stands(front, "panel") >= ENHANCED, front
