"""The mode at work: the chart, the pause, and what a cell's answer does to the leaves.

Kept apart from the scan so that there is one way from a stimulus to a movement: through the chart,
past the permits, to one order of the drive.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from simgate.board.battery import Battery
from simgate.board.chart import Chart
from simgate.board.chart_program import Program, program
from simgate.board.drive import Drive
from simgate.board.guards import Guards
from simgate.board.mode_table import STOPPED, WAYS, Table
from simgate.board.modes import common
from simgate.board.service import Service
from simgate.board.settings import Settings
from simgate.board.signals import Acted, Note, NoteKind
from simgate.board.starts import Starts
from simgate.board.stimuli import Condition, Input, Response, Stimulus, Way
from simgate.board.timers import Timer, Timers

CALLS = (Stimulus.CALL, Stimulus.PART)
WAITING = (Condition.HELD, Condition.PART_HELD)
PRESSING = (Stimulus.OBSTACLE, Stimulus.EDGE_AMISS)  # what a leaf that shuts may have run into
LEAVING = (Stimulus.STOP_PARTED, Stimulus.FAULT, Stimulus.CALL_RELEASED, Stimulus.PART_RELEASED)
"""What ends a movement outright, also one that lets somebody go: STOP overrides all (ISO 13850, from memory),
a fault leaves nothing to drive with, and who lets go of a button held to move the gate is looking at it.
Everything else that ends it waits until whoever may be pressed is let go."""
BACKS_OFF = "It backs off first"
NOT_LEARNED = "Learn cycle not done"
STAYED_MADE = "{0} stayed made in its test: welded contact or a link?"
STAYS = "Stays open: obstacle, {0}"
OFTEN = {1: "once", 2: "twice"}


class Logic:
    """One board's mode over its drive.

    learned: whether a learn cycle was done; without, only a mode that moves while held may move.
    cause: an obstacle or fault, until the gate is asked to do something again. refusal: why the last
    call did not move it, until a terminal changes. met: how often shutting met something since a person
    called or the gate was shut. called: whether a person has, since STOP was open, power came or work from
    the book ended; until then nothing moves by itself, not even for a low battery.
    """

    def __init__(
        self, settings: Settings, modes: Mapping[str, Table], guards: Guards, drive: Drive, timers: Timers,
        starts: Starts, battery: Battery, service: Service, happened: list[Acted | Note],
    ) -> None:  # fmt: skip
        self.learned = False
        self.called = False
        self.starts = starts
        self.battery = battery
        self.service = service
        self.fault = False
        self.cause = ""
        self.refusal = ""
        self.met = 0
        self._settings = settings
        self._modes = modes
        self._guards = guards
        self._drive = drive
        self._timers = timers
        self._happened = happened
        self._chart_of = self._choices()
        self.chart = self._new_chart(Condition.STOPPED_CLOSING)
        self._orders: Mapping[Condition, Callable[[int], None]] = {
            Condition.OPENING: drive.open,
            Condition.PART_OPENING: drive.part,
            Condition.CLOSING: drive.close,
        }
        self._pauses: Mapping[Response, Callable[[int], None]] = {
            Response.START_PAUSE: self._start_pause,
            Response.RESTART_PAUSE: self._restart_pause,
            Response.SHUT_SOON: self._shut_soon,
            Response.STOP: self._drop_pause,
        }

    @property
    def mode(self) -> str:
        """Title of the mode that is set."""
        return self._settings.choice("mode")

    @property
    def pause_due(self) -> int | None:
        """Tick at which the pause is over, None when none runs."""
        return self._timers.due(Timer.PAUSE)

    def permit(self, way: Way, turning: bool = False) -> str:
        """Why the mode may not move the gate that way, '' when it may."""
        moves = self.chart.condition in WAYS and not self.starts.pending  # then no test comes first
        reason = self._guards.permit(way, turning, test_follows=not moves)
        if not reason and not self.learned and not self._modes[self.mode].while_held:
            reason = NOT_LEARNED
        if not reason and way is Way.CLOSING and self._drive.relieving:
            reason = BACKS_OFF
        if not reason and not turning and self.chart.condition not in WAITING:  # who waits may end its way
            reason = self.battery.forbids(way)
        return reason

    def state(self) -> tuple[object, ...]:
        """What the logic keeps beside its condition."""
        return (self.cause, self.refusal, self.met, self.fault, self.called)

    # What changes a condition ---------------------------------------------------------------------

    def fire(self, stimulus: Stimulus, tick: int, cause: str = "") -> Acted:
        """Let `stimulus` act; `cause` is what the display says of it."""
        acted = self.chart.fire(stimulus, tick)
        self._happened.append(acted)
        if acted.refused:
            self.refusal = acted.refused
            self._happened.append(Note(tick, NoteKind.REFUSED, acted.refused))
        elif acted.response is not Response.IGNORE:
            self.cause = self.refusal = ""
            self.fault = False
        if stimulus is Stimulus.ARRIVED and acted.after is Condition.SHUT:
            self.service.cycles += 1
        self.cause = cause or self.cause
        self.fault = self.fault or stimulus is Stimulus.FAULT
        if stimulus is Stimulus.STOP_PARTED:
            self.called = False
        elif stimulus in CALLS and Input.STOP not in self._guards.amiss:
            self.called = True
        if stimulus in CALLS or acted.after is Condition.SHUT:
            self.met = 0
        elif stimulus in PRESSING and acted.condition is Condition.CLOSING:
            self.met += 1
        turned = acted.condition is Condition.CLOSING and acted.after is Condition.OPENING
        if turned and stimulus not in PRESSING:
            self.battery.turned(Way.CLOSING)
        if self.battery.waits:
            self._wait_for_battery(tick)
        if acted.after is not acted.condition:
            self._go(acted, tick)
        if not acted.refused and acted.response in self._pauses:
            self._pauses[acted.response](tick)
        return acted

    def _wait_for_battery(self, tick: int) -> None:
        """Let a gate that was turned round rest for as long as a pause lasts, from when it last was asked."""
        self._timers.drop(Timer.BATTERY)
        if self.chart.condition not in WAYS:
            self._timers.set(Timer.BATTERY, tick + round(self._settings.number("pause") * 1000.0))

    def go_for_battery(self, tick: int) -> None:
        """Go where a low battery is to find the gate, when it is at rest.

        It tries once, and again after each time that it was turned round; then a guard only delays it.
        """
        battery, condition = self.battery, self.chart.condition
        way, again = battery.owed, battery.waits
        if way is None or condition in WAYS or condition in WAITING:
            return
        if again and (self._timers.due(Timer.BATTERY) is not None or self.pause_due is not None):
            return
        battery.give_up()
        there = Condition.OPEN if way is Way.OPENING else Condition.SHUT
        held = self._modes[self.mode].while_held or not self.called or self.fault
        if held or condition is there:
            return
        if self.permit(way):
            if again:
                battery.turned(way)
                self._wait_for_battery(tick)
            return
        self._happened.append(Note(tick, NoteKind.BATTERY, self.battery.words))
        self.put(Condition.OPENING if way is Way.OPENING else Condition.CLOSING, tick)
        self.called = True
        self.met = 0  # what it met before is nothing to this movement
        self.starts.begin(way, tick, alone=True, full=True)
        if self.starts.advance(tick):
            self.set_off(tick)

    def pause_over(self, tick: int) -> None:
        """The pause has run out; when the gate may not shut now, it runs again."""
        self._note_pause(tick, "over")
        if self.fire(Stimulus.PAUSE_OVER, tick).refused:
            self._start_pause(tick, "restarted")

    def put(self, condition: Condition, tick: int) -> None:
        """Set the condition outright: power, work from the book. No pause runs on."""
        self.chart.put(condition)
        self._drop_pause(tick)
        self._timers.drop(Timer.BATTERY)
        self.starts.cancel()
        self.fault = self.called = False
        self.cause = self.refusal = ""

    def settings_changed(self, tick: int, learned: bool) -> None:
        """Another mode, use of a guard or number of leaves begins at rest; so does 'not learned'."""
        choices, unlearned = self._choices(), self.learned and not learned
        self.learned = learned
        if choices == self._chart_of and not unlearned:
            return
        self._chart_of = choices
        condition, calls = self.chart.condition, self.chart.calls
        self.chart = self._new_chart(STOPPED.get(condition, condition))
        self.chart.calls = calls
        self._drop_pause(tick)
        self.starts.cancel()
        self.battery.give_up()
        if condition in STOPPED:
            self._drive.leave(tick)

    def _choices(self) -> tuple[str | float, ...]:
        uses = (self._settings.choice(setting) for setting in common().settings())
        return (self.mode, self._settings.number("leaves"), self._settings.choice("part-opening"), *uses)

    def _new_chart(self, at: Condition) -> Chart:
        return Chart(self._program(), self.permit, at)

    def _program(self) -> Program:
        """What the chart runs with these choices."""
        uses = tuple((setting, self._settings.choice(setting)) for setting in common().settings())
        part = self._settings.choice("part-opening") != "not in use"
        return program(self._modes[self.mode], part, uses)

    # What an answer does --------------------------------------------------------------------------

    def _go(self, acted: Acted, tick: int) -> None:
        """The condition changed: give the leaves their order."""
        if acted.after in WAYS and self.pause_due is not None:
            self._drop_pause(tick)
            self._note_pause(tick, "cut short")
        if acted.after in self._orders:
            self._start(acted, tick)
            return
        pressing = self.starts.stroking  # shut, to free the lock: who gives way then only stops
        self.starts.cancel()
        edge = acted.stimulus is Stimulus.EDGE_AMISS
        if acted.response is Response.GIVE_WAY and not pressing and not (edge and self._drive.relieving):
            self._drive.give_way(tick, every=edge)
        elif acted.stimulus in LEAVING:
            self._drive.stop(tick)
        else:
            self._drive.leave(tick)

    def _start(self, acted: Acted, tick: int) -> None:
        """Set off: at once when the gate is moving already, else past the guards' test, lamp and lock."""
        if acted.condition in WAYS and not self.starts.pending:
            if acted.condition is Condition.CLOSING:
                met, every = (acted.stimulus is one for one in PRESSING)
                self._drive.turn(tick, met, every)
            else:
                self._orders[acted.after](tick)
            return
        if acted.condition in WAYS:
            self._drive.stop(tick)
        alone = acted.stimulus is Stimulus.PAUSE_OVER
        self.starts.begin(WAYS[acted.after], tick, alone=alone, full=True)
        if self.starts.advance(tick):
            self.set_off(tick)

    def set_off(self, tick: int) -> None:
        """The start is made: guards tested, people warned, lock drawn. What still forbids it stops it."""
        condition = self.chart.condition
        guard = self._guards.distrusted(WAYS[condition])
        if guard is not None:
            self.fire(Stimulus.FAULT, tick, STAYED_MADE.format(guard.value))
        else:
            self._orders[condition](tick)

    def _start_pause(self, tick: int, word: str = "") -> None:
        """Start it, unless STOP is open or the gate has tried to shut by itself often enough."""
        if Input.STOP in self._guards.amiss:
            return
        if self.met > self._settings.number("re-tries"):
            self.cause = STAYS.format(OFTEN.get(self.met, f"{self.met} times"))
            return
        word = word or ("started" if self.pause_due is None else "restarted")
        self._timers.set(Timer.PAUSE, tick + round(self._settings.number("pause") * 1000.0))
        self._note_pause(tick, word)

    def _restart_pause(self, tick: int) -> None:
        """Only a pause that runs starts again: after STOP, nothing follows without a call."""
        if self.pause_due is not None:
            self._start_pause(tick, "restarted")

    def _shut_soon(self, tick: int) -> None:
        """A pause that runs is over soon; it never gets longer by that."""
        due = tick + round(self._settings.number("shut-soon") * 1000.0)
        if self.pause_due is not None and due < self.pause_due:
            self._timers.set(Timer.PAUSE, due)
            self._note_pause(tick, "shortened")

    def _drop_pause(self, tick: int) -> None:
        self._timers.drop(Timer.PAUSE)

    def _note_pause(self, tick: int, word: str) -> None:
        self._happened.append(Note(tick, NoteKind.PAUSE, word))
