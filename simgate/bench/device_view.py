"""Views of the line's heads and of the remotes: what eyes can see of them, and what the book shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simgate.bench.scan import Bench


@dataclass(frozen=True, slots=True)
class HeadView:
    """A head of the line as it can be seen. switches: '-2-4'. across, up: degrees off straight.

    dirty: can be seen on the lens. lit: the lamp on a receiver, which sees its sender; on a sender, that it
    has supply.
    """

    name: str
    beam: str
    label: str
    fitted: bool
    switches: str
    across: float
    up: float
    lens: bool
    dirty: bool
    lit: bool


@dataclass(frozen=True, slots=True)
class LineView:
    """The line as the board has it. beams: (name of the address, how it stands). words: gravest first."""

    volts: float
    enrolled: int  # heads
    beams: tuple[tuple[str, str], ...]
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RemoteView:
    """A remote in a hand. down: the key under a thumb, 0 for none. away: m from the board."""

    name: str
    label: str
    serial: int
    keys: int
    down: int
    away: float
    sent: bool  # pressed at least once, so that its code could be recorded
    replaying: bool


SEEN_DIRT = 0.2  # share of light lost from which a lens looks dirty


def heads(bench: Bench) -> tuple[HeadView, ...]:
    """Every head of the site."""
    views = []
    labels = {device.name: device.label for device in bench.setup.site.wiring.devices}
    for beam in bench.setup.site.line_beams:
        sees = bench.line.lit(bench.solution, beam)
        powered = bench.harness.head_powered(bench.solution, beam.sender)
        for name, lit in ((beam.sender, powered), (beam.receiver, sees)):
            head = bench.harness.heads[name]
            dirty = head.dirt >= SEEN_DIRT
            views.append(
                HeadView(name, beam.name, labels[name], head.fitted, head.switches, head.across, head.up,
                         head.lens, dirty, lit)
            )  # fmt: skip
    return tuple(views)


def line(bench: Bench) -> LineView:
    """What the board makes of the line; blank without power."""
    board = bench.board.line
    beams = tuple((address.name, word) for address, word in board.beams)
    return LineView(board.volts, len(board.enrolled), beams, board.faults)


def remotes(bench: Bench) -> tuple[RemoteView, ...]:
    """Every remote of the site, and the one from the bag."""
    return tuple(
        RemoteView(
            name, remote.spec.label, remote.spec.serial, remote.spec.keys, remote.down, remote.away,
            name in bench.air.sent, bench.air.replaying(name),
        )
        for name, remote in bench.air.remotes.items()
    )  # fmt: skip


def taught(bench: Bench) -> tuple[tuple[int, int, str], ...]:
    """(serial, key, what it calls for) of every key that the board knows."""
    return tuple((one.serial, one.key, one.use.value) for one in bench.board.radio.taught)
