"""Two gates under two modes side by side, the same calls to both, and what they do differently in words."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.reactive import var
from textual.widgets import Static

from simgate.bench.record import Snapshot
from simgate.board.mode_words import WHILE
from simgate.practice.pair import Pair
from simgate.tui.captions import clock
from simgate.tui.commands import Place, bindings
from simgate.tui.messages import Parting
from simgate.tui.pacer import Pacer
from simgate.tui.panes.footer import FooterLine, SmallWindow
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.panes.head import Head
from simgate.tui.panes.pane import ScrollPane
from simgate.tui.panes.yard import Yard
from simgate.tui.runner import Runner
from simgate.tui.screens.calling import NOTHING_COMES, Calling

NONE_YET = "No difference yet. Call, part-call, stop, break the beam: both gates get the same."
ONWARD_MS, LOOK_MS = 60_000, 100  # how far 'on to the next thing' goes, and how far at a time


class Differences(ScrollPane):
    """What was done differently, the newest last."""

    BORDER_TITLE = " What they do differently "

    def __init__(self) -> None:
        super().__init__()
        self._told = -1

    def compose(self) -> ComposeResult:
        yield Hanging()

    def tell(self, differences: list[tuple[int, str]]) -> None:
        """Show them, when there are more than before."""
        if len(differences) == self._told:
            return
        self._told = len(differences)
        lines = [Line(_sentence(words), f"{clock(tick):>7} ") for tick, words in differences]
        if lines:
            lines[-1] = Line(lines[-1].text, lines[-1].prefix, "bold")
        self.query_one(Hanging).show(lines or [Line(NONE_YET, style="$text-muted")])
        self.call_after_refresh(self.scroll_end, animate=False)


class CompareScreen(Calling):
    """pair: the two gates. Nothing is kept of a comparison: it has no tape."""

    CSS_PATH = "comparing.tcss"
    place = Place.COMPARING
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.COMPARING)]
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (80, "-narrow")]  # noqa: RUF012  (Textual's own form)
    VERTICAL_BREAKPOINTS = [(0, "-low"), (24, "-short")]  # noqa: RUF012

    other: var[Snapshot | None] = var(None, always_update=True)

    def __init__(self, pair: Pair, pacer: Pacer | None = None) -> None:
        super().__init__(pair, pacer)
        self._pair = pair

    def compose(self) -> ComposeResult:
        one, other = self._pair.titles
        yield Head(f"{one} beside {other}").data_bind(CompareScreen.snapshot, CompareScreen.pace)
        with Horizontal(id="gates"):
            with Vertical():
                yield Static("", id="one", classes="condition", markup=False)
                yield Yard().data_bind(CompareScreen.snapshot)
            with Vertical():
                yield Static("", id="other", classes="condition", markup=False)
                yield Yard().data_bind(snapshot=CompareScreen.other)
        yield Differences()
        yield SmallWindow()
        yield FooterLine(Place.COMPARING)

    def on_mount(self) -> None:
        self.query_one(Differences).focus()

    def show(self) -> None:
        super().show()
        self.other = other = self._pair.other.snapshot()
        shots = (self.shot(), other)
        for place, title, shot in zip(("#one", "#other"), self._pair.titles, shots, strict=True):
            self.query_one(place, Static).update(f"{title}: {_stands(shot)}")
        self.query_one(Differences).tell(self._pair.differences)

    def action_onward(self) -> None:
        """On to the next thing at either gate."""
        if self.runner.waits_for_hands() and Runner(self._pair.other).waits_for_hands():
            self.say(NOTHING_COMES)
            return
        self.attempt(self._onward)

    def _onward(self) -> None:
        told = len(self._pair.bench.records) + len(self._pair.other.records)
        end = self._pair.tick + ONWARD_MS
        while self._pair.tick < end:
            self._pass_on(self.runner.run(LOOK_MS))
            if len(self._pair.bench.records) + len(self._pair.other.records) > told:
                break
        self.show()

    def action_manual(self) -> None:
        from simgate.tui.screens.help import Help

        self.app.push_screen(Help(Place.COMPARING))

    def action_leave(self) -> None:
        """Nothing is lost that was kept."""
        self.dismiss(Parting.LEFT)


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."


def _stands(shot: Snapshot) -> str:
    """'open, pause 7 s'; at 80 columns each gate has 38 for its title and this."""
    pause = f", pause {-(-shot.pause_left // 1000)} s" if shot.pause_left else ""
    return f"{WHILE[shot.condition]}{pause}"
