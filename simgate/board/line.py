"""The line: what the board asks for on its two wires, what answers, and what it makes of that.

The board sees only answers and the line's voltage. What answered at the last roll-call is remembered,
through power cuts too; from then on whatever is missing, more, or answers twice is a fault, and a beam
that is not clear, for whatever reason, is a broken guard of its role. A head alone guards nothing, so a
beam is sound only when both its heads answer and the receiver says that it sees its sender. A device that
the roll-call does not know stands for a guard that nobody has proved: it too forbids what it guards.

A head that was missing and answers again is taken as back, without another roll-call. A line tells address
and kind and no serial number, so a new head with the same switches is the old one to whoever asks, and a
roll-call could find nothing else (common practice: like for like needs no new enrolment). It proves itself as
before: its beam is clear only while both answer and see each other, and until then its guard is broken. Other
switches are another device: the old one is missing, and the new one is not in the roll-call.

The board asks every address once in a poll; a change must then last the input filter, as at a terminal.
While what stands on the line does not change, no poll could find anything else, so none is due.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.line_table import Address, Guards, address, table
from simgate.board.stimuli import Stimulus, Way, Word


class Head(Word):
    """The two heads of a beam, as they answer."""

    SENDER = "sender"
    RECEIVER = "receiver"


@dataclass(frozen=True, slots=True)
class Answer:
    """What one head answers in a poll. place: of its address in the table. clear: it sees its sender.

    garbled: two of the same kind answered at once, so that neither can be read.
    """

    place: int
    head: Head
    clear: bool = False
    garbled: bool = False


@dataclass(frozen=True, slots=True)
class LineHeard:
    """The line as a poll finds it. volts: at the board's own screws. The *same* object while unchanged."""

    volts: float = 0.0
    answers: tuple[Answer, ...] = ()


SILENT = LineHeard()
Enrolled = tuple[tuple[int, Head], ...]

CLEAR, BROKEN, NO_SENDER, NO_RECEIVER, NO_ANSWER, TWO_ALIKE, NOT_CALLED = (
    "clear",
    "not clear",
    "no sender answers",
    "no receiver answers",
    "does not answer",
    "two answer alike",
    "not in the roll-call",
)
STIMULI = (
    (Way.OPENING, Stimulus.GUARD_O_BROKEN, Stimulus.GUARD_O_CLEAR),
    (Way.CLOSING, Stimulus.GUARD_C_BROKEN, Stimulus.GUARD_C_CLEAR),
)
"""Opening first: a beam of both that breaks while the gate shuts must not hold the reversal it causes."""


