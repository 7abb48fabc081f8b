"""The debrief: marks and records told as a story, as data. Screens and the command line draw it.

If each screen picked its own moments from the record, the apprentice and the trainer would talk about
two different runs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from simgate.bench import actions as a
from simgate.bench.record import Happening, ScanRecord, reach
from simgate.bench.swing import YOU
from simgate.board.line_table import address, place_of
from simgate.board.mode_words import spelt
from simgate.board.modes import facts, shipped_modes
from simgate.board.settings_table import catalogue
from simgate.board.signals import Note, NoteKind
from simgate.board.stimuli import Response
from simgate.practice.conduct import ConductFault
from simgate.practice.diagnosis.trail import Repair
from simgate.practice.ending import Ending
from simgate.practice.fault_finding import measure
from simgate.practice.finding_told import FaultFinding, told
from simgate.practice.goals import Judged
from simgate.practice.job import Job
from simgate.practice.marks import PASS_MARK, Marks, Term, mark_measured
from simgate.practice.names import PRESSED, WORKED, plain, point
from simgate.wiring.spec import DeviceKind


@dataclass(frozen=True, slots=True)
class Moment:
    """One line of what happened. own: done by the person; else the gate's or the board's doing."""

    tick: int
    text: str
    own: bool


@dataclass(frozen=True, slots=True)
class Debrief:
    """A run told: what was asked, what was done and when, what it is worth and why.

    finding: how the fault was found; None where none was hidden. guesses, swaps: repairs before proof, and
    sound parts renewed.
    """

    title: str
    asked: tuple[str, ...]
    done: tuple[Moment, ...]
    goals: tuple[Judged, ...]
    conduct: tuple[ConductFault, ...]
    terms: tuple[Term, ...]
    total: int
    passed: bool
    verdict: str
    finding: FaultFinding | None = None
    guesses: tuple[Moment, ...] = ()
    swaps: tuple[Moment, ...] = ()


def debrief(job: Job, ending: Ending) -> Debrief:
    """The story of a run of `job`."""
    found = measure(job, ending)
    kinds = {device.name: device.kind for device in job.site.wiring.devices}
    marks = mark_measured(job, ending, found)
    return Debrief(
        title=job.title,
        asked=tuple(goal.words for goal in job.goals),
        done=tuple(
            _gathered(
                moment
                for record in ending.records
                for moment in _moments(record, reach(ending.snapshot.leaves), kinds)
            )
        ),
        goals=marks.goals,
        conduct=marks.conduct,
        terms=marks.terms,
        total=marks.total,
        passed=marks.passed,
        verdict=_verdict(marks),
        finding=None if found is None else told(found),
        guesses=() if found is None else _repairs(found.unproven),
        swaps=() if found is None else _repairs(found.needless),
    )


def _repairs(repairs: Iterable[Repair]) -> tuple[Moment, ...]:
    return tuple(Moment(one.tick, TOLD[type(one.action)](one.action), own=True) for one in repairs)


def _verdict(marks: Marks) -> str:
    if not marks.marked:
        return "Not marked: the trainer's drawer was used, or this was a rehearsal."
    if not marks.handed_over:
        return f"Not handed over. As it stands: {marks.total} of 100."
    if marks.passed:
        return f"Passed with {marks.total} of 100."
    unmet = len([goal for goal in marks.goals if not goal.met])
    reasons = [f"{unmet} goal{'s' if unmet > 1 else ''} not met"] if unmet else []
    reasons += [f"{marks.total} marks, {PASS_MARK} are needed"] if marks.total < PASS_MARK else []
    return f"Not passed: {' and '.join(reasons)}."


def _moments(record: ScanRecord, room: str, kinds: Mapping[str, DeviceKind]) -> Iterator[Moment]:
    for action in record.actions:
        text = TOLD[type(action)](action)
        if text and isinstance(action, a.Operate):
            kind = kinds.get(action.device, DeviceKind.BUTTON_NO)
            text = WORKED.get(kind, PRESSED).format(plain(action.device))
        text += room if isinstance(action, a.Step) else ""
        if text:
            yield Moment(record.tick, text, own=True)
    for acted in record.acted:
        if acted.response is Response.IGNORE:
            continue  # every button let go again is one, and nothing came of it
        cell = f"{spelt(acted.stimulus)} while {plain(acted.condition.value)}: {acted.response.value}"
        refused = f", not allowed: {acted.refused}" if acted.refused else ""
        yield Moment(record.tick, f"{cell}{refused}", own=False)
    for note in record.notes:
        if note.kind in NOTED:
            yield Moment(record.tick, _note(note), own=False)
    for one in record.passing:
        if one.happening is Happening.STRUCK:
            who = one.kind if one.kind == YOU else f"the {one.kind}"
            yield Moment(record.tick, f"leaf {one.leaf} struck {who}", own=False)


def _gathered(moments: Iterable[Moment]) -> Iterator[Moment]:
    """What a person did many times on end is one line: a head is aimed in dozens of small turns."""
    for own, run in groupby(moments, lambda moment: moment.text if moment.own else ""):
        first, *more = run
        if own and more:
            yield replace(first, text=f"{first.text}, {len(more) + 1} times on end")
        else:
            yield first
            yield from more


def _note(note: Note) -> str:
    return NOTED[note.kind](note.detail)


def _setting(detail: str) -> str:
    """'pause = 20' as 'book: Pause before shutting is now 20 s', and no second 'is' after 'END-O-A is'."""
    key, _, value = detail.partition(" = ")
    setting = catalogue(facts(shipped_modes())).get(key)
    if setting is None:
        return f"book: {plain(key)} is now {value}"
    return f"book: {setting.name.removesuffix(' is')} is now {value} {setting.unit}".rstrip()


NOTED: dict[NoteKind, Callable[[str], str]] = {
    NoteKind.JOG: lambda detail: f"jog: leaf {detail}",
    NoteKind.LEARN_STARTED: lambda _: "learn cycle begun",
    NoteKind.LEARN_DONE: lambda _: "learn cycle complete",
    NoteKind.LEARN_ABORTED: lambda detail: f"learn cycle broken off: {detail}",
    NoteKind.SETTING_KEPT: _setting,
    NoteKind.RESET: lambda _: "book: everything back to default",
    NoteKind.REFUSED: lambda detail: f"refused: {detail}",
    NoteKind.BATTERY: lambda detail: detail.lower(),
    NoteKind.SERVICE: lambda detail: f"service done at {detail} cycles",
    NoteKind.TEST: lambda detail: f"self-test: {detail}",
    NoteKind.POWER: lambda detail: f"power {detail}",
    NoteKind.ROLL_CALL: lambda detail: f"roll-call: {detail}",
    NoteKind.KEY_TAUGHT: lambda detail: f"taught: {detail.replace(' = ', ' is ')}",
    NoteKind.KEY_ERASED: lambda detail: f"erased: {detail}",
    NoteKind.CODE_REFUSED: lambda detail: f"remote: {detail.lower()}",
}


def _silent(action: Any) -> str:
    """Key presses and letting go again: what they led to is told by the board's notes."""
    return ""


