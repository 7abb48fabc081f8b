"""Faults of the line's heads and of remotes: each is one change to how the article stands.

As with wires, a fault is over when the article no longer stands as the fault left it, whoever put it right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from simgate.wiring.fault_kind import Kind
from simgate.wiring.harness import Harness
from simgate.wiring.heads import AERIAL, Head
from simgate.wiring.spec import Fault, FaultKind

LOAD = "head"  # the part of a head that draws its current
AWRY = 12.0  # degrees that a knocked head looks past the other
GRIME = 0.95  # share of the light that is lost in a head that nobody wiped for years
LOW = 0.6  # of a fresh cell's volts
DEAF = 0.05  # of its range is left to a remote when the aerial is off its screw (from memory: a few metres)


def other_switches(switches: str) -> str:
    """The setting that somebody makes who slips at switch 4."""
    return switches[:3] + ("-" if switches[3] == "4" else "4")


def _heads(harness: Harness) -> Iterator[str]:
    return (name for name, head in harness.heads.items() if head.fitted)


def _lenses(harness: Harness) -> Iterator[str]:
    return (name for name, head in harness.heads.items() if head.fitted and head.lens)


def _remotes(harness: Harness) -> Iterator[str]:
    return iter(harness.remotes)


def _on_head(
    put: Callable[[Head], None], undo: Callable[[Head], None], present: Callable[[Head], bool],
    places: Callable[[Harness], Iterator[str]] = _heads,
) -> Kind:  # fmt: skip
    """A kind that changes nothing but a head. A head that is not there has no other fault."""
    return Kind(
        places,
        lambda harness, fault: put(harness.heads[fault.place]),
        lambda harness, fault: undo(harness.heads[fault.place]),
        lambda harness, fault: _has(harness, fault) and present(harness.heads[fault.place]),
    )


def _has(harness: Harness, fault: Fault) -> bool:
    return fault.place in harness.heads and harness.heads[fault.place].fitted


def _misset(head: Head) -> None:
    head.switches = other_switches(head.spec.switches)


def _reset(head: Head) -> None:
    head.switches = head.spec.switches


def _unlens(head: Head) -> None:
    head.lens = False


def _lens(head: Head) -> None:
    head.lens = True


def _soil(head: Head) -> None:
    head.dirt = GRIME


def _wipe(head: Head) -> None:
    head.dirt = head.spec.dirt


def _knock(head: Head) -> None:
    head.across = head.spec.aim[0] + (AWRY if head.spec.aim[0] <= 0.0 else -AWRY)


def _straighten(head: Head) -> None:
    head.across, head.up = head.spec.aim


def _awry(head: Head) -> bool:
    return abs(head.across - head.spec.aim[0]) > AWRY / 2


def _take(head: Head) -> None:
    head.fitted = False


def _bring(head: Head) -> None:
    head.fitted = True


def _kill(on: bool) -> Callable[[Harness, Fault], None]:
    return lambda harness, fault: harness.fitting(fault.place).kill(LOAD, on)


def _set_battery(share: float | None) -> Callable[[Harness, Fault], None]:
    def put(harness: Harness, fault: Fault) -> None:
        remote = harness.remotes[fault.place]
        remote.battery = remote.spec.battery if share is None else share

    return put


def _set_dead(dead: bool) -> Callable[[Harness, Fault], None]:
    return lambda harness, fault: setattr(harness.remotes[fault.place], "dead", dead)


ARTICLE_KINDS: dict[FaultKind, Kind] = {
    FaultKind.WRONG_ADDRESS: _on_head(_misset, _reset, lambda head: head.switches != head.spec.switches),
    FaultKind.MISSING_LENS: _on_head(_unlens, _lens, lambda head: not head.lens, _lenses),
    FaultKind.DIRTY_HEAD: _on_head(_soil, _wipe, lambda head: head.dirt >= GRIME),
    FaultKind.KNOCKED_HEAD: _on_head(_knock, _straighten, _awry),
    FaultKind.DEAD_HEAD: Kind(
        _heads,
        _kill(True),
        _kill(False),
        lambda harness, fault: _has(harness, fault) and LOAD in harness.fitting(fault.place).dead,
    ),
    FaultKind.MISSING_HEAD: Kind(
        _heads,
        lambda harness, fault: _take(harness.heads[fault.place]),
        lambda harness, fault: _bring(harness.heads[fault.place]),
        lambda harness, fault: fault.place in harness.heads and not harness.heads[fault.place].fitted,
    ),
    FaultKind.WEAK_REMOTE: Kind(
        _remotes,
        _set_battery(LOW),
        _set_battery(None),
        lambda harness, fault: fault.place in harness.remotes and harness.remotes[fault.place].battery <= LOW,
    ),
    FaultKind.AERIAL_OFF: Kind(
        lambda harness: iter((AERIAL,) if harness.remotes else ()),
        lambda harness, fault: setattr(harness, "aerial", DEAF),
        lambda harness, fault: setattr(harness, "aerial", 1.0),
        lambda harness, fault: harness.aerial < 1.0,
    ),
    FaultKind.DEAD_REMOTE: Kind(
        _remotes,
        _set_dead(True),
        _set_dead(False),
        lambda harness, fault: fault.place in harness.remotes and harness.remotes[fault.place].dead,
    ),
}
