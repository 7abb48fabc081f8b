"""Hand-made endings, so that goals, conduct and marks are tested without running a gate."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from simgate.bench.actions import Action
from simgate.bench.record import InputView, LeafView, ScanRecord, Snapshot, WireView
from simgate.bench.setup import Setup
from simgate.bench.site import Site, load_site
from simgate.board.modes import shipped_modes
from simgate.board.signals import Acted, Note, NoteKind
from simgate.board.stimuli import INPUTS, Condition, Response, Stimulus, Task
from simgate.practice.ending import Ending
from simgate.practice.goals import Goal, Judged, judge
from simgate.practice.job import Hint, Job
from simgate.wiring.faults import Fault, FaultKind

C, R, S = Condition, Response, Stimulus

LATCH_CYCLE = (
    (C.SHUT, S.CALL, R.OPEN, C.OPENING),
    (C.OPENING, S.ARRIVED, R.REST, C.OPEN),
    (C.OPEN, S.CALL, R.CLOSE, C.CLOSING),
    (C.CLOSING, S.ARRIVED, R.REST, C.SHUT),
)


@cache
def site(name: str = "farm-double") -> Site:
    """A shipped site, read once."""
    return load_site(name)


def snapshot(place: Site, tick: int = 60_000) -> Snapshot:
    """A healthy gate, shut, powered, learned, in Latch, handed over."""
    return Snapshot(
        tick=tick,
        mains=True,
        powered=True,
        leaves=tuple(leaf(name) for name, _ in zip("AB", place.plant.leaves, strict=False)),
        condition=C.SHUT,
        task=Task.MODE,
        display=("Gate shut", "Ready: Latch"),
        keys_down=frozenset(),
        inputs=tuple(InputView(one.value, 23.0, True) for one in INPUTS),
        lamp=False,
        beams=(),
        devices=(),
        wires=tuple(WireView(wire.name, wire.colour, wire.a, wire.b, False) for wire in place.wiring.wires),
        links=place.wiring.links,
        fuses=("mains", "aux"),
        points=(),
        meter=None,
        inside=False,
        mode="Latch",
        table=shipped_modes()["Latch"],
        settings={},
        learned=True,
        stale=False,
        pause_left=0,
        last=None,
        marked=True,
        finished=True,
    )


def leaf(name: str, degrees: float = 0.0) -> LeafView:
    """A leaf at rest."""
    return LeafView(name, 2.2, math.radians(degrees), math.radians(90), 0.0, 0.0, False, None, 0.0)


def did(tick: int, *actions: Action) -> ScanRecord:
    """A scan in which hands did something."""
    return ScanRecord(tick, actions, (), (), ())


def noted(tick: int, kind: NoteKind, detail: str = "") -> ScanRecord:
    """A scan in which the board noted something."""
    return ScanRecord(tick, (), (), (Note(tick, kind, detail),), ())


def kept(tick: int, detail: str) -> ScanRecord:
    """A scan in which a setting was kept: 'mode = Latch'."""
    return noted(tick, NoteKind.SETTING_KEPT, detail)


def acted(
    tick: int, *cells: tuple[Condition, Stimulus, Response, Condition], every: int = 1000
) -> list[ScanRecord]:
    """Scans in which one cell after another acted, `every` ms apart."""
    return [
        ScanRecord(at, (), (Acted(at, condition, stimulus, response, after, False),), (), ())
        for at, (condition, stimulus, response, after) in zip(
            range(tick, tick + every * len(cells), every), cells, strict=True
        )
    ]


def ending(
    records: Sequence[ScanRecord] = (),
    *,
    faults: Sequence[Fault] = (),
    place: str = "farm-double",
    mains: bool = True,
    left_on: bool = True,
    begins: str = "Latch",
    searched: bool = False,
    **end: object,
) -> Ending:
    """An ending of a run with those records that began in mode `begins`; `end` changes the snapshot.

    mains, left_on: whether the isolator was on at the start, and at the end. searched: a fault was in.
    """
    view = replace(snapshot(site(place)), mains=left_on, **end)  # type: ignore[arg-type]  # tests name real fields
    begun = (Fault(FaultKind.PARTED_WIRE, "stop-feed"),) if searched else ()
    settings = (("mode", begins),)
    setup = Setup("made", site(place), settings=settings, learned=True, faults=begun, mains=mains)
    return Ending(view, tuple(records), tuple(faults), setup)


def judged(check: str, at: Ending, **given: str | tuple[str, ...]) -> Judged:
    """What a check says of an ending."""
    values = {key: (value,) if isinstance(value, str) else value for key, value in given.items()}
    return judge(Goal(check, "words", tuple(values.items())), at)


def job(*goals: Goal, conduct: tuple[str, ...] = (), hints: tuple[Hint, ...] = (), minutes: int = 10) -> Job:
    """A job with those goals on the farm gate."""
    return Job(
        name="made",
        title="A made job",
        learner="apprentice",
        minutes=minutes,
        briefing="Do it.",
        caution="Mind it.",
        site=site(),
        goals=goals,
        conduct=conduct,
        hints=hints,
    )
