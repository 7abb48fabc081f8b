"""The Job sheet: what is asked, how much time there is, which hints were taken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from simgate.bench.actions import TakeHint
from simgate.bench.record import ScanRecord
from simgate.tui.panes.pane import ScrollPane


@dataclass(frozen=True, slots=True)
class Sheet:
    """A job as it is handed to a person. minutes: time allowance, 0 for none."""

    title: str
    briefing: str
    goals: tuple[str, ...]
    minutes: float
    hints: tuple[str, ...] = ()
    caution: str = ""


class JobSheet(ScrollPane):
    """Goals first, because they are looked at most; the whole briefing is on its own key."""

    DEFAULT_CSS = """
    JobSheet > #sheet { height: auto; }
    """
    BORDER_TITLE = " Job sheet "

    def __init__(self, sheet: Sheet, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._sheet = sheet
        self.taken = 0

    def compose(self) -> ComposeResult:
        yield Static(goals_text(self._sheet, 0), id="sheet")

    def add(self, records: Iterable[ScanRecord]) -> None:
        """Show the hints that were taken in `records`."""
        taken = sum(isinstance(action, TakeHint) for record in records for action in record.actions)
        if taken:
            self.taken += taken
            self.query_one("#sheet", Static).update(goals_text(self._sheet, self.taken))
            self.scroll_end(animate=False)


def goals_text(sheet: Sheet, hints: int) -> Content:
    """Goals, time and hints as the pane shows them."""
    parts: list[tuple[str, str] | str] = []
    for goal in sheet.goals:
        parts.append(f"□ {goal}\n")
    if sheet.minutes:
        parts.append((f"{sheet.minutes:g} minutes allowed.\n", "dim"))
    parts += hint_lines(sheet.hints, hints)
    return Content.assemble(*parts) if parts else Content("Nothing is asked. Try what you like.")


def briefing_text(sheet: Sheet, hints: int) -> Content:
    """The whole sheet, for its own screen."""
    parts: list[tuple[str, str] | str] = [" ".join(sheet.briefing.split()), "\n\n"]
    if sheet.goals:
        parts.append(("Goals\n", "bold"))
    parts += [f"□ {goal}\n" for goal in sheet.goals]
    if sheet.minutes:
        parts.append(f"\nTime: {sheet.minutes:g} minutes.\n")
    parts += hint_lines(sheet.hints, hints)
    return Content.assemble(*parts)


def hint_lines(hints: Sequence[str], taken: int) -> list[tuple[str, str] | str]:
    """The hints taken, each with its number."""
    return [f"Hint {number}: {hint}\n" for number, hint in enumerate(hints[:taken], 1)]
