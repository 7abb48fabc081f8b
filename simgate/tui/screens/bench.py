"""The Bench: Yard, Cabinet, Toolbag, Job sheet and Ticker round one running gate.

Data goes down (one snapshot, bound to every pane), messages come up (`Act`); this screen alone calls the
bench, through its runner. The pacer says how much simulated time each frame is worth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.reactive import var
from textual.screen import Screen

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import ScanRecord, Snapshot
from simgate.board.signals import Acted
from simgate.board.stimuli import Key
from simgate.files import UserError
from simgate.tui.captions import refusal
from simgate.tui.commands import COMMANDS, Place, bindings
from simgate.tui.messages import Act, Ask
from simgate.tui.pacer import Pacer
from simgate.tui.panes.cabinet import Cabinet
from simgate.tui.panes.card import Card, telling
from simgate.tui.panes.footer import FooterLine
from simgate.tui.panes.head import CautionBar, Head
from simgate.tui.panes.job_sheet import JobSheet, Sheet, briefing_text
from simgate.tui.panes.ticker import Ticker
from simgate.tui.panes.toolbag import Toolbag
from simgate.tui.panes.yard import Yard
from simgate.tui.runner import BenchLike, Runner
from simgate.tui.screens.card import CardOver
from simgate.tui.screens.drawer import Drawer
from simgate.tui.screens.help import Help
from simgate.tui.screens.modal import Over
from simgate.tui.screens.picker import Picker
from simgate.tui.screens.reading import Question, Reading
from simgate.tui.tools import Tool, device_for

FRAME = 1 / 30  # s; more would cost and could not be seen

HAND_OVER = "Is the work done? Handing over ends the run and goes to the debrief."
LEAVE = "Leave the Bench without handing over? The run ends without marks."
CLOCK_MS = 100  # the finest that the clock shows
SETTLE_MS = 200  # the gate has stood here before the person came: lamps and display are as they are


class BenchScreen(Screen[bool]):
    """One run. Gives True when the work was handed over, False when the Bench was left before.

    sheet: what is asked. pacer: the clock; tests hand in one that stands still.
    """

    CSS_PATH = "bench.tcss"
    place = Place.BENCH
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.BENCH)]
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (118, "-wide")]  # noqa: RUF012  (Textual's own form)
    VERTICAL_BREAKPOINTS = [(0, "-short"), (38, "-tall")]  # noqa: RUF012

    snapshot: var[Snapshot | None] = var(None, always_update=True)
    acted: var[Acted | None] = var(None)
    pace: var[str] = var("")

    def __init__(self, bench: BenchLike, sheet: Sheet, pacer: Pacer | None = None) -> None:
        super().__init__()
        self.runner = Runner(bench)
        self.pacer = pacer or Pacer()
        self._sheet = sheet

    def compose(self) -> ComposeResult:
        yield Head(self._sheet.title).data_bind(BenchScreen.snapshot, BenchScreen.pace)
        with Container(id="desk"):
            yield Yard().data_bind(BenchScreen.snapshot)
            yield Card(id="side-card").data_bind(BenchScreen.snapshot, BenchScreen.acted)
            yield Cabinet().data_bind(BenchScreen.snapshot)
            yield Toolbag().data_bind(BenchScreen.snapshot)
            yield JobSheet(self._sheet)
            yield Ticker()
        yield FooterLine(Place.BENCH)
        yield CautionBar().data_bind(BenchScreen.snapshot)

    def on_mount(self) -> None:
        self.query_one(Cabinet).focus()
        self.call_after_refresh(self.advance, SETTLE_MS)
        self.set_interval(FRAME, self._frame)
        if self._sheet.briefing:
            self.action_sheet()

    # Time ---------------------------------------------------------------------------------------

    def _frame(self) -> None:
        """Run what the wall clock asks for, unless something to read lies over the Bench."""
        due = self.pacer.due()
        top = self.app.screen
        if due and not (isinstance(top, Over) and top.clock_stands):
            self.advance(due)

    def advance(self, ms: int) -> None:
        """Run `ms` of simulated time and show it."""
        self._attempt(lambda: self._take(self.runner.run(ms)))

    def _take(self, records: Iterable[ScanRecord]) -> None:
        """Pass on what happened. A gate at rest is shown ten times a second, for its clock."""
        records = list(records)
        shown = self.snapshot
        if not records and shown is not None and not any(leaf.speed for leaf in shown.leaves):
            if self.runner.bench.tick // CLOCK_MS != shown.tick // CLOCK_MS:
                self._show()
            return
        if records:
            self.query_one(Ticker).add(records)
            self.query_one(JobSheet).add(records)
            for acted in (acted for record in records for acted in record.acted if telling(acted)):
                self.acted = acted
        self._show()

    def _show(self) -> None:
        """Hand the bench as it stands down to the panes."""
        shot = self.runner.bench.snapshot()
        self.snapshot = shot
        self.pace = self.pacer.caption
        if isinstance(self.app.screen, CardOver):
            self.app.screen.follow(shot, self.acted)
        if shot.finished and self.app.screen is self:
            self.dismiss(True)

    # Work ---------------------------------------------------------------------------------------

    def _attempt(self, work: Callable[[], object]) -> bool:
        """Do it, or say in words why hands could not."""
        try:
            work()
        except UserError as error:
            self.notify(refusal(error), severity="warning", timeout=6)
            return False
        return True

    def act(self, action: Action, touch: bool = False) -> None:
        """Hands do `action`, and the panes show it at once."""
        press = isinstance(action, do.PressKey | do.Operate)
        work = self.runner.touch if touch and press else self.runner.act
        if self._attempt(lambda: work(action)):  # type: ignore[arg-type]  # touch only takes presses, asked above
            self._show()

    @on(Act)
    def _acted(self, message: Act) -> None:
        self.act(message.action, message.touch)

    @on(Ask)
    async def _asked(self, message: Ask) -> None:
        command = next(command for command in COMMANDS if command.id == message.command)
        await self.run_action(command.action)

    def _over(self, screen: Over[Act]) -> None:
        self.app.push_screen(screen, lambda done: self.act(done.action, done.touch) if done else None)

    def _shot(self) -> Snapshot:
        return self.runner.bench.snapshot()

    # Commands, one method per action of the table -------------------------------------------------

    def action_key(self, name: str) -> None:
        self.act(do.PressKey(Key(name), True), touch=True)

    def action_hold_key(self, name: str) -> None:
        self.act(do.PressKey(Key(name), name not in self._shot().keys_down))

    def action_button(self, word: str) -> None:
        if device := self._device(word):
            self.act(do.Operate(device, True), touch=True)

    def action_hold_button(self, word: str) -> None:
        if device := self._device(word):
            down = next(item.down for item in self._shot().devices if item.name == device)
            self.act(do.Operate(device, not down))

    def _device(self, word: str) -> str | None:
        device = device_for(self._shot(), word)
        if device is None:
            self.notify(f"There is no {word} button at this site.", severity="warning")
        return device

    def action_tool(self, name: str) -> None:
        self._over(Picker(Tool(name), self._shot()))

    def action_put_away(self) -> None:
        self.act(do.PutAway())

    def action_beam(self) -> None:
        beams = self._shot().beams
        if beams:
            self.act(do.Block(beams[0].name, not beams[0].blocked))
        else:
            self.notify("There is no beam at this site.", severity="warning")

    def action_step(self) -> None:
        self.act(do.Step(not self._shot().inside))

    def action_mains(self) -> None:
        self.act(do.Mains(not self._shot().mains))

    def action_pause(self) -> None:
        self.pacer.paused = not self.pacer.paused
        self._show()

    def action_speed(self, by: int) -> None:
        self.pacer.change(by)
        self._show()

    def action_onward(self) -> None:
        self._attempt(lambda: self._take(self.runner.run_to_next()))

    def action_sheet(self) -> None:
        text = briefing_text(self._sheet, self.query_one(JobSheet).taken)
        self.app.push_screen(Reading(self._sheet.title, text, self._sheet.caution))

    def action_hint(self) -> None:
        self.act(do.TakeHint())

    def action_card(self) -> None:
        if (card := self.query_one("#side-card", Card)).display:
            card.turn()
        else:
            self.app.push_screen(CardOver(self._shot(), self.acted))

    def action_drawer(self) -> None:
        bench = self.runner.bench
        self._over(Drawer(bench.fault_choices(), bench.faults()))

    def action_manual(self) -> None:
        self.app.push_screen(Help(Place.BENCH))

    def action_hand_over(self) -> None:
        self._ask("Hand over", HAND_OVER, lambda: self.act(do.HandOver()))

    def action_leave(self) -> None:
        self._ask("Leave", LEAVE, lambda: self.dismiss(False))

    def _ask(self, title: str, text: str, then: Callable[[], object]) -> None:
        def answered(yes: bool | None) -> None:
            if yes:
                then()

        self.app.push_screen(Question(title, text), answered)
