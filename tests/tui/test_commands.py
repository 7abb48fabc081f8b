"""The command table: each key means one thing, each action exists, and the footer fits."""

from __future__ import annotations

import inspect
import re
from typing import Any

import pytest
from textual.binding import Binding
from textual.content import Content

from simgate.practice.diagnosis.costs import prices
from simgate.tui.app import SimgateApp
from simgate.tui.commands import COMMANDS, Command, Place, commands, footer
from simgate.tui.panes.cabinet import Cabinet
from simgate.tui.panes.hanging import plain
from simgate.tui.panes.ticker import Ticker
from simgate.tui.screens.asking import AskCell
from simgate.tui.screens.bench import BenchScreen
from simgate.tui.screens.card import CardOver
from simgate.tui.screens.comparing import CompareScreen
from simgate.tui.screens.debrief import DebriefScreen
from simgate.tui.screens.diagram import Wiring
from simgate.tui.screens.drawer import Drawer
from simgate.tui.screens.going_on import GoingOn
from simgate.tui.screens.help import Help, help_lines
from simgate.tui.screens.modal import Over
from simgate.tui.screens.picker import ChoiceList, Picker
from simgate.tui.screens.preferences import PreferencesScreen
from simgate.tui.screens.reading import Question, Reading
from simgate.tui.screens.strip import StripOver
from simgate.tui.screens.workshop import WorkshopScreen

OWNERS: dict[Place, Any] = {
    Place.WORKSHOP: WorkshopScreen,
    Place.BENCH: BenchScreen,
    Place.DEBRIEF: DebriefScreen,
    Place.EVERYWHERE: SimgateApp,
    Place.CABINET: Cabinet,
    Place.TICKER: Ticker,
    Place.CARD: Over,
    Place.READING: Reading,
    Place.QUESTION: Question,
    Place.LIST: ChoiceList,
    Place.RUNS: GoingOn,
    Place.ANSWER: AskCell,
    Place.COMPARING: CompareScreen,
    Place.PREFERENCES: PreferencesScreen,
    Place.DIAGRAM: Wiring,
}
SWALLOWED = {"ctrl+c", "ctrl+z", "ctrl+s", "ctrl+q", "ctrl+h", "ctrl+i", "ctrl+m", "ctrl+j", "escape"}


@pytest.mark.parametrize("place", Place)
def test_no_key_means_two_things_on_one_screen(place: Place) -> None:
    keys = [key for command in commands(place) for key in command.key.split(",")]
    assert len(keys) == len(set(keys))


def test_no_id_is_used_twice() -> None:
    ids = [command.id for command in COMMANDS]
    assert len(ids) == len(set(ids))


def test_the_bench_uses_no_key_that_terminals_swallow() -> None:
    keys = {key for command in commands(Place.BENCH) for key in command.key.split(",")}
    assert not keys & SWALLOWED


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.id)
def test_every_action_exists_on_its_screen(command: Command) -> None:
    name = re.sub(r"\(.*", "", command.action)
    owner = OWNERS[command.place]
    if name.startswith(("app.", "screen.")):
        owner = {"app": SimgateApp, "screen": BenchScreen}[name.partition(".")[0]]
    assert inspect.isroutine(getattr(owner, f"action_{name.rpartition('.')[2]}"))


def test_every_binding_of_the_program_has_an_id_in_the_table() -> None:
    ids = {command.id for command in COMMANDS}
    for owner in (*OWNERS.values(), CardOver, StripOver, Picker, Drawer, Help):
        for binding in owner.__dict__.get("BINDINGS", ()):
            assert isinstance(binding, Binding)
            assert binding.id in ids or binding.key == "ctrl+c"


@pytest.mark.parametrize("place", Place)
def test_the_footer_fits_eighty_columns_with_its_margins(place: Place) -> None:
    assert Content.from_markup(footer(place)).cell_length <= 78


@pytest.mark.parametrize("place", Place)
def test_the_help_names_every_command_with_its_key(place: Place) -> None:
    text = plain(help_lines(place))
    for command in commands(place):
        assert f" {command.keycap:<8} {command.title}: {command.help}" in text


def test_the_help_of_the_bench_tells_what_every_look_takes() -> None:
    text = plain(help_lines(Place.BENCH))
    for what, seconds_of in prices().items():
        assert f" {what.capitalize()}: " in text
        for name, seconds in seconds_of.items():
            assert not seconds or f"{name} {seconds:g}" in text
    assert "Fetch, once" not in plain(help_lines(Place.WORKSHOP))


def test_every_command_says_what_it_does_in_a_sentence() -> None:
    for command in COMMANDS:
        assert command.help.endswith(".")
        assert command.title[0].isupper()
