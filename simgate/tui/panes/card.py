"""The mode card: every cell of the mode's table, the row that applies now, the cell that acted last.

The card is made from the table that the board itself runs; a card drawn by hand would be wrong after the
first change of a mode.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from textual.app import ComposeResult
from textual.content import Content
from textual.reactive import var
from textual.widgets import Static

from simgate.bench.record import Snapshot
from simgate.bench.table import cells_of
from simgate.board import mode_card
from simgate.board.mode_words import spelt
from simgate.board.signals import Acted
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response, Stimulus
from simgate.practice.moves import Cell
from simgate.practice.round import Mark
from simgate.tui.book import book_text
from simgate.tui.captions import clock, words
from simgate.tui.panes.pane import ScrollPane
from simgate.tui.strips import strips_text

Marks = Mapping[Cell, Mark]
SIGNS: Mapping[Mark | None, str] = {Mark.KNOWN: "✓", Mark.MISSED: "✗"}


@dataclass(frozen=True, slots=True)
class CardTable:
    """A mode's whole table with its title, ready to be shown."""

    title: str
    cells: Mapping[Condition, Mapping[Stimulus, Response]]


def card_table(shot: Snapshot) -> CardTable:
    """The table by which the gate of `shot` works now."""
    return CardTable(shot.table.title, cells_of(shot))


class Side(Enum):
    """What the card shows."""

    CARD = "mode card"
    BOOK = "set-up book"
    STRIPS = "terminal strips"


class Card(ScrollPane):
    """Two blocks, the mode's own stimuli and those common to all modes, and the last cell in words.

    Turned over, it is the set-up book as it stands; once more, the terminal strips with what is on them.
    """

    DEFAULT_CSS = """
    Card > #card { height: auto; }
    """
    BORDER_TITLE = " Mode card "

    acted: var[Acted | None] = var(None)
    marks: var[Marks | None] = var(None)

    def __init__(self, *, id: str | None = None, book: bool = False) -> None:
        super().__init__(id=id)
        self._shown: tuple[object, ...] = ()
        self._side = Side.BOOK if book else Side.CARD
        self._sides = (Side.BOOK, Side.STRIPS) if book else tuple(Side)
        self._opened = False  # whether the book was open at the Cabinet when last looked at

    def compose(self) -> ComposeResult:
        yield Static("", id="card")

    def turn(self, side: Side | None = None) -> None:
        """Card, book, strips and round again, or to the one that is asked for."""
        turned = self._sides[(self._sides.index(self._side) + 1) % len(self._sides)]
        self._side = turned if side is None else side
        self.scroll_home(animate=False)
        self.snapshot = self.snapshot

    def watch_acted(self) -> None:
        """A cell acted."""
        self.watch_snapshot(self.snapshot)

    def watch_marks(self) -> None:
        """A round goes on: what is not known yet is not shown."""
        self.watch_snapshot(self.snapshot)

    def watch_snapshot(self, shot: Snapshot | None) -> None:
        """Light the row and the cell when either changes."""
        if shot is None or not self.is_mounted or not self.display:
            return
        self._follow_book(shot)
        shown = (
            self._side,
            shot.condition,
            self.acted,
            self.marks,
            tuple(shot.settings.items()),
            shot.learned,
            shot.stale,
            shot.page,
            (shot.wires, shot.links, [item.made for item in shot.inputs])
            if self._side is Side.STRIPS
            else (),
        )
        if shown == self._shown:
            return
        self._shown = shown
        text = self.query_one("#card", Static)
        if self._side is Side.STRIPS:
            self._entitle("Terminal strips")
            text.update(strips_text(shot))
        elif self._side is Side.BOOK:
            self._entitle("Set-up book")
            text.update(book_text(shot))
        else:
            table = card_table(shot)
            self._entitle(f"Mode card · {table.title}")
            text.update(card_text(table, shot.condition, self.acted, self.marks))
            if self.acted is not None and self.acted.common:  # its block is the lower one
                self.scroll_end(animate=False)

    def _follow_book(self, shot: Snapshot) -> None:
        """Turn to the book when it is opened at the Cabinet, and back when it is shut again.

        Not where both sides stand on the screen at all times.
        """
        if not self.screen.has_class("-deep") and bool(shot.page) is not self._opened:
            self._opened = bool(shot.page)
            self._side = Side.BOOK if self._opened else Side.CARD

    def _entitle(self, title: str) -> None:
        """A rule needs space round its title, a frame brings it."""
        self.border_title = title if self.has_class("card") else f" {title} "


def telling(acted: Acted) -> bool:
    """Whether a cell is worth lighting: an ignored letting go would hide what the press had done."""
    let_go = acted.stimulus in (Stimulus.CALL_RELEASED, Stimulus.PART_RELEASED)
    return not (let_go and acted.response is Response.IGNORE)


def card_text(table: CardTable, now: Condition, last: Acted | None, marks: Marks | None = None) -> Content:
    """The card as text: '▶' marks the row, square brackets the cell that acted last.

    marks: of a round; '✓' is before a cell that is known, '✗' before one that was missed, and '?' stands for
    one that was not asked yet.
    """
    parts: list[tuple[str, str] | str] = []
    for stimuli in (MODE_STIMULI, COMMON_STIMULI):
        for level in (0, 1):
            heads = mode_card.heads(stimuli, level)
            parts.append((f"{'':{mode_card.LABEL}}{heads}\n", "bold" if level == 0 else "$text-muted"))
        for condition in Condition:
            parts += _row(table, condition, stimuli, now, last, marks)
    if marks is None or last is not None:
        parts.append(_last_words(last))
    return Content.assemble(*parts)


def _row(
    table: CardTable,
    condition: Condition,
    stimuli: tuple[Stimulus, ...],
    now: Condition,
    last: Acted | None,
    marks: Marks | None,
) -> list[tuple[str, str] | str]:
    here = condition is now
    row_style = "bold $accent" if here else ""
    parts: list[tuple[str, str] | str] = [
        (
            f"{'▶' if here else ' '}{mode_card.label(condition):<{mode_card.LABEL - 1}}",
            row_style,
        )
    ]
    for stimulus in stimuli:
        word = mode_card.SHORT[table.cells[condition][stimulus]]
        lit = last is not None and (last.condition, last.stimulus) == (condition, stimulus)
        mark = marks[Cell(condition, stimulus)] if marks else None
        word = "?" if mark is Mark.UNKNOWN and not lit else word
        text = f"[{word}]" if lit else f"{SIGNS.get(mark, '')}{word}"
        style = "bold reverse" if lit else row_style or ("$text-muted" if text == "·" else "")
        parts.append((f"{text:^{mode_card.width(stimulus)}}", style))
    parts.append("\n")
    return parts


def _last_words(last: Acted | None) -> tuple[str, str]:
    if last is None:
        return ("No cell has acted yet.", "$text-muted")
    why = f" Not done: {last.refused}." if last.refused else ""
    cell = f"{words(last.condition.value)}, {spelt(last.stimulus)}: {last.response.value}."
    return (f"{clock(last.tick)} {cell}{why}", "")
