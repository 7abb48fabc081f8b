"""The trail of a run: each look that the person took, in the state in which it was taken, and each repair.

Followed action by action from the records. What is seen in passing (display, lamps, leaves) counts when it
tells something; instruments are counted every time. The trail ends when all that is wrong is mended: what is
looked at afterwards proves the repair and finds nothing.

Taken for granted: whoever puts a core back on its screw, takes a link out or works on a head of the line has
seen what stood there, and that look is counted before the work when it was still needed. A gate that stands
half open is taken for shut.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from simgate.bench import actions as a
from simgate.bench.record import Event, ScanRecord
from simgate.board.signals import LEAVES, Note, NoteKind
from simgate.practice.diagnosis.costs import costs
from simgate.practice.diagnosis.evidence import Seen, told, tolerance_in
from simgate.practice.diagnosis.inquiry import Inquiry
from simgate.practice.diagnosis.ledger import Ledger
from simgate.practice.diagnosis.observation import HOWS, PICTURED, How, priced
from simgate.practice.diagnosis.pressed import Presses
from simgate.practice.diagnosis.reached import reached
from simgate.practice.diagnosis.seeing import (
    LINE_PAGE,
    before_work,
    by_eye,
    by_probe,
    false_reading,
    of_drive,
    on_the_way,
    picture,
)
from simgate.practice.diagnosis.states import State, StateKind
from simgate.practice.diagnosis.words import AFTER, as_it_stands, in_state, probed
from simgate.practice.diagnosis.worlds import CHANGES, Worlds
from simgate.practice.names import plain

RENEWALS = (a.RemakeWire, a.Renew, a.ReplaceFuse, a.FitHead)
PUT_IN = (StateKind.SPARE, StateKind.LINKED, StateKind.PLUGGED)  # to look: paid, whatever it tells
TRIES = (
    a.AddLink,
    a.PartWire,
    a.TestPlug,
    a.SpareBeam,
    a.TakeBattery,
    a.Rain,
)  # work that finds and mends nothing


@dataclass(frozen=True, slots=True)
class Repair:
    """Work that was to mend. needless: what was renewed was sound. proven: nothing was left to tell apart, or
    it was part of putting right whatever was left.
    """

    tick: int
    action: a.Action
    needless: bool
    proven: bool


class Trail:
    """ledger: the looks. repairs: in order. mended: the tick when all was, None for not yet."""

    def __init__(self, inquiry: Inquiry) -> None:
        stand = inquiry.stand
        self.ledger = Ledger(inquiry)
        self.repairs: list[Repair] = []
        self.mended: int | None = None
        self._harness = stand.harness  # sound: what is where, and what it costs to get there
        self._worlds = Worlds(stand, inquiry.truth)
        self._mains = stand.setup.mains
        self._presses = Presses(stand.setup)
        self._worked: list[str] = []
        self._driven: set[int] = set()
        self._probe: a.Probe | None = None
        self._placed: int | None = None  # where in the ledger the instrument that is on was put on

    @property
    def as_found(self) -> bool:
        """Whether the copper is as it was found."""
        return self._worlds.as_found

    def follow(self, records: Iterable[ScanRecord]) -> Trail:
        """Follow these records, up to the mending."""
        for record in records:
            self.ledger.tick = record.tick
            for action in record.actions:
                self._did(action)
                if self.mended is not None:
                    return self
            for note in record.notes:
                self._noted(note)
            for event in record.events:
                self._noticed(event)
        return self

    # What was done and seen -----------------------------------------------------------------------

    def _did(self, action: a.Action) -> None:
        if isinstance(action, CHANGES):
            self._work(action)
        elif isinstance(action, a.Mains):
            self._mains = action.on
            self._look_again()
        elif isinstance(action, a.Operate):
            self._operated(action.device, action.down)
        elif isinstance(action, a.Block):
            self._operated(action.beam, action.blocked)
        elif isinstance(action, a.Probe):
            self._probe, self._placed = action, len(self.ledger.taken)
            self._measured(action)
        elif isinstance(action, a.PutAway):
            self._probe = self._placed = None
        elif isinstance(action, a.Inspect):
            self._inspected(action)
        elif isinstance(action, a.CarryRemote):
            self._presses.carried(action)
        elif isinstance(action, a.RemoteKey):
            self._pressed(action)
        elif isinstance(action, a.Push) and action.newton:
            self._saw(by_eye(self.ledger.looks, How.PULL, str(LEAVES.index(action.leaf))))

    def _inspected(self, action: a.Inspect) -> None:
        """A close look, which the table knows by the number of a leaf."""
        how = How(action.how)
        name = str(LEAVES.index(action.of)) if action.of in LEAVES else action.of
        numbers = by_eye(self.ledger.looks, how, name)
        words = f"{action.how} of {plain(action.of)}"
        if self.as_found and numbers:
            self.ledger.take(words, numbers[:1])
            return
        look = priced(self._harness, how, State(StateKind.REST), name, "")
        self.ledger.note(words, (), None, look.seconds, (0,) * len(self.ledger.left), look.needs)

    def _operated(self, name: str, on: bool) -> None:
        if not on:
            self._worked = [one for one in self._worked if one != name]
            return
        if name not in self._worked:
            self._worked.append(name)
        state = self._state()
        if state is not None and state.kind is StateKind.WORKED:
            numbers = picture(self.ledger.looks, state)
            self._in_passing(numbers, f"display and input lamps, {in_state(state)}")

    def _pressed(self, action: a.RemoteKey) -> None:
        """A remote beside the board, heard or not."""
        state = self._state() if self._presses.shows(action) else None
        if state is not None and state.kind is StateKind.REST:
            self._in_passing(by_eye(self.ledger.looks, How.HEARD, action.remote), "")

    def _noted(self, note: Note) -> None:
        self._presses.noted(note)
        if note.kind is NoteKind.MOVING:
            leaf = LEAVES.index(note.detail[0])
            self._driven.add(leaf)
            self._drove(leaf)
        elif note.kind is NoteKind.RESTING:
            self._driven.discard(LEAVES.index(note.detail[0]))
        elif note.kind is NoteKind.DISPLAY and LINE_PAGE.match(note.detail):
            self._saw(by_eye(self.ledger.looks, How.LINE, ""))

    def _noticed(self, event: Event) -> None:
        """A leaf that was seen to come to its stop was seen all the way, and the lamps with it.

        Led there or driven, it takes what a plan counts for it: or a run could be shorter than a proven par.
        """
        for leaf, name in enumerate(LEAVES):
            if event.text == f"Leaf {name} meets a stop":
                words = f"the input lamps while leaf {name} goes all the way"
                self._in_passing(on_the_way(self.ledger.looks, leaf), words)

    def _drove(self, leaf: int) -> None:
        """A leaf is driven: what is seen of it, and what an instrument that is on reads now."""
        name = LEAVES[leaf]
        words = f"watch leaf {name} driven: leaves, lamps, display"
        self._in_passing(of_drive(self.ledger.looks, leaf), words)
        if self._probe is None or not self.as_found:
            return
        numbers = by_probe(self.ledger.looks, self._probe, State(StateKind.JOG, leaf=leaf))
        if numbers and self.ledger.first_time(numbers):
            self.ledger.take(f"{probed(self._probe)}, while leaf {name} is driven", numbers, at_hand=True)
            if self._placed is not None and not self.ledger.taken[self._placed].bits:
                self.ledger.instead(self._placed)  # it told nothing then: it was put on for this
            self._placed = None

    def _saw(self, numbers: tuple[int, ...]) -> None:
        if self.as_found:
            self.ledger.saw(numbers)

    def _in_passing(self, numbers: tuple[int, ...], words: str) -> None:
        if self.as_found:
            self.ledger.passing(numbers, words)

    # Instruments ----------------------------------------------------------------------------------

    def _state(self) -> State | None:
        """The state that the gate is in, if it is one that the planner knows."""
        state = None if self._driven else reached(self._worlds, self._mains, self._worked)
        if state is not None:
            self.ledger.work(tuple(self._worlds.done), known=True)
        return state

    def _measured(self, probe: a.Probe) -> None:
        """An instrument was put on."""
        state = self._state()
        numbers = () if state is None else by_probe(self.ledger.looks, probe, state)
        if numbers and state is not None:
            now = as_it_stands(self._mains, self._worked) if self.as_found else in_state(state)
            self.ledger.take(f"{probed(probe)}, {now}", numbers)
        elif self._false(probe):
            self._price(f"{probed(probe)} on a live circuit: a false reading", probe, None)
        elif self._driven:
            self._price(f"{probed(probe)}, while a leaf is driven", probe, None)
        else:
            seen = self._as_it_stands(probe)
            self._price(f"{probed(probe)}, {as_it_stands(self._mains, self._worked)}", probe, seen)

    def _false(self, probe: a.Probe) -> bool:
        true = self._worlds.true
        return false_reading(true.harness, true.settle(self._mains, self._worked), probe)

    def _as_it_stands(self, probe: a.Probe | None) -> Seen:
        """Something that is seen on the copper as hands have left it."""
        return Seen(tuple(self._worlds.done), (), probe, self._mains, tuple(self._worked))

    def _price(self, words: str, probe: a.Probe, seen: Seen | None) -> None:
        """A look that is not in the table costs what one like it does. seen: None for one not weighed."""
        state = State(StateKind.REST if self._mains else StateKind.DEAD)
        if self._worked and self._mains:
            state = State(StateKind.WORKED, self._worked[0])
        look = priced(self._harness, HOWS[probe.instrument], state, probe.a, probe.b)
        shows = (0,) * len(self.ledger.left) if seen is None else self._compared(seen)
        self.ledger.note(words, (), seen, look.seconds, shows, look.needs)

    def _compared(self, seen: Seen) -> tuple[int, ...]:
        """What each suspect that is left would show."""
        return self._worlds.compared(self.ledger.sets, lambda world: told(world, seen), tolerance_in(seen))

    def _look_again(self) -> None:
        """The display after work on the copper, mains on."""
        state = self._state()
        if state is not None and state.kind in PICTURED:
            numbers, words = picture(self.ledger.looks, state), f"display and lamps, {in_state(state)}"
            if state.kind in PUT_IN:
                self.ledger.saw(numbers, words)
            else:
                self.ledger.passing(numbers, words)
            return
        done = len(self._worlds.done)
        if self._driven or not self._mains or not done:
            return
        if self.ledger.first_time(("display after", done)):
            seen = self._as_it_stands(None)
            if self.as_found and not self._worked:
                seen = Seen(seen.done, self.ledger.inquiry.at_once)
            shows = self.ledger.shows(seen.looks) if seen.looks else self._compared(seen)
            if any(shows):
                self.ledger.note(AFTER, (), seen, costs().place.look, shows, passing=True)

    # Work -----------------------------------------------------------------------------------------

    def _work(self, action: a.Action) -> None:
        """Work on the copper or on a device, in every world."""
        worlds, ledger = self._worlds, self.ledger
        own = self._own(action)
        if not own and not ledger.solved():
            self._saw(before_work(ledger.looks, worlds.true.harness, action))
        proven = ledger.settled() or self._sure(action)
        fitted = isinstance(action, a.FitHead) and worlds.true.harness.heads[action.head].fitted
        there = worlds.true.left
        changed = worlds.do(action)
        mends = worlds.true.left != there
        ended = not worlds.true.left
        if ended or not (own or isinstance(action, TRIES)):
            needless = isinstance(action, RENEWALS) and not mends and (not changed or fitted)
            self.repairs.append(Repair(ledger.tick, action, needless, proven))
        if ended:
            self.mended = ledger.tick
            return
        ledger.work(tuple(worlds.done), known=self.as_found)
        self._look_again()

    def _sure(self, action: a.Action) -> bool:
        """Whether this work is part of putting right whatever is left."""
        left, done = self.ledger.inquiry.left, tuple(self._worlds.done)
        return all(len(left(its, (*done, action))) < len(left(its, done)) for its in self.ledger.sets)

    def _own(self, action: a.Action) -> bool:
        """Whether it undoes what hands did themselves: a core put back, a link taken out again."""
        if isinstance(action, a.RemakeWire):
            return self._worlds.true.harness.wire(action.wire).undone
        if isinstance(action, a.RemoveLink):
            ends = {action.a, action.b}
            done = self._worlds.done
            return any(isinstance(old, a.AddLink) and {old.a, old.b} == ends for old in done)
        return False
