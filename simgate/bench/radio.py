"""The air between remotes and board: which code can be heard now.

A remote's range falls with its cell: power goes with the square of the volts and, in free space, range with
the root of the power, so range goes with the volts. Two that send at once drown each other.

Beside the site's own there is one that the installer carries from gate to gate. A board hears it once it is
taught, like any other: then a remote that is not heard where this one is has itself to blame, and not the
receiver. It is nobody's key to the gate, so it is erased again (common practice).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simgate.board import radio
from simgate.board.radio import COUNTS, FAMILY, NOTHING, Frame
from simgate.wiring.heads import Remote, RemoteSpec

if TYPE_CHECKING:
    from simgate.wiring.harness import Harness

WEAK = 0.8  # share of a fresh cell's volts below which a remote says so (invented)
OWN = RemoteSpec("own-remote", "your own remote", FAMILY, 990_011, keys=2, counter=400)  # invented
DEAD = 0.4  # below it, it sends nothing (invented)


class Airwaves:
    """Everything that sends. remotes: the site's, and the one from the bag.

    sent: each remote's last code, as somebody who listens has it.
    """

    def __init__(self, harness: Harness) -> None:
        self._harness = harness
        self.remotes: dict[str, Remote] = {**harness.remotes, OWN.name: Remote(OWN)}
        self.sent: dict[str, Frame] = {}
        self._replayed: dict[str, Frame] = {}
        self._last = NOTHING

    def press(self, name: str, key: int) -> None:
        """A thumb goes down on a key: the next code."""
        remote = self.remotes[name]
        remote.down = key
        if remote.battery >= DEAD and not remote.dead:
            remote.counter = (remote.counter + 1) % COUNTS
            spec = remote.spec
            weak = remote.battery < WEAK
            self.sent[name] = Frame(spec.family, spec.serial, key, remote.counter, weak)

    def let_go(self, name: str) -> None:
        """The thumb comes up."""
        self.remotes[name].down = 0

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
        aerial = self._harness.aerial
        sending = [self.sent[name] for name, one in self.remotes.items() if one.down and reaches(one, aerial)]
        sending += self._replayed.values()
        now = tuple(sending) if len(sending) == 1 else NOTHING
        if now != self._last:
            self._last = now
        return self._last

    def state(self) -> tuple[object, ...]:
        """Everything that hands have changed here; the state of the site's remotes is the harness's."""
        own = self.remotes[OWN.name].state()
        used = () if own == Remote(OWN).state() else (own,)
        return tuple(repr(item) for item in self.sent.items()), tuple(self._replayed), *used


def reaches(remote: Remote, aerial: float) -> bool:
    """Whether a press of it comes through from where it is. aerial: the share of range that is left."""
    sends = remote.battery >= DEAD and not remote.dead
    return sends and remote.away <= remote.spec.range * remote.battery * aerial
