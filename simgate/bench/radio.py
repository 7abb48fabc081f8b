"""The air between remotes and board: which code can be heard now.

A remote's range falls with its cell: power goes with the square of the volts and, in free space, range with
the root of the power, so range goes with the volts. Two that send at once drown each other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simgate.board import radio
from simgate.board.radio import COUNTS, NOTHING, Frame

if TYPE_CHECKING:
    from simgate.wiring.harness import Harness
    from simgate.wiring.heads import Remote

WEAK = 0.8  # share of a fresh cell's volts below which a remote says so (invented)
DEAD = 0.4  # below it, it sends nothing (invented)


class Airwaves:
    """Everything that sends. sent: each remote's last code, as somebody who listens has it."""

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self.sent: dict[str, Frame] = {}
        self._replayed: dict[str, Frame] = {}
        self._last = NOTHING

    def press(self, name: str, key: int) -> None:
        """A thumb goes down on a key: the next code."""
        remote = self._harness.remotes[name]
        remote.down = key
        if remote.battery >= DEAD and not remote.dead:
            remote.counter = (remote.counter + 1) % COUNTS
            spec = remote.spec
            weak = remote.battery < WEAK
            self.sent[name] = Frame(spec.family, spec.serial, key, remote.counter, weak)

    def let_go(self, name: str) -> None:
        """The thumb comes up."""
        self._harness.remotes[name].down = 0

    def replay(self, name: str, on: bool) -> None:
        """Send a remote's last code again from beside the board, for as long as `on`."""
        if on:
            self._replayed[name] = self.sent[name]
        else:
            self._replayed.pop(name, None)

    def replaying(self, name: str) -> bool:
        """Whether a recorded code of that remote is being sent."""
        return name in self._replayed

    def now(self) -> radio.Air:
        """What the board can hear; the same object while that is the same."""
        sending = [self.sent[name] for name, remote in self._harness.remotes.items() if _reaches(remote)]
        sending += self._replayed.values()
        now = tuple(sending) if len(sending) == 1 else NOTHING
        if now != self._last:
            self._last = now
        return self._last

    def state(self) -> tuple[object, ...]:
        """Everything that hands have changed here; the remotes' own state is the harness's."""
        return tuple(repr(item) for item in self.sent.items()), tuple(self._replayed)


def _reaches(remote: Remote) -> bool:
    sends = remote.down and remote.battery >= DEAD and not remote.dead
    return bool(sends) and remote.away <= remote.spec.range * remote.battery
