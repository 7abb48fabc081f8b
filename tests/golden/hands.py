"""A person at the bench, for scripted runs: presses keys and reads the display, as somebody would.

It finds its way through the set-up book by what stands on the display, so that a script says what is to
be set and not how many times a key is pressed. A book that could not be walked by reading it would fail
here first.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from simgate.bench import actions as do
from simgate.bench.actions import Action
from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Condition, Key

TAP = 120  # ms that a finger rests on a key, and that it takes to read what came of it
AT_STOP = 0.002  # rad; a leaf nearer to its stop than this touches it, to the eye
MOST = 250  # presses after which a person would give up


class Lost(AssertionError):
    """The display never showed what the script was looking for."""


class Person:
    """Hands and eyes at one bench."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        bench.run(500)

    def see(self) -> Snapshot:
        """The bench as it stands."""
        return self.bench.snapshot()

    def lines(self) -> tuple[str, str]:
        """The display."""
        return self.see().display

    def do(self, *actions: Action) -> None:
        """Do one thing after another, a moment apart."""
        for action in actions:
            self.bench.act(action)
            self.bench.run(200)

    def wait(self, until: Callable[[Snapshot], bool], seconds: int = 120) -> None:
        """Wait until something is so. Raises Lost when it is not so in time."""
        for _ in range(seconds * 10):
            if until(self.see()):
                return
            self.bench.run(100)
        raise Lost(f"not so after {seconds} s; the display says {self.lines()}")

    def wait_for(self, condition: Condition) -> None:
        """Wait until the gate has come to `condition`."""
        self.wait(lambda view: view.condition is condition)

    # Keys and buttons -----------------------------------------------------------------------------

    def hold(self, key: Key, ms: int) -> None:
        """Hold a key down for `ms`."""
        self.bench.act(do.PressKey(key, True))
        self.bench.run(ms)
        self.bench.act(do.PressKey(key, False))
        self.bench.run(TAP)

    def tap(self, key: Key) -> None:
        """Press a key and let go."""
        self.hold(key, TAP)

    def press(self, device: str) -> None:
        """Press a button and let go."""
        self.do(do.Operate(device, True), do.Operate(device, False))

    # The set-up book ------------------------------------------------------------------------------

    def walk(self, key: Key, found: Callable[[tuple[str, str]], bool]) -> None:
        """Tap `key` until the display shows what is looked for; Lost when it changes no more."""
        for _ in range(MOST):
            before = self.lines()
            if found(before):
                return
            self.tap(key)
            if self.lines() == before:
                break
        raise Lost(f"the display came to a halt at {self.lines()}")

    def turn_to(self, chapter: str, item: str) -> None:
        """Open the book at an item of a chapter."""
        if not self.lines()[1].startswith("Chapter "):
            self.walk(Key.KEEP, lambda lines: lines[0] == "Set-up book")
        self.walk(Key.LESS, lambda lines: lines[1].startswith("Chapter 1 "))
        self.walk(Key.MORE, lambda lines: lines[1].endswith(f": {chapter}"))
        self.tap(Key.NEXT)
        self.walk(Key.MORE, lambda lines: item in (lines[0], *lines[1:]))

    def set(self, chapter: str, item: str, value: str) -> None:
        """Put a setting to `value` as the display writes it, and keep it."""
        self.turn_to(chapter, item)
        self.tap(Key.NEXT)
        ways = (Key.MORE, Key.LESS)
        if _number(self.value()) > _number(value):
            ways = (Key.LESS, Key.MORE)
        for way in ways:
            try:
                self.walk(way, lambda lines: _value(lines[1]) == value)
            except Lost:
                continue
            break
        assert self.value() == value
        self.tap(Key.KEEP)
        self.walk(Key.BACK, lambda lines: lines[0] == "Keep the changes?")
        self.tap(Key.KEEP)

    def value(self) -> str:
        """The value on a page where one is changed."""
        return _value(self.lines()[1])

    def shut_book(self) -> None:
        """Leave the book."""
        self.walk(Key.BACK, lambda lines: lines[0] == "Set-up book")
        self.tap(Key.BACK)

    # Work from the book ---------------------------------------------------------------------------

    def jog(self, leaf: str, opens: Key = Key.MORE) -> None:
        """Jog a leaf open for a moment with the key that really opens it, then shut with the other."""
        shuts = Key.LESS if opens is Key.MORE else Key.MORE
        self.turn_to("Learn", f"Jog leaf {leaf}")
        self.tap(Key.NEXT)
        self.hold(opens, 3000)
        self.bench.act(do.PressKey(shuts, True))
        self.wait(lambda view: all(one.angle < AT_STOP for one in view.leaves if one.name == leaf), 30)
        self.bench.act(do.PressKey(shuts, False))
        self.tap(Key.BACK)
        self.shut_book()

    def learn(self) -> None:
        """Start the learn cycle and wait until it is done."""
        self.turn_to("Learn", "Learn cycle")
        self.tap(Key.NEXT)
        self.hold(Key.KEEP, 2200)
        self.wait(lambda view: self.noted(NoteKind.LEARN_DONE), 300)

    def noted(self, kind: NoteKind) -> bool:
        """Whether the board has noted such a thing in this run."""
        return any(note.kind is kind for record in self.bench.records for note in record.notes)

    def cycle(self) -> None:
        """One call opens, the next one shuts: a whole cycle in Latch."""
        self.press("call-button")
        self.wait_for(Condition.OPEN)
        self.press("call-button")
        self.wait_for(Condition.SHUT)

    def dead(self, *work: Action) -> None:
        """Do work with the mains, and a battery where there is one, switched off for it."""
        battery = self.see().battery is not None
        off = [do.TakeBattery(True)] if battery else []
        on = [do.TakeBattery(False)] if battery else []
        self.do(do.Mains(False), *off, *work, *on, do.Mains(True))
        self.bench.run(1000)


def _value(line: str) -> str:
    return line.strip("< >")


def _number(text: str) -> float:
    match = re.match(r"-?[\d.]+", text)
    return float(match.group()) if match else 0.0
