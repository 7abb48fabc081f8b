"""The Job sheet: what is asked, how much time there is, which hints were taken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from textual.app import ComposeResult

from simgate.bench.actions import TakeHint
from simgate.bench.record import ScanRecord
from simgate.tui.captions import clock
from simgate.tui.keys import NO_OTHER, Keymap, keymap_of
from simgate.tui.panes.hanging import Hanging, Line
from simgate.tui.panes.pane import ScrollPane

ROUND = "u begins a round: what will it do?"


@dataclass(frozen=True, slots=True)
class Sheet:
    """A job as it is handed to a person. minutes: time allowance, 0 for none.

    rehearsal: a mode is rehearsed, so a round can be asked. exam: nobody is asked what to look at next.
    """

    title: str
    briefing: str
    goals: tuple[str, ...]
    minutes: float
    hints: tuple[str, ...] = ()
    caution: str = ""
    rehearsal: bool = False
    exam: bool = False


class JobSheet(ScrollPane):
    """Goals first, because they are looked at most; the whole briefing is on its own key."""

    BORDER_TITLE = " Job sheet "

    def __init__(self, sheet: Sheet, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._sheet = sheet
        self._advice: list[Line] = []
        self.taken = 0

    def compose(self) -> ComposeResult:
        yield Hanging(goal_lines(self._sheet, 0, keymap_of(self.app)))

    def tell(self, lines: Sequence[Line]) -> None:
        """Show how a round goes; nothing brings the sheet back."""
        self.border_title = " Round " if lines else self.BORDER_TITLE
        self.query_one(Hanging).show(lines or goal_lines(self._sheet, self.taken))

    def add(self, records: Iterable[ScanRecord]) -> None:
        """Show the hints that were taken in `records`."""
        taken = sum(isinstance(action, TakeHint) for record in records for action in record.actions)
        if taken:
            self.taken += taken
            self._told()

    def advised(self, look: str) -> None:
        """Keep what a good hand would look at, as hints are kept."""
        self._advice.append(Line(look, "Next: "))
        self._told()

    def _told(self) -> None:
        lines = goal_lines(self._sheet, self.taken, keymap_of(self.app))
        self.query_one(Hanging).show([*lines, *self._advice])
        self.scroll_end(animate=False)


def goal_lines(sheet: Sheet, hints: int, keymap: Keymap = NO_OTHER) -> list[Line]:
    """Goals, time and hints as the pane shows them."""
    lines = [Line(goal, "□ ") for goal in sheet.goals] or [
        Line(f"Nothing is asked. Try what you like; {keymap.cap('card')} shows the mode card.")
    ]
    if sheet.rehearsal:
        lines.append(Line(ROUND, style="$text-muted"))
    if sheet.minutes:
        lines.append(Line(f"{sheet.minutes:g} minutes allowed.", style="$text-muted"))
    return lines + hint_lines(sheet.hints, hints)


def briefing_lines(sheet: Sheet, hints: int, keymap: Keymap = NO_OTHER) -> list[Line]:
    """The whole sheet, for its own screen. The caution stands where it is read before work begins."""
    lines = [Line(" ".join(sheet.briefing.split())), Line()]
    if sheet.caution:
        lines += [Line(f"Caution: {sheet.caution}", style="bold $warning"), Line()]
    if sheet.goals:
        lines += [Line("Goals", style="bold"), *(Line(goal, "□ ") for goal in sheet.goals), Line()]
    if sheet.minutes:
        lines += [Line(f"Time: {sheet.minutes:g} minutes.")]
    if sheet.goals:
        lines += [Line(f"{keymap.cap('hand-over')} hands over; the goals are judged then, and not before.")]
    if sheet.hints:
        lines += [Line(f"{keymap.cap('hint')} asks for one of {len(sheet.hints)} hints; each costs marks.")]
    return lines + hint_lines(sheet.hints, hints)


def gone_on_lines(sheet: Sheet, tick: int, keymap: Keymap = NO_OTHER) -> list[Line]:
    """What is read by somebody who comes back to a run: where it stands, and the briefing once more."""
    back = (
        f"You go on with a run left at {clock(tick)} of its own time. Everything is as your hands left it; "
    )
    return [
        Line(back + "the Ticker holds what happened. As at a gate, nothing can be undone."),
        Line(),
        *briefing_lines(sheet, 0, keymap),
    ]


def hint_lines(hints: Sequence[str], taken: int) -> list[Line]:
    """The hints taken, each with its number."""
    return [
        Line(f"Hint {number}: {' '.join(hint.split())}", "» ") for number, hint in enumerate(hints[:taken], 1)
    ]
