"""The Bench: Yard, Cabinet, Toolbag, Job sheet and Ticker round one running gate.

Data goes down (one snapshot, bound to every pane), messages come up (`Act`); this screen alone calls the
bench. How a run goes on is in running.py; here are its panes and what each command does.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.events import Resize
from textual.reactive import var

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import ScanRecord
from simgate.board.stimuli import Key
from simgate.practice.outcomes import Outcomes
from simgate.tui.commands import COMMANDS, Place, bindings
from simgate.tui.good_hand import Asked, GoodHand
from simgate.tui.keys import keymap_of
from simgate.tui.messages import Ask, Parting
from simgate.tui.pacer import SCAN_MS, Pacer
from simgate.tui.panes.cabinet import Cabinet
from simgate.tui.panes.card import Card, Marks, Side
from simgate.tui.panes.caution import Caution
from simgate.tui.panes.footer import FooterLine, SmallWindow
from simgate.tui.panes.head import Head
from simgate.tui.panes.job_sheet import JobSheet, Sheet, briefing_lines, gone_on_lines
from simgate.tui.panes.strip import StripChart
from simgate.tui.panes.ticker import Ticker
from simgate.tui.panes.toolbag import Toolbag
from simgate.tui.panes.yard import Yard
from simgate.tui.rounds import Rounds
from simgate.tui.runner import BenchLike
from simgate.tui.screens.calling import Calling
from simgate.tui.screens.card import CardOver
from simgate.tui.screens.diagram import Wiring
from simgate.tui.screens.drawer import Drawer
from simgate.tui.screens.help import Help
from simgate.tui.screens.picker import Picker
from simgate.tui.screens.reading import Question, Reading
from simgate.tui.screens.running import Earlier
from simgate.tui.screens.strip import StripOver
from simgate.tui.tools import Tool

DRAWER = (
    "Open it? It is for the trainer and names what is wrong with this gate. From then on the run is not "
    "marked."
)
HAND_OVER = "Is the work done? Handing over ends the run and goes to the debrief."
LEAVE = (
    "Leave the Bench without handing over? The tape is kept, and the Workshop offers to go on with this run "
    "from here."
)
AGAIN = (
    "Start this job again from its beginning, on a tape of its own? Nothing can be undone at a gate. The run "
    "so far is kept, and the Workshop offers to go on with it."
)
HINT = "Take the next hint? It costs marks, and cannot be given back."
HOLD = "{title} wants to be held down here: {key} does that, and lets it go again."
HELD = ("hold", "shut", "open")  # what stands under a key that does its work for as long as it is down
DEEP = (160, 58)  # columns and rows from which on strip chart and book stand under Yard and mode card


class BenchScreen(Calling):
    """One run. Gives how the person went away from it.

    sheet: what is asked. pacer: the clock; tests hand in one that stands still. earlier: what was done in
    a run that is gone on with. outcomes: where what a round shows is kept. ask: what a good hand would look
    at next, where a fault is hidden.
    """

    marks: var[Marks | None] = var(None)

    CSS_PATH = "bench.tcss"
    place = Place.BENCH
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.BENCH)]
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (80, "-narrow"), (118, "-wide"), (160, "-broad")]  # noqa: RUF012  (Textual's own form)
    VERTICAL_BREAKPOINTS = [(0, "-low"), (24, "-short"), (38, "-tall")]  # noqa: RUF012

    def __init__(
        self, bench: BenchLike, sheet: Sheet, pacer: Pacer | None = None, earlier: Earlier | None = None,
        outcomes: Outcomes | None = None, ask: Asked | None = None,
    ) -> None:  # fmt: skip
        super().__init__(bench, pacer, earlier)
        self._sheet = sheet
        self._stood: str | None = None  # where the wiring diagram was left
        self.rounds = Rounds(self, outcomes)
        self.good_hand = GoodHand(self, ask, sheet.exam)

    def compose(self) -> ComposeResult:
        yield Head(self._sheet.title).data_bind(BenchScreen.snapshot, BenchScreen.pace)
        with Container(id="desk"):
            yield Yard().data_bind(BenchScreen.snapshot)
            yield Card(id="side-card").data_bind(BenchScreen.snapshot, BenchScreen.acted, BenchScreen.marks)
            yield StripChart(self.recorder, id="side-strip").data_bind(BenchScreen.snapshot)
            yield Card(id="side-book", book=True).data_bind(BenchScreen.snapshot)
            yield Cabinet().data_bind(BenchScreen.snapshot)
            yield Toolbag().data_bind(BenchScreen.snapshot)
            yield JobSheet(self._sheet)
            yield Caution().data_bind(BenchScreen.snapshot)
            yield Ticker()
        yield SmallWindow()
        yield FooterLine(Place.BENCH)

    def on_mount(self) -> None:
        self.query_one(Cabinet).focus()
        if self.earlier is not None:
            lines = gone_on_lines(self._sheet, self.shot().tick, keymap_of(self.app))
            self.app.push_screen(Reading(self._sheet.title, lines))
        elif self._sheet.briefing:
            self.action_sheet()

    def happened(self, records: Sequence[ScanRecord]) -> None:
        self.query_one(Ticker).add(records)
        self.query_one(JobSheet).add(records)
        self.rounds.see(records)
        self.good_hand.see(records)

    def show(self) -> None:
        super().show()
        self.rounds.go_on()

    def act(self, action: Action, touch: bool = False) -> None:
        """In a round, what it will do is asked first."""
        if not self.rounds.asks(action, touch):
            super().act(action, touch)

    @on(Ask)
    async def _asked(self, message: Ask) -> None:
        command = next(command for command in COMMANDS if command.id == message.command)
        await self.run_action(command.action)

    # Commands, one method per action of the table -------------------------------------------------

    def action_key(self, name: str) -> None:
        does = dict(zip(Key, self.shot().key_words, strict=False)).get(Key(name))
        self.act(do.PressKey(Key(name), True), touch=True)
        if does in HELD:
            key = keymap_of(self.app).cap(f"hold-{name}")
            self.say(HOLD.format(title=name.capitalize(), key=key))

    def action_hold_key(self, name: str) -> None:
        self.act(do.PressKey(Key(name), name not in self.shot().keys_down))

    def action_tool(self, name: str) -> None:
        self.over(Picker(Tool(name), self.shot(), self.act))

    def action_diagram(self) -> None:
        self.app.push_screen(Wiring(self.shot(), self.act, self._stood), partial(setattr, self, "_stood"))

    def action_put_away(self) -> None:
        self.act(do.PutAway())

    def action_step(self) -> None:
        self.act(do.Step(not self.shot().inside))

    def action_mains(self) -> None:
        self.act(do.Mains(not self.shot().mains))

    def action_sheet(self) -> None:
        lines = briefing_lines(self._sheet, self.query_one(JobSheet).taken, keymap_of(self.app))
        self.app.push_screen(Reading(self._sheet.title, lines))

    def action_hint(self) -> None:
        if self.query_one(JobSheet).taken < len(self._sheet.hints):
            self._ask("Hint", HINT, lambda: self.act(do.TakeHint()))
        else:
            self.say("No hint is left." if self._sheet.hints else "There are no hints here.")

    def action_ask_next(self) -> None:
        self.good_hand.asked()

    def action_card(self) -> None:
        card, book = self.query_one("#side-card", Card), self.query_one("#side-book", Card)
        if self.has_class("-deep"):
            if book.has_focus:
                book.turn()
            book.focus()
        elif card.display:
            card.turn()
        else:
            self.app.push_screen(CardOver(self.shot(), self.acted, self.marks))

    def action_round(self) -> None:
        if self._sheet.rehearsal:
            self.rounds.begin_or_end()
        else:
            self.say("A round belongs to a rehearsal: pick a mode in the Workshop.")

    def action_strip(self) -> None:
        """Beside or under the Yard where there is room, else over it."""
        if self.has_class("-deep"):
            self.query_one("#side-strip").focus()
        elif self.query_one("#side-card").display or self.has_class("-charted"):
            self.toggle_class("-charted")
            self.show()
        else:
            self.app.push_screen(StripOver(self.recorder, self.shot()))

    def on_resize(self, event: Resize) -> None:
        """Very high screens have room for the strip chart and for both sides of the card at all times."""
        deep = event.size.width >= DEEP[0] and event.size.height >= DEEP[1]
        if deep != self.has_class("-deep"):
            self.set_class(deep, "-deep")
            self.query_one("#side-card", Card).turn(Side.CARD)
            self.call_after_refresh(self.show)

    def action_drawer(self) -> None:
        if self.shot().marked:
            self._ask("Trainer's fault drawer", DRAWER, self._open_drawer)
        else:
            self._open_drawer()

    def _open_drawer(self) -> None:
        bench = self.runner.bench
        if self.shot().marked:
            self.act(do.OpenDrawer())
        self.over(Drawer(bench.fault_choices(), bench.faults()))

    def action_manual(self) -> None:
        self.app.push_screen(Help(Place.BENCH))

    def action_hand_over(self) -> None:
        self._ask("Hand over", HAND_OVER, lambda: self.act(do.HandOver()))

    def action_leave(self) -> None:
        self._ask("Leave", LEAVE, lambda: self.dismiss(Parting.LEFT))

    def action_start_again(self) -> None:
        self._ask("Start this job again", AGAIN, lambda: self.dismiss(Parting.AGAIN))

    def action_scan(self) -> None:
        self.pacer.paused = True
        self.attempt(lambda: self._pass_on(self.runner.run(SCAN_MS)))
        self.show()

    def _ask(self, title: str, text: str, then: Callable[[], object]) -> None:
        def answered(yes: bool | None) -> None:
            if yes:
                then()

        self.app.push_screen(Question(title, text), answered)
