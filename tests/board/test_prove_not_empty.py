"""No property is empty: for each there is a mistake in the board's own code or tables that breaks it.

Mistakes in single cells and permits are in mutants.py; here are those that no table can make.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from simgate.board import chart_program, guards, leaf, logic, modes, prove_lemmas
from simgate.board.battery import Battery
from simgate.board.board import Board
from simgate.board.chart_program import Program
from simgate.board.drive import Drive
from simgate.board.guards import Guards
from simgate.board.inputs import Inputs
from simgate.board.logic import Logic
from simgate.board.prove import PROPERTIES, prove
from simgate.board.prove_drive import StandIn
from simgate.board.prove_subject import Subject
from simgate.board.signals import Acted
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Task, Way
from simgate.board.work import Work
from tests.board.mutants import COMMON, MODES, PERMITS

Patch = pytest.MonkeyPatch


def forgets_to_put(patch: Patch) -> None:
    """Power and work from the book leave condition and pause as they were."""
    patch.setattr(Logic, "put", lambda self, condition, tick: None)


def takes_any_guard(patch: Patch) -> None:
    """Shutting needs STOP and nothing else."""
    patch.setitem(guards.OWN, Way.CLOSING, (Input.STOP,))


def opens_behind_the_chart(patch: Patch) -> None:
    """A guard that breaks makes the drive open, and the chart hears nothing of it."""
    real = Subject._mind_battery

    def mind(self: Subject, tick: int) -> None:
        real(self, tick)
        if Input.GUARD_C in self._guards.amiss and self._drive.quiet:
            self._drive.open(tick)

    patch.setattr(Subject, "_mind_battery", mind)


def forgets_the_battery(patch: Patch) -> None:
    patch.setattr(Battery, "forbids", lambda self, way: "")


def goes_once(patch: Patch) -> None:
    """A gate that was turned round on its way to be shut is left open."""
    patch.setattr(Battery, "turned", lambda self, way: None)


def moves_unlearned(patch: Patch) -> None:
    patch.setattr(logic, "NOT_LEARNED", "")


def hears_calls_at_work(patch: Patch) -> None:
    """The chart is fired in the middle of work from the book."""
    real = Board._fire_chart

    def fire(self: Board, changes: list[tuple[Input, bool]], tick: int) -> None:
        task, self.work.task = self.work.task, Task.MODE
        real(self, changes, tick)
        self.work.task = task

    patch.setattr(Board, "_fire_chart", fire)


def jogs_on(patch: Patch) -> None:
    """A key let go ends nothing."""
    real = Work._end_jog

    def end(self: Work, tick: int, words: str) -> None:
        if words:
            real(self, tick, words)

    patch.setattr(Work, "_end_jog", end)


def clears_its_faults(patch: Patch) -> None:
    """A fault goes when STOP is made again."""
    real = Logic.fire

    def fire(self: Logic, stimulus: Stimulus, tick: int, cause: str = "") -> Acted:
        acted = real(self, stimulus, tick, cause)
        self.fault = self.fault and stimulus is not Stimulus.STOP_REMADE
        return acted

    patch.setattr(Logic, "fire", fire)


def feels_no_edge(patch: Patch) -> None:
    """The edge neither fires nor forbids."""
    real = Subject._fire_changes

    def fire(self: Subject, changes: list[tuple[Input, bool]], tick: int) -> None:
        real(self, [one for one in changes if one[0] is not Input.EDGE], tick)

    patch.setattr(Subject, "_fire_changes", fire)
    patch.setitem(guards.EDGE_OWN, "closing", guards.NOTHING)


def gives_way_for_stop(patch: Patch) -> None:
    """What should stop backs off the shutting way."""
    real = Logic._go

    def go(self: Logic, acted: Acted, tick: int) -> None:
        real(self, acted, tick)
        if acted.response is Response.STOP and acted.condition is Condition.CLOSING:
            self._drive.close(tick)
            self._drive.give_way(tick)

    patch.setattr(Logic, "_go", go)


def learns_on(patch: Patch) -> None:
    """Only the direction that is driven is looked at."""
    patch.setattr(Guards, "whole", lambda self: "")


def answers_nothing(patch: Patch) -> None:
    """The look-up says another condition than the machine."""
    patch.setattr(Program, "_after", lambda self, transition, condition: condition)


def filters_longer(patch: Patch) -> None:
    real = Inputs.read
    patch.setattr(Inputs, "read", lambda self, volts, tick, ms: real(self, volts, tick, ms + 50))


def presses_on(patch: Patch) -> None:
    """A gate that is stopped stops, also where it presses somebody."""
    patch.setattr(StandIn, "leave", StandIn.stop)


def leaves_off(patch: Patch) -> None:
    """The same of the real leaves."""
    patch.setattr(Drive, "leave", Drive.stop)


def turns_round_at_once(patch: Patch) -> None:
    patch.setattr(leaf, "REVERSE_MS", 100)


MISTAKES: tuple[tuple[str, str, Callable[[Patch], None], dict[str, str]], ...] = (
    ("power", "Latch", forgets_to_put, {}),
    ("after-work", "Self-close", forgets_to_put, {}),
    ("timer", "Self-close", takes_any_guard, {}),
    ("no-other-way", "Latch", opens_behind_the_chart, {}),
    ("battery", "Latch", forgets_the_battery, {"battery-low": "refuse calls"}),
    ("battery-again", "Latch", goes_once, {"battery-low": "shut and stay"}),
    ("unlearned", "Latch", moves_unlearned, {}),
    ("work-alone", "Latch", hears_calls_at_work, {}),
    ("jog-held", "Latch", jogs_on, {}),
    ("fault-stays", "Latch", clears_its_faults, {}),
    ("edge-leaves", "Latch", feels_no_edge, {"edge-use": "closing"}),
    ("gives-way", "Latch", gives_way_for_stop, {}),
    ("learning", "Latch", learns_on, {}),
    ("answered", "Latch", answers_nothing, {}),
    ("filter", "Latch", filters_longer, {}),
    ("reversing", "Latch", turns_round_at_once, {}),
    ("lets-go", "Latch", presses_on, {"guard-c-use": "both"}),
    ("relief", "Latch", leaves_off, {}),
)


@pytest.fixture(autouse=True)
def _lemmas_anew() -> Iterator[None]:
    """What another board has shown is nothing to this one."""
    _forget()
    yield
    _forget()


def _forget() -> None:
    prove_lemmas.filter_fault.cache_clear()
    prove_lemmas.reversing.cache_clear()
    prove_lemmas.relief.cache_clear()


@pytest.mark.parametrize(("key", "title", "mistake", "given"), MISTAKES, ids=[one[0] for one in MISTAKES])
def test_a_mistake_in_the_board_is_found(
    key: str, title: str, mistake: Callable[[Patch], None], given: dict[str, str], monkeypatch: Patch
) -> None:
    chart_program.program.cache_clear()
    with monkeypatch.context() as patch:
        mistake(patch)
        broken = prove(modes.shipped_modes()[title], given, until=key).broken
    chart_program.program.cache_clear()
    assert key in broken


def test_every_property_is_broken_by_some_mistake() -> None:
    seeded = {one.breaks for one in (*MODES, *COMMON, *PERMITS)} | {key for key, *_ in MISTAKES}
    asked = {one.key for one in PROPERTIES} | {"trap", "answered", "filter", "reversing", "relief"}
    assert asked <= seeded