def _probed(action: a.Probe) -> str:
    return f"{action.instrument} on {point(action.a)}" + (f" and {point(action.b)}" if action.b else "")


def _place(place: str) -> str:
    """Where a fault is: a wire or a fuse, or two points as 'board.STOP|board.COM'."""
    return " and ".join(point(one) for one in place.split("|"))


TOLD: dict[type, Callable[[Any], str]] = {
    a.PressKey: _silent,
    a.Operate: lambda action: PRESSED.format(plain(action.device)) if action.down else "",
    a.Block: lambda action: f"{'broke' if action.blocked else 'cleared'} {plain(action.beam)}",
    a.PlaceBody: lambda action: f"put a test body in the way of leaf {action.leaf}",
    a.RemoveBody: lambda action: f"took the test body away from leaf {action.leaf}",
    a.Release: lambda action: f"{'released' if action.released else 'coupled'} leaf {action.leaf}",
    a.Push: lambda action: f"pushed leaf {action.leaf} with {action.newton:g} N" if action.newton else "",
    a.Mains: lambda action: f"switched the mains {'on' if action.on else 'off'}",
    a.Step: lambda action: f"stepped {'into' if action.inside else 'out of'} ",
    a.Send: lambda action: f"sent a {action.kind} {'in from the road' if action.way == 'in' else 'out'}",
    a.ClearWay: lambda action: "cleared the way",
    a.SetSwitches: lambda action: (
        f"set the switches of {plain(action.head)} to {address(place_of(action.switches)).name}"
    ),
    a.Turn: lambda action: f"turned {plain(action.head)}",
    a.FitLens: lambda action: (
        f"{'put a lens into' if action.fitted else 'took the lens out of'} {plain(action.head)}"
    ),
    a.CleanLens: lambda action: f"wiped {plain(action.head)}",
    a.FitHead: lambda action: f"{'fitted a new' if action.fitted else 'took away the'} {plain(action.head)}",
    a.Sun: lambda action: f"had the low sun shine with {action.percent:g} %",
    a.RemoteKey: lambda action: f"pressed key {action.key} of {plain(action.remote)}" if action.down else "",
    a.CarryRemote: lambda action: f"carried {plain(action.remote)} to {action.metres:g} m",
    a.FreshBattery: lambda action: f"put a fresh battery into {plain(action.remote)}",
    a.ReplayCode: lambda action: f"sent a recorded code of {plain(action.remote)}" if action.on else "",
    a.AddLink: lambda action: f"linked {point(action.a)} to {point(action.b)}",
    a.RemoveLink: lambda action: f"took out the link {point(action.a)} to {point(action.b)}",
    a.PartWire: lambda action: f"undid {plain(action.wire)}",
    a.RemakeWire: lambda action: f"made {plain(action.wire)} good",
    a.MoveWire: lambda action: f"moved {plain(action.wire)} to {point(action.to)}",
    a.SwapWires: lambda action: f"changed over {plain(action.a)} and {plain(action.b)}",
    a.ReplaceFuse: lambda action: f"fitted a new {action.fuse} fuse",
    a.EndResistor: lambda action: (
        f"{'put an end resistor to' if action.fitted else 'took the end resistor from'} {plain(action.edge)}"
    ),
    a.TestPlug: lambda action: (
        f"{'put the test plug across' if action.fitted else 'took the test plug off'} "
        f"{point(action.a)} and {point(action.b)}"
    ),
    a.SpareBeam: lambda action: (
        f"{'connected a spare beam' if action.connected else 'took the spare beam off'} "
        f"at {plain(action.relay_beam)}"
    ),
    a.TakeBattery: lambda action: f"{'took the battery off' if action.off else 'put the battery on again'}",
    a.Rain: lambda action: f"had it rain with {action.percent:g} %" if action.percent else "had it dry up",
    a.Inspect: lambda action: f"looked closely: {action.how} of {plain(action.of)}",
    a.Renew: lambda action: f"put right: {plain(action.device)}",
    a.Probe: lambda action: _probed(action),
    a.PutAway: _silent,
    a.OpenDrawer: lambda action: "trainer: opened the fault drawer",
    a.Inject: lambda action: f"trainer: {plain(action.kind)} put in at {_place(action.place)}",
    a.Mend: lambda action: f"trainer: {plain(action.kind)} mended at {_place(action.place)}",
    a.TakeHint: lambda action: "took a hint",
    a.AskNext: lambda action: "asked what a good hand would look at next",
    a.HandOver: lambda action: "handed over",
}
