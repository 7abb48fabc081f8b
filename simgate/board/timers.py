"""Due ticks of the board, kept sorted, so that the bench can ask what comes next and skip to it."""

from __future__ import annotations

from bisect import insort

from simgate.board.stimuli import Word


class Timer(Word):
    """What a due tick is for."""

    PAUSE = "pause"
    LAMP = "lamp"
    LIGHT = "light"  # the courtesy light goes out
    LOCK = "lock"  # the lock's pulse ends
    BATTERY = "battery"  # a gate that was turned round goes again where a low battery is to find it
    START = "start"  # the next stage of a start
    REMOTE = "remote"  # why a remote's code was refused is shown no longer


class Timers:
    """At most one due tick (ms) for each `Timer`."""

    __slots__ = ("_due",)

    def __init__(self) -> None:
        self._due: list[tuple[int, str]] = []  # names beside ticks: tuples of enums do not sort

    def set(self, timer: Timer, tick: int) -> None:
        """Let `timer` be due at `tick`, and no longer at any earlier set one."""
        self.drop(timer)
        insort(self._due, (tick, timer.value))

    def drop(self, timer: Timer) -> None:
        """Let `timer` not be due."""
        if self.due(timer) is not None:
            self._due = [entry for entry in self._due if entry[1] != timer.value]

    def clear(self) -> None:
        """Let nothing be due."""
        self._due = []

    def due(self, timer: Timer) -> int | None:
        """When `timer` is due, None when it does not run."""
        wanted = timer._value_  # what .value reads by a call of Python
        for tick, name in self._due:
            if name == wanted:
                return tick
        return None

    def next(self) -> int | None:
        """The earliest due tick, None when nothing runs."""
        return self._due[0][0] if self._due else None

    def take(self, tick: int) -> list[Timer]:
        """The timers due at `tick` or before, earliest first; they no longer run."""
        over = [Timer(name) for due, name in self._due if due <= tick]
        self._due = self._due[len(over) :]
        return over

    def state(self) -> tuple[object, ...]:
        """Every running timer with its due tick."""
        return tuple(self._due)
