"""A screen round one running bench: the only place where a screen calls it, in the order of the tape.

Apart from the Bench's own screen, which puts panes and commands round this: whatever else is once shown
beside a running gate must run it in the same way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from textual import on
from textual.reactive import var
from textual.screen import Screen

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import ScanRecord, Snapshot
from simgate.bench.tape import TapeError
from simgate.board.signals import Acted
from simgate.files import UserError
from simgate.tui.captions import refusal
from simgate.tui.messages import Act, Parting
from simgate.tui.pacer import Pacer
from simgate.tui.panes.card import telling
from simgate.tui.runner import BenchLike, Runner
from simgate.tui.screens.modal import Over
from simgate.tui.screens.reading import Question
from simgate.tui.strip import Recorder

FRAME = 1 / 30  # s; more would cost and could not be seen
FEW = 1 / 5  # s, for whom motion is too much
CLOCK_MS = 100  # the finest that the clock shows
SETTLE_MS = 200  # the gate has stood here before the person came: lamps and display are as they are


STUCK = (
    "The tape cannot be written: {why}. Time stands still, and what was last asked for is not done. "
    "Everything before it is on the tape, and nothing of it is lost. Make room and try again, or leave the "
    "Bench: the Workshop offers to go on from here."
)
END_LOST = (
    "The end of the run could not be written to its tape: {why}. The Workshop offers the run once more, to "
    "write it."
)


@dataclass(frozen=True, slots=True)
class Earlier:
    """What was done before a run was left that is now gone on with.

    records: of the bench so far. actions: (tick, action) from its tape. in_order: hands had let go of all.
    """

    records: Sequence[ScanRecord]
    actions: Sequence[tuple[int, Action]]
    in_order: bool


def stirs(shot: Snapshot) -> bool:
    """Whether something in the picture moves, so that every frame is worth painting."""
    return any(leaf.speed for leaf in shot.leaves) or any(not one.waiting for one in shot.passing)


class Running(Screen[Parting]):
    """One run. Gives how the person went away from it. earlier: when it is one gone on with.

    snapshot goes down to the panes; acted is the last cell worth lighting; pace is the pacer's caption.
    """

    snapshot: var[Snapshot | None] = var(None, always_update=True)
    acted: var[Acted | None] = var(None)
    pace: var[str] = var("")

    def __init__(self, bench: BenchLike, pacer: Pacer | None = None, earlier: Earlier | None = None) -> None:
        super().__init__()
        self.runner = Runner(bench)
        self.earlier = earlier
        self.recorder = Recorder()
        self.runner.seen = self.recorder.see
        self.pacer = pacer or Pacer()

    def happened(self, records: Sequence[ScanRecord]) -> None:
        """Told of every record once, in order."""

    def on_mount(self) -> None:
        if self.earlier is None:
            self.call_after_refresh(self.advance, SETTLE_MS)
        else:
            self.runner.take_up(self.earlier.actions, self.earlier.in_order)
            self.call_after_refresh(self.take, self.earlier.records)
        self.set_interval(FEW if getattr(self.app, "reduced_motion", False) else FRAME, self._frame)
        self.pacer.due()  # what it took to get here is nobody's time

    # Time ---------------------------------------------------------------------------------------

    def _frame(self) -> None:
        """Run what the wall clock asks for, unless something to read lies over the Bench."""
        due = self.pacer.due()
        top = self.app.screen
        if due and not (isinstance(top, Over) and top.clock_stands):
            self.advance(due)

    def advance(self, ms: int) -> None:
        """Run `ms` of simulated time and show it."""
        self.attempt(lambda: self.take(self.runner.run(ms)))

    def take(self, records: Iterable[ScanRecord]) -> None:
        """Pass on what happened. A gate at rest is shown ten times a second, for its clock."""
        records = list(records)
        shown = self.snapshot
        if not records and shown is not None and not stirs(shown):
            if self.runner.bench.tick // CLOCK_MS != shown.tick // CLOCK_MS:
                self.show()
            return
        self._pass_on(records)
        self.show()

    def _pass_on(self, records: Sequence[ScanRecord]) -> None:
        if records:
            self.happened(records)
        for acted in (acted for record in records for acted in record.acted if telling(acted)):
            self.acted = acted

    def show(self) -> None:
        """Hand the bench as it stands down to the panes."""
        shot = self.runner.bench.snapshot()
        self.recorder.see(shot)
        self.snapshot = shot
        self.pace = self.pacer.caption
        if isinstance(self.app.screen, Over):
            self.app.screen.follow(shot, self.acted)
        if shot.finished and self.app.screen is self:
            self.dismiss(Parting.HANDED_OVER)

    # Work ---------------------------------------------------------------------------------------

    def attempt(self, work: Callable[[], object]) -> bool:
        """Do it, or say in words why hands could not."""
        try:
            work()
        except TapeError as error:
            self._stuck(error)
            return False
        except UserError as error:
            self.say(refusal(error))
            return False
        return True

    def _stuck(self, error: TapeError) -> None:
        """Say it once; the clock stands while the question does, and whatever was due is tried again."""
        why = "; ".join(f"{problem.found} ({problem.file})" for problem in error.problems)
        if self.runner.bench.finished:
            self.say(END_LOST.format(why=why))
            self.show()
        elif not any(isinstance(screen, TapeStuck) for screen in self.app.screen_stack):
            self.app.push_screen(TapeStuck(STUCK.format(why=why)), self._unstuck)

    def _unstuck(self, again: bool | None) -> None:
        if not again:
            self.dismiss(Parting.LEFT)

    def say(self, words: str) -> None:
        """Tell the person at the Bench; the newest word takes the place of the one before."""
        self.app.clear_notifications()
        self.notify(words, severity="warning", timeout=6, markup=False)

    def act(self, action: Action, touch: bool = False) -> None:
        """Hands do `action`, and the panes show it, with the board's answer, before the next frame."""
        self.app.clear_notifications()  # of what was done before
        press = isinstance(action, do.PressKey | do.Operate | do.RemoteKey)
        work = self.runner.touch if touch and press else self.runner.act
        if self.attempt(lambda: work(action)):  # type: ignore[arg-type]  # touch only takes presses, asked above
            self.attempt(lambda: self._pass_on(self.runner.run(self.pacer.ahead())))
            self.show()

    @on(Act)
    def _acted(self, message: Act) -> None:
        self.act(message.action, message.touch)

    def over(self, screen: Over[Act]) -> None:
        self.app.push_screen(screen, lambda done: self.act(done.action, done.touch) if done else None)

    def shot(self) -> Snapshot:
        return self.runner.bench.snapshot()


class TapeStuck(Question):
    """The disk is full, or was taken away."""

    yes, no = "try again", "leave the Bench"

    def __init__(self, text: str) -> None:
        super().__init__("The tape", text)
