"""Heads of the line's beams, and remotes: what hands and faults change on devices that hold a state.

The load of a head is copper like any other: a head that is taken away, or dead, draws no current. What it
makes of its switches, aim and lens is worked out where light and frames are (bench); here is only how it
stands, so that a fault of a head goes in and shows the way a fault of a wire does.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simgate.wiring.spec import WiringSpec

STRAIGHT = (0.0, 0.0)
OFF = "----"  # every address switch down, as a head comes out of its box


@dataclass(frozen=True, slots=True)
class HeadSpec:
    """A head as it is meant. switches: the settings of its address switches ('-2-4': 2 and 4 up).

    aim: (across, up) degrees off the other head. lens: fitted. dirt: share of light lost, 0 to 1.
    fitted: mounted and on its wires.
    """

    switches: str = OFF
    aim: tuple[float, float] = STRAIGHT
    lens: bool = True
    dirt: float = 0.0
    fitted: bool = True


class Head:
    """A head as it stands now; `Harness.changed` must be called after `fitted` changed.

    mount: (across, up) degrees that a new head looks past the other, on a post that is not quite true.
    """

    __slots__ = ("across", "dirt", "fitted", "lens", "mount", "spec", "switches", "up")

    def __init__(self, spec: HeadSpec) -> None:
        self.spec = spec
        self.fitted = spec.fitted
        self.switches, self.lens, self.dirt = spec.switches, spec.lens, spec.dirt
        self.across, self.up = spec.aim
        self.mount = STRAIGHT

    def start(self, spec: HeadSpec) -> None:
        """As a job has it at its start; `spec` stays what is meant."""
        self.fitted = spec.fitted
        self.switches, self.lens, self.dirt = spec.switches, spec.lens, spec.dirt
        self.across, self.up = self.mount = spec.aim

    def renew(self) -> None:
        """A new one in its place: switches down, lens in, clean, looking where its post makes it look."""
        self.fitted = True
        self.switches, self.lens, self.dirt = OFF, True, 0.0
        self.across, self.up = self.mount

    def state(self) -> tuple[object, ...]:
        """Everything about it that can change."""
        return self.switches, self.across, self.up, self.lens, self.dirt, self.fitted


@dataclass(frozen=True, slots=True)
class RemoteSpec:
    """A remote. family and serial: what its codes say of it. keys: how many. counter: of its codes so far.

    battery: its cell's voltage as a share of a fresh one's, 0 to 1. range: m with a fresh cell.
    """

    name: str
    label: str
    family: int
    serial: int
    keys: int
    counter: int = 0
    battery: float = 1.0
    range: float = 60.0


BESIDE = 5.0  # m; where a remote is that somebody presses beside the board


class Remote:
    """A remote as it stands now. down: the key under a thumb, 0 for none. away: m from the board.

    dead: it sends nothing, whatever its battery.
    """

    __slots__ = ("away", "battery", "counter", "dead", "down", "spec")

    def __init__(self, spec: RemoteSpec) -> None:
        self.spec = spec
        self.battery = spec.battery
        self.counter = spec.counter
        self.down = 0
        self.away = BESIDE
        self.dead = False

    def renew(self) -> None:
        """Repaired, with a fresh battery and its own code."""
        self.battery, self.dead = 1.0, False

    def state(self) -> tuple[object, ...]:
        """Everything about it that can change."""
        return self.battery, self.counter, self.down, self.away, self.dead


AERIAL = "aerial"  # of the board's receiver, as a place of faults and of repairs


def heads_of(spec: WiringSpec) -> dict[str, Head]:
    """The heads of a site by name, as they are meant."""
    return {device.name: Head(device.head) for device in spec.devices if device.head is not None}


def remotes_of(spec: WiringSpec) -> dict[str, Remote]:
    """The remotes of a site by name."""
    return {remote.name: Remote(remote) for remote in spec.remotes}


def states(articles: Iterable[Head | Remote]) -> tuple[tuple[object, ...], ...]:
    """The states of all, in order."""
    return tuple(article.state() for article in articles)