class Line:
    """The line as one board sees it.

    enrolled: what the last roll-call found; kept through power cuts. seen: what the bench last handed in.
    due: tick of the next poll or end of a filter that could change anything, None when none could.
    version: counts the changes of what its beams count as.
    """

    def __init__(self) -> None:
        self.enrolled: Enrolled = ()
        self.seen: LineHeard = SILENT
        self.due: int | None = None
        self.version = 0
        self._poll: int | None = None
        self._taken: LineHeard = SILENT
        self._found: dict[int, str] = {}  # place -> how the last poll found it
        self._since: dict[int, int] = {}
        self._states: dict[int, str] = {}  # place -> what it counts as

    # The scan -------------------------------------------------------------------------------------

    def scan(self, heard: LineHeard, tick: int, filter_ms: int) -> tuple[Stimulus, ...]:
        """Take in the line at `tick`; returns what that means to the logic, usually nothing."""
        if heard is self.seen and self.due is None:
            return ()
        poll = table().poll_ms
        if heard is not self.seen:
            self.seen = heard
            if self._poll is None:
                if self._only_volts(heard):
                    self._taken = heard  # the board's own, and nobody need be asked
                else:
                    self._poll = -(-tick // poll) * poll
        if self._poll is not None and tick >= self._poll:
            self._poll = None
            self._take(self.seen, tick)
        return self._settle(tick, filter_ms)

    def start(self, heard: LineHeard) -> None:
        """Power came: take the line as it stands, so that nothing that is broken already is an event."""
        self.seen = self._taken = heard
        self._poll = self.due = None
        self._found = self._judge(heard)
        self._states = dict(self._found)
        self._since = {}
        self.version += 1

    def stop(self, heard: LineHeard) -> None:
        """Power went: nothing answers."""
        self.start(SILENT)
        self.seen = heard

    def _only_volts(self, heard: LineHeard) -> bool:
        """Whether what is new is no more than a few volts, as when a lamp flashes."""
        taken, least = self._taken, table().least_volts
        return heard.answers == taken.answers and (heard.volts < least) is (taken.volts < least)

    def _take(self, heard: LineHeard, tick: int) -> None:
        alike = heard.answers == self._taken.answers  # a lamp that flashes moves the volts, and only them
        found = self._found if alike else self._judge(heard)
        for place in {**self._found, **found}:
            if found.get(place) != self._found.get(place):
                self._since[place] = tick
        self._taken, self._found = heard, found

    def _settle(self, tick: int, filter_ms: int) -> tuple[Stimulus, ...]:
        """Let what has lasted the filter count."""
        if self._states == self._found:
            self.due = self._poll
            return ()
        self.version += 1
        before = {way: (self.trouble(way), self.own_trouble(way)) for way, _, _ in STIMULI}
        passed = False
        due = self._poll
        for place in {**self._states, **self._found}:
            if self._states.get(place) == self._found.get(place):
                continue
            end = self._since.get(place, tick) + filter_ms
            if tick < end:
                due = end if due is None else min(due, end)
            elif place in self._found:
                passed |= self._passed(place)
                self._states[place] = self._found[place]
            else:
                del self._states[place]
        self.due = due
        fired = []
        for way, broken, clear in STIMULI:
            some, own = (bool(words) for words in before[way])
            now = self.trouble(way)
            # a gate that turned round past a beam of both must still be told of one that stops it
            if (now and not some) or (self.own_trouble(way) and not own):
                fired.append(broken)
            elif some and not now:
                fired.append(clear)
        if passed and Stimulus.GUARD_C_CLEAR in fired:
            fired.append(Stimulus.PASSED)
        return tuple(fired)

    def _passed(self, place: int) -> bool:
        """Whether something that broke a closing beam is through, rather than a fault put right."""
        through = self._states.get(place) == BROKEN and self._found[place] == CLEAR
        return through and Way.CLOSING in address(place).guards.ways

    def _judge(self, heard: LineHeard) -> dict[int, str]:
        """Every address that is enrolled or answers, and how it stands."""
        if not heard.answers and not self.enrolled:
            return {}
        answers = {(one.place, one.head): one for one in heard.answers}
        places = dict.fromkeys(
            place for place in range(len(table().address)) if self._is_about(place, answers)
        )
        return {place: self._word(place, answers) for place in places}

    def _is_about(self, place: int, answers: dict[tuple[int, Head], Answer]) -> bool:
        return any((place, head) in answers or (place, head) in self.enrolled for head in Head)

    def _word(self, place: int, answers: dict[tuple[int, Head], Answer]) -> str:
        here = [answers[place, head] for head in Head if (place, head) in answers]
        known = [head for head in Head if (place, head) in self.enrolled]
        if any(one.garbled for one in here):
            return TWO_ALIKE
        if not here:
            return NO_ANSWER
        if any(one.head not in known for one in here):
            return NOT_CALLED
        sender, receiver = (answers.get((place, head)) for head in Head)
        if sender is None or receiver is None:
            return NO_SENDER if sender is None else NO_RECEIVER
        return CLEAR if receiver.clear else BROKEN

    # The roll-call --------------------------------------------------------------------------------

    def roll_call(self) -> str:
        """Remember what answers now, and nothing else. Returns what was found, in words."""
        heads = [(one.place, one.head) for one in self._taken.answers if not one.garbled]
        self.enrolled = tuple(heads)
        self.start(self._taken)
        if not self._found:
            return "Nothing answers"
        faults = [self.named(place) for place, word in self._states.items() if word not in (CLEAR, BROKEN)]
        beams = count(len(self._states) - len(faults), "beam")
        return f"{beams}; {faults[0]}" if faults else f"{beams} found"

    @property
    def faults(self) -> tuple[str, ...]:
        """What a new roll-call would be needed for, in words; a beam that is merely broken is none."""
        return tuple(self.named(place) for place, word in self._states.items() if word not in (CLEAR, BROKEN))

    # Questions ------------------------------------------------------------------------------------

    @property
    def stands(self) -> tuple[tuple[int, str], ...]:
        """What every place counts as: all that `trouble` and `own_trouble` go by."""
        return tuple(self._states.items())

    def trouble(self, way: Way) -> str:
        """Why the line forbids movement that way ('Beam closing 1 is not clear'), '' when it does not."""
        for place, word in self._states.items():
            if word != CLEAR and way in address(place).guards.ways:
                return self.named(place)
        return ""

    def own_trouble(self, way: Way) -> str:
        """As `trouble`, but a beam of both lets a gate that shuts on it turn round and open."""
        for place, word in self._states.items():
            guards = address(place).guards
            if word != CLEAR and way in guards.ways and not (guards is Guards.BOTH and way is Way.OPENING):
                return self.named(place)
        return ""

    @property
    def words(self) -> str:
        """The gravest thing to say of the line, '' when all is well."""
        if self.enrolled and self._taken.volts < table().least_volts:
            return f"Line has only {self._taken.volts:.1f} V"
        if not self._states:
            return ""
        grave = [place for place, word in self._states.items() if word != CLEAR]
        grave.sort(key=lambda place: self._states[place] == BROKEN)
        return self.named(grave[0]) if grave else ""

    def named(self, place: int) -> str:
        """'Beam closing 1: not clear'."""
        return f"Beam {address(place).name}: {self._states[place]}"

    @property
    def beams(self) -> tuple[tuple[Address, str], ...]:
        """Every address that is enrolled or answers, with how it stands."""
        return tuple((address(place), word) for place, word in self._states.items())

    @property
    def volts(self) -> float:
        """V on the line at the last poll."""
        return self._taken.volts

    def state(self) -> tuple[object, ...]:
        """Everything that later scans depend on."""
        return (
            tuple((place, head.value) for place, head in self.enrolled), repr(self._taken), self._poll,
            tuple(self._states.items()), tuple(self._found.items()),
            tuple((place, self._since.get(place)) for place in self._found
                  if self._found[place] != self._states.get(place)),
        )  # fmt: skip


def count(number: int, thing: str) -> str:
    """'no beam', '1 beam', '2 beams'."""
    return f"{number or 'no'} {thing}" + ("s" if number > 1 else "")
