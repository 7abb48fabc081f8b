"""Picking work and its points: a list that typing narrows, one question after the other.

The clock goes on meanwhile: at a gate, too, a leaf keeps moving while somebody looks for a terminal.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from simgate.bench.actions import Action
from simgate.bench.record import Snapshot
from simgate.board.signals import Acted
from simgate.tui.commands import Place, bindings
from simgate.tui.keys import hints, keymap_of
from simgate.tui.messages import Act
from simgate.tui.screens.modal import Over
from simgate.tui.tools import TITLES, Choice, Tool, Work, works

WITHIN = re.compile(r"(?<=\w)[-.](?=\w)")  # between the parts of one name


class ChoiceList(Vertical):
    """An input that narrows a list of choices. Arrows move in the list while typing.

    taken: told what was taken. A key that moves or takes waits its turn behind the letters typed before it,
    and acts on the list as they narrow it: fast fingers must not take what a slow screen still shows.
    """

    DEFAULT_CSS = """
    ChoiceList { height: auto; }
    ChoiceList > Input { margin: 0 0 1 0; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(Place.LIST)]

    def __init__(self, taken: Callable[[str], object]) -> None:
        super().__init__()
        self._taken = taken
        self._choices: Sequence[Choice] = ()
        self._by = ""  # what the list is narrowed by now

    def compose(self) -> ComposeResult:
        up, down, take = (keymap_of(self.app).cap(id) for id in ("list-up", "list-down", "list-take"))
        words = f"type to narrow, {up} and {down} to choose, {take} to take"
        yield Input(placeholder=words, compact=True)
        yield OptionList(compact=True)

    def ask(self, choices: Sequence[Choice]) -> None:
        """Show `choices`, with the bar on the first."""
        self._choices = choices
        entry = self.query_one(Input)
        entry.clear()
        self._narrow("")
        entry.focus()

    @on(Input.Changed)
    def _typed(self) -> None:
        self._catch_up()

    def _catch_up(self) -> None:
        """Narrow the list by what is typed, if it is not yet."""
        typed = self.query_one(Input).value
        if typed != self._by:
            self._narrow(typed)

    def _narrow(self, typed: str) -> None:
        self._by = typed
        parts = _folded(typed).split()
        options = self.query_one(OptionList)
        options.set_options(
            Option(_label(label), id=value) for value, label in narrowed(self._choices, typed)
        )
        options.highlighted = 0 if options.option_count else None
        if parts and not options.option_count:
            none = Content.styled("Nothing here reads like that.", "$text-muted")
            options.add_option(Option(none, disabled=True))

    def action_move(self, by: int) -> None:
        """Up or down the list."""
        self.query_one(Input).call_later(self._move, by)

    def _move(self, by: int) -> None:
        self._catch_up()
        options = self.query_one(OptionList)
        if by > 0:
            options.action_cursor_down()
        else:
            options.action_cursor_up()

    def action_take(self) -> None:
        """Take what the bar is on."""
        self.query_one(Input).call_later(self._take)

    def _take(self) -> None:
        self._catch_up()
        option = self.query_one(OptionList).highlighted_option
        if option is not None and not option.disabled:
            self._tell(option)

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._tell(event.option)

    def _tell(self, option: Option) -> None:
        """Tell what was taken, unless the screen round it has gone: a second enter is a moment too late."""
        if self.screen.is_current:
            self._taken(option.id or "")


def narrowed(choices: Sequence[Choice], typed: str) -> list[Choice]:
    """The choices that have every part of what was typed, nearest first.

    Nearest is what has it as whole words and in one piece: for 'key 2' the second key of remote 210530 stands
    before the first, though a 2 is in both.
    """
    parts = _folded(typed).split()
    found = [choice for choice in choices if all(part in _folded(choice[1]) for part in parts)]
    return sorted(found, key=lambda choice: _distance(choice[1], parts))


def _distance(label: str, parts: Sequence[str]) -> tuple[int, bool]:
    """How many parts are no whole words, and whether they stand apart. Ties stay in their order."""
    words = "".join(sign if sign.isalnum() else " " for sign in _folded(label)).split()
    return sum(part not in words for part in parts), " ".join(parts) not in _folded(label)


def _folded(text: str) -> str:
    """In small letters, 'stop-feed' and 'board.COM' as two words each; the minus of AUX- stays."""
    return WITHIN.sub(" ", text.lower())


def _label(words: str) -> Content:
    """A choice as it reads; of one in two lines, the first is its name."""
    name, _, about = words.partition("\n")
    return Content.assemble((name, "bold"), f"\n{about}") if about else Content(words)


class Picker(Over[Act]):
    """From a tool to an action. Gives `Act`, or None when nothing was chosen.

    act: does the work of many small steps, which is chosen again and again with an eye on what comes of it;
    the card stays for that, so no key falls through to what lies under it.
    """

    clock_stands = False

    def __init__(self, tool: Tool, shot: Snapshot, act: Callable[[Action, bool], None]) -> None:
        super().__init__()
        self._tool, self._shot, self._act = tool, shot, act
        self._offers = works(tool, shot)
        self._work: Work | None = None
        self._answers: list[str] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="card") as card:
            card.border_title = TITLES[self._tool]
            card.border_subtitle = hints(self.app, ("close", "back"))
            yield ChoiceList(self._chosen)

    def on_mount(self) -> None:
        self._ask()

    def follow(self, shot: Snapshot, acted: Acted | None) -> None:
        """What is pointed at, and what is watched meanwhile, as it stands now."""
        self._shot = shot
        self._watch()

    def _watch(self) -> None:
        """What comes of it, under the list."""
        asked = self._work is not None and len(self._answers) == len(self._work.questions) - 1
        seen = self._work.watch(self._shot, tuple(self._answers)) if self._work and asked else ""
        back = hints(self.app, ("close", "back"))
        words = f"{seen} · {back}" if seen else back
        card = self.query_one(".card")
        if card.border_subtitle != words:
            card.border_subtitle = words

    def _ask(self) -> None:
        """The next question, or the end."""
        card = self.query_one(".card")
        choices = self.query_one(ChoiceList)
        if self._work is None:
            card.border_title = TITLES[self._tool]
            choices.ask([(str(number), work.title) for number, work in enumerate(self._offers)])
        elif len(self._answers) < len(self._work.questions):
            question = self._work.questions[len(self._answers)]
            card.border_title = f"{self._work.title} · {question.prompt}"
            choices.ask(question.choices(self._shot, tuple(self._answers)))
        else:
            self._done(self._work)
        self._watch()

    def _done(self, work: Work) -> None:
        """Everything is answered. Work of small steps keeps its last question, and the bar where it is."""
        action = work.make(self._shot, tuple(self._answers))
        if work.again:
            self._answers.pop()
            self._act(action, work.touch)
        else:
            self.dismiss(Act(action, touch=work.touch))

    def _chosen(self, answer: str) -> None:
        if self._work is None:
            self._work = self._offers[int(answer)]
        else:
            self._answers.append(answer)
        self._ask()

    def action_close(self) -> None:
        """One question back; from the first one, away."""
        if self._answers:
            self._answers.pop()
            self._ask()
        elif self._work is not None:
            self._work = None
            self._ask()
        else:
            self.dismiss(None)
