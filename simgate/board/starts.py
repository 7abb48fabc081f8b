"""What comes between the decision to move and the first turn of a motor: guards tested, lamp, lock.

A guard that cannot open is no guard, and nothing shows that while nobody stands in it. So its supply, TEST+,
is dropped for a moment before each movement: a guard that then stays made is welded or linked across, and
what relies on it does not move until a later test finds it sound (HSE, 2018: monitored and checked before
each movement, where the technology permits; ISO 13849 category 2 in principle). Then people are warned,
then the lock is drawn. No movement from rest sets off past this file; one that turns round or opens wider
was tested when it set off.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.drive import Drive
from simgate.board.guards import Guards
from simgate.board.inputs import Inputs
from simgate.board.settings import Settings
from simgate.board.signals import Acted, Note, NoteKind, Outputs
from simgate.board.stimuli import INPUTS, Input, Relay, Way, Word
from simgate.board.timers import Timer, Timers

OFF_LEAST_MS = 200  # TEST+ stays away at least so long: receivers and relays need their time
OPEN_MS = 300  # beyond the input filter, within which a tested guard must open
BACK_LEAST_MS = 100
BACK_MS = 700  # beyond the input filter, within which it must be made again: receivers start anew
BOLT_MS = 200  # the lock's coil is fed so long before the leaf pulls

TESTED = {
    "none": (),
    "GUARD-O": (Input.GUARD_O,),
    "GUARD-C": (Input.GUARD_C,),
    "both guards": (Input.GUARD_O, Input.GUARD_C),
}
"""Choice of the setting guard-test -> guards whose transmitter hangs on TEST+."""

WARNED: dict[str, tuple[tuple[Way, bool], ...]] = {
    "opening": ((Way.OPENING, False), (Way.OPENING, True)),
    "closing": ((Way.CLOSING, False), (Way.CLOSING, True)),
    "both": tuple((way, alone) for way in Way for alone in (False, True)),
    "shutting by itself": ((Way.CLOSING, True),),
}
"""Choice of the setting warn-before -> (way, whether the gate sets off by itself) that are warned of."""


class Stage(Word):
    """Where a start stands."""

    NONE = "none"
    AWAY = "away"  # TEST+ is dropped, the guards must open
    BACK = "back"  # TEST+ is there again, they must be made
    WARN = "warn"
    STROKE = "stroke"  # the leaves are pressed shut, so that the bolt comes free
    BOLT = "bolt"  # the lock's coil is fed
    GO = "go"


Memory = tuple[Stage, Way, bool, bool, tuple[Input, ...], tuple[Input, ...]] | tuple[()]
"""Stage, way, whether the gate sets off alone, whether with warning and stroke, guards asked and opened."""

SAID = {
    Stage.AWAY: "Testing the guards",
    Stage.BACK: "Testing the guards",
    Stage.WARN: "Warning, then it moves",
    Stage.STROKE: "Freeing the lock",
    Stage.BOLT: "Drawing the lock",
}


@dataclass(frozen=True, slots=True)
class Use:
    """How starts are set. Times in ms."""

    tested: tuple[Input, ...] = ()
    warn: int = 0
    warn_before: str = "both"
    lock: str = "not fitted"
    stroke: int = 0
    pulse: int = 0
    filter: int = 0

    @classmethod
    def of(cls, settings: Settings) -> Use:
        """As set in the book."""
        return cls(
            tested=TESTED[settings.choice("guard-test")],
            warn=round(settings.number("pre-warning") * 1000.0),
            warn_before=settings.choice("warn-before"),
            lock=settings.choice("lock-use"),
            stroke=round(settings.number("release-stroke") * 1000.0),
            pulse=round(settings.number("lock-time") * 1000.0),
            filter=round(settings.number("input-filter")),
        )


class Starts:
    """The start that is being made, if one is. `advance` it at every due tick and change of an input."""

    def __init__(
        self, inputs: Inputs, guards: Guards, drive: Drive, timers: Timers, outputs: Outputs,
        happened: list[Acted | Note],
    ) -> None:  # fmt: skip
        self.use = Use()
        self.stage = Stage.NONE
        self._inputs = inputs
        self._guards = guards
        self._drive = drive
        self._timers = timers
        self._outputs = outputs
        self._happened = happened
        self._way = Way.OPENING
        self._alone = self._full = False
        self._asked: tuple[Input, ...] = ()  # guards in this test
        self._opened: tuple[Input, ...] = ()  # those of them that did open
        self._least = 0

    # Questions ------------------------------------------------------------------------------------

    @property
    def pending(self) -> bool:
        """Whether a movement is decided that has not set off."""
        return self.stage is not Stage.NONE

    @property
    def words(self) -> str:
        """What is being done, for the display."""
        return SAID.get(self.stage, "")

    @property
    def warning(self) -> bool:
        """Whether people are being warned."""
        return self.stage is Stage.WARN

    @property
    def stroking(self) -> bool:
        """Whether the leaves are pressed shut, so that what they meet is their stop."""
        return self.stage is Stage.STROKE

    def hides(self, one: Input) -> bool:
        """Whether a change of `one` is the test's own doing."""
        return self.stage in (Stage.AWAY, Stage.BACK) and one in self._asked

    def state(self) -> tuple[object, ...]:
        """Everything that the next scans depend on."""
        names = (tuple(one.value for one in ones) for ones in (self._asked, self._opened))
        rest = (self._way.value, self._alone, self._full, *names, self._least) if self.pending else ()
        return (self.stage.value, rest)

    def memory(self) -> Memory:
        """The start that is being made as a value, () when none is."""
        if self.stage is Stage.NONE:
            return ()
        return (self.stage, self._way, self._alone, self._full, self._asked, self._opened)

    def put(self, memory: Memory, least: int) -> None:
        """Be as in another moment; `least` is when the test may end at the earliest. For the prover."""
        self._least = least
        if not memory:
            self.stage = Stage.NONE
            return
        self.stage, self._way, self._alone, self._full, self._asked, self._opened = memory

    # Orders ---------------------------------------------------------------------------------------

    def begin(self, way: Way, tick: int, *, alone: bool = False, full: bool = False) -> None:
        """Begin a start that way. alone: the gate sets off by itself.

        full: a mode's start, with warning and stroke; work at the board has a hand on a key instead.

        Guards that are open already are not tested: what relies on them is not permitted anyway.
        """
        self.cancel()
        made = self._inputs.made
        self._way, self._alone, self._full = way, alone, full
        self._asked = tuple(one for one in self.use.tested if made[INPUTS.index(one)])
        self._opened = ()
        if self._asked:
            self._outputs.put(Relay.TEST, False)
            self._least = tick + OFF_LEAST_MS
            self._to(Stage.AWAY, tick + max(OPEN_MS + self.use.filter, OFF_LEAST_MS))
        else:
            self._warn(tick)

    def cancel(self) -> None:
        """Nothing sets off; TEST+ has its supply, and the lock keeps what is left of its pulse."""
        if self.pending:
            self.stage = Stage.NONE
            self._timers.drop(Timer.START)
            self._outputs.put(Relay.TEST, True)

    def advance(self, tick: int) -> bool:
        """Go on as far as time and inputs allow. True when the movement may set off now."""
        before = None
        while before is not self.stage:
            before = self.stage
            due = self._timers.due(Timer.START)
            over = due is None or due <= tick
            if self.stage is Stage.AWAY:
                self._see_them_open(tick, over)
            elif self.stage is Stage.BACK:
                self._see_them_back(tick, over)
            elif self.stage is Stage.WARN and over:
                self._free_lock(tick)
            elif self.stage is Stage.STROKE and over:
                self._drive.stop(tick)
                self._drive.pressed()
                self._draw(tick)
            elif self.stage is Stage.BOLT and over:
                self.stage = Stage.GO
        if self.stage is Stage.GO:
            self.cancel()
            return True
        return False

    # Stages ---------------------------------------------------------------------------------------

    def _to(self, stage: Stage, due: int) -> None:
        self.stage = stage
        self._timers.set(Timer.START, due)

    def _see_them_open(self, tick: int, over: bool) -> None:
        made = self._inputs.made
        self._opened = tuple(one for one in self._asked if not made[INPUTS.index(one)])
        if over or (self._opened == self._asked and tick >= self._least):
            self._outputs.put(Relay.TEST, True)
            for one in self._asked:
                self._judge(one, one in self._opened, tick)
            self._least = tick + BACK_LEAST_MS
            self._to(Stage.BACK, tick + BACK_MS + self.use.filter)
        elif self._opened == self._asked:
            self._timers.set(Timer.START, self._least)

    def _see_them_back(self, tick: int, over: bool) -> None:
        made = self._inputs.made
        back = all(made[INPUTS.index(one)] for one in self._opened)
        if over or (back and tick >= self._least):
            self._warn(tick)
        elif back:
            self._timers.set(Timer.START, self._least)

    def _judge(self, one: Input, opened: bool, tick: int) -> None:
        was = one in self._guards.failed
        self._guards.tested(one, opened)
        if was is opened:
            word = "passed" if opened else "stayed made"
            self._happened.append(Note(tick, NoteKind.TEST, f"{one.value} {word}"))

    def _warn(self, tick: int) -> None:
        self._asked = ()
        wanted = self._full and (self._way, self._alone) in WARNED[self.use.warn_before]
        self._to(Stage.WARN, tick + (self.use.warn if wanted else 0))

    def _free_lock(self, tick: int) -> None:
        """Opening from where it may be locked: a push shut if one is set and permitted, then the coil."""
        locked = self.use.lock != "not fitted" and not (self._drive.relieving or self._drive.away())
        if not locked or self._way is Way.CLOSING:
            self.stage = Stage.GO
        elif self.use.lock == "stroke and pulse" and self._full and not self._guards.permit(Way.CLOSING):
            for index in range(self._drive.tuned.leaves):
                self._drive.creep(index, Way.CLOSING, tick)
            self._to(Stage.STROKE, tick + self.use.stroke)
        else:
            self._draw(tick)

    def _draw(self, tick: int) -> None:
        self._outputs.put(Relay.LOCK, True)
        self._timers.set(Timer.LOCK, tick + self.use.pulse)
        self._to(Stage.BOLT, tick + BOLT_MS)
