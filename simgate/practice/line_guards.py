"""Beams of the line as guards of the closing gate: which the board knows, and which it was made to forget.

A beam that the board misses, or has found twice, keeps the gate from shutting, so it leaves nobody unguarded.
One that a roll-call was done without is gone for good: the gate shuts where it stood.
"""

from __future__ import annotations

from simgate.bench.device_view import HeadView
from simgate.bench.site_devices import LineBeam
from simgate.board.line_table import Address, address, place_of, table
from simgate.board.stimuli import Way
from simgate.practice.ending import Ending


def guarding_closing(ending: Ending) -> tuple[str, ...]:
    """Names of the addresses that guard closing, as the board has them; a fault there guards, too."""
    line = ending.snapshot.line
    known = {name for name, _ in line.beams} if line is not None else set()
    return tuple(one.name for one in table().address if one.name in known and _closing(one))


def forgotten(ending: Ending) -> tuple[str, ...]:
    """Labels of the site's beams that are meant to guard closing and that the board knows nothing of."""
    site, heads = ending.setup.site, {head.name: head for head in ending.snapshot.heads}
    meant = {one.name: one.head for one in site.wiring.devices}
    guarding, lost = guarding_closing(ending), []
    for beam in site.line_beams:
        head = meant[beam.sender]
        should = address(place_of(head.switches)) if head is not None else None
        if should is None or not _closing(should) or should.name in guarding:
            continue
        if _name_now(beam, heads) not in guarding:  # it may have been given another address of its kind
            lost.append(beam.label)
    return tuple(lost)


def _closing(one: Address) -> bool:
    return Way.CLOSING in one.guards.ways


def _name_now(beam: LineBeam, heads: dict[str, HeadView]) -> str:
    """The address that both heads of a beam have now, '' when they have none in common."""
    sender, receiver = heads[beam.sender], heads[beam.receiver]
    whole = sender.fitted and receiver.fitted and sender.switches == receiver.switches
    return address(place_of(sender.switches)).name if whole else ""
