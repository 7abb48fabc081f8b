"""Remotes: which keys the board knows, and which of the codes that it hears it obeys.

Each press sends a new count with the remote's serial number. Only a count ahead of the last one, and not
too far ahead, is obeyed, so that a code which somebody recorded is refused when it is sent again. A count
far ahead (a remote that a child played with, out of range) needs two presses in a row. This is the model of
rolling codes that general IT dictionaries describe; the size of the window is from memory, and this board's
own. What was taught is kept through power cuts.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

FAMILY = 4  # the one family of codes that this board's receiver reads
MEMORY = 12  # keys
WINDOW = 16  # counts ahead that a single press is obeyed at
COUNTS = 1 << 16
BEHIND = COUNTS >> 1


class Use(Enum):
    """What a taught key calls for."""

    CALL = "call"
    PART = "part call"
    LIGHT = "courtesy light"


@dataclass(frozen=True, slots=True)
class Frame:
    """A code on the air, for as long as a key is held. weak: the remote says that its battery is low."""

    family: int
    serial: int
    key: int
    counter: int
    weak: bool = False


@dataclass(frozen=True, slots=True)
class Taught:
    """One key that the board knows."""

    serial: int
    key: int
    use: Use

    @property
    def words(self) -> str:
        """'Remote 210: key 2'."""
        return f"Remote {self.serial}: key {self.key}"


Air = tuple[Frame, ...]
Pressed = tuple[tuple[Use, bool], ...]
NOTHING: Air = ()

OTHER_FAMILY = "Remote of another family"
OLD_CODE = "An old code was refused"
FAR_AHEAD = "Out of step: press once more"


class Radio:
    """The receiver and its memory. seen: what the bench last handed in. words: what was last refused.

    untold: whether that refusal is still to be told of; each one is, also when it is the same again.
    """

    def __init__(self) -> None:
        self.taught: tuple[Taught, ...] = ()
        self.seen: Air = NOTHING
        self.words = ""
        self.untold = False
        self.listening = False  # a page of the book waits for a key: it is to be shown, not obeyed
        self.offered: Frame | None = None  # what was heard on that page
        self._held: dict[Frame, Use] = {}
        self._counts: dict[int, int] = {}  # serial -> the last count that was obeyed
        self._far: dict[int, int] = {}  # serial -> a count far ahead that was heard once

    # The scan -------------------------------------------------------------------------------------

    def scan(self, heard: Air) -> Pressed:
        """Take in what is on the air; returns what was called for (True) and let go (False)."""
        if heard is self.seen:
            return ()
        before, self.seen = self.seen, heard
        pressed: list[tuple[Use, bool]] = []
        for frame in [frame for frame in self._held if frame not in heard]:
            pressed.append((self._held.pop(frame), False))
        for frame in heard:
            if frame not in before:
                use = self._hear(frame)
                if use is not None:
                    self._held[frame] = use
                    pressed.append((use, True))
        return tuple(pressed)

    def start(self, heard: Air) -> None:
        """Power came: a key that is held already is no call."""
        self.seen = heard
        self._held.clear()
        self.words = ""
        self.untold = False

    def holds(self, use: Use) -> bool:
        """Whether a key for this is held now."""
        return use in self._held.values()

    def _hear(self, frame: Frame) -> Use | None:
        """What a code that begins now calls for."""
        self.words = ""
        if self.listening:
            self.offered = frame
            return None
        found = self._find(frame)
        if found is None:
            return None
        if not self._in_step(frame):
            return None
        return found.use

    def _find(self, frame: Frame) -> Taught | None:
        for one in self.taught:
            if frame.family == FAMILY and (one.serial, one.key) == (frame.serial, frame.key):
                return one
        return None

    def _in_step(self, frame: Frame) -> bool:
        serial, counter = frame.serial, frame.counter
        ahead = (counter - self._counts[serial]) % COUNTS
        if ahead == 0 or ahead >= BEHIND:
            return self._refuse(OLD_CODE)
        second = self._far.pop(serial, None)
        if ahead > WINDOW and counter != (-1 if second is None else (second + 1) % COUNTS):
            self._far[serial] = counter
            return self._refuse(FAR_AHEAD)
        self._counts[serial] = counter
        return True

    def _refuse(self, words: str) -> bool:
        self.words = words
        self.untold = True
        return False

    # Teaching -------------------------------------------------------------------------------------

    @property
    def full(self) -> bool:
        """Whether no further key finds room."""
        return len(self.taught) >= MEMORY

    @property
    def strange(self) -> bool:
        """Whether what was heard while listening is none of this receiver's codes."""
        return self.offered is not None and self.offered.family != FAMILY

    def offer(self) -> str:
        """What could be taught of what was heard while listening, in words; '' for nothing yet."""
        frame = self.offered
        if frame is None or self.strange:
            return ""
        return Taught(frame.serial, frame.key, Use.CALL).words

    def teach(self, frame: Frame, use: Use) -> str:
        """Teach the key behind `frame`. Returns why not, in words, or ''.

        Of a known remote an older code is a copy, and would bring all the copies after it back to life.
        """
        if frame.family != FAMILY:
            return OTHER_FAMILY
        last = self._counts.get(frame.serial, frame.counter)
        if (frame.counter - last) % COUNTS >= BEHIND:
            return OLD_CODE
        known = self._find(frame)
        if known is None and self.full:
            return f"Memory is full: {MEMORY} keys"
        taught = Taught(frame.serial, frame.key, use)
        if known is None:
            self.taught += (taught,)
        else:
            self.taught = tuple(taught if one is known else one for one in self.taught)
        self._counts[frame.serial] = frame.counter
        self._far.pop(frame.serial, None)
        return ""

    def erase(self, taught: Taught) -> None:
        """Forget one key."""
        self.taught = tuple(one for one in self.taught if one != taught)
        if all(one.serial != taught.serial for one in self.taught):
            self._counts.pop(taught.serial, None)
            self._far.pop(taught.serial, None)

    def erase_all(self) -> None:
        """Forget every key."""
        self.taught = ()
        self._counts.clear()
        self._far.clear()

    def state(self) -> tuple[object, ...]:
        """Everything that later scans depend on."""
        return (
            repr(self.taught), tuple(self._counts.items()), tuple(self._far.items()), repr(self.seen),
            tuple(repr(frame) for frame in self._held), repr(self.offered), self.listening, self.words,
            self.untold,
        )  # fmt: skip
