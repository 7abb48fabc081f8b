"""Named checks: what a job may ask for, and whether the gate and the run show it.

A job file names checks from the registry at the foot of this file and puts them in its own words. A
check reads an `Ending` and answers with a plain sentence, so that 'not met' always says what is missing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from simgate.bench.actions import MoveWire, SwapWires
from simgate.board.mode_words import spelt
from simgate.board.modes import facts, shipped_modes
from simgate.board.settings_table import catalogue
from simgate.board.signals import Acted, NoteKind
from simgate.board.stimuli import NORMALLY_CLOSED, Condition, Response, Stimulus
from simgate.board.tuning import EndUse
from simgate.plant.spec import LeafKind
from simgate.practice import device_goals, edge_goals, motion_goals
from simgate.practice.ending import Ending
from simgate.wiring.faults import FaultKind

SHUT = {LeafKind.SWINGS: math.radians(1.0), LeafKind.SLIDES: 0.02}
"""How near, rad or m, to its shut stop a leaf is shut to the eye."""
Given = Mapping[str, tuple[str, ...]]  # a parameter of one value is a tuple of one


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a check is met, and the sentence that says why or why not."""

    met: bool
    why: str


@dataclass(frozen=True, slots=True)
class Parameter:
    """A parameter of a check. choices: every allowed value, asked for when a file is read.

    many: whether a list of them may be given, any of which will do.
    """

    choices: Callable[[], Sequence[str]]
    needed: bool = True
    many: bool = False
    any_word: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """One entry of the registry."""

    judge: Callable[[Ending, Given], Verdict]
    parameters: Mapping[str, Parameter] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Goal:
    """A goal of a job: a check with its parameters, and the words in which it is asked."""

    check: str
    words: str
    given: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Judged:
    """A goal and what became of it."""

    words: str
    met: bool
    why: str


def judge(goal: Goal, ending: Ending) -> Judged:
    """Whether `goal` is met at `ending`."""
    verdict = CHECKS[goal.check].judge(ending, dict(goal.given))
    return Judged(goal.words, verdict.met, verdict.why)


# The state at the end -----------------------------------------------------------------------------


def _learned_and_fresh(ending: Ending, given: Given) -> Verdict:
    if not ending.snapshot.learned:
        return Verdict(False, "the board has no learn cycle")
    if ending.snapshot.stale:
        return Verdict(False, "something that the learn cycle measured was changed after it")
    return Verdict(True, "the learn cycle is complete and nothing it measured has changed since")


def _mode_is(ending: Ending, given: Given) -> Verdict:
    mode = ending.snapshot.mode
    return Verdict(mode in given["mode"], f"the gate is left in {mode}")


def _fault_mended(ending: Ending, given: Given) -> Verdict:
    left = [fault for fault in ending.faults if fault.kind.value in given.get("kind", (fault.kind.value,))]
    return Verdict(not left, "what was wrong is still wrong" if left else "what was wrong is made good")


def _gate_shut(ending: Ending, given: Given) -> Verdict:
    ajar = [leaf.name for leaf in ending.snapshot.leaves if leaf.place > SHUT[leaf.kind]]
    if ajar:
        return Verdict(
            False, f"leaf {' and leaf '.join(ajar)} {'stands' if len(ajar) == 1 else 'stand'} open"
        )
    return Verdict(True, "every leaf is at its shut stop")


def _guards_made(ending: Ending, given: Given) -> Verdict:
    broken = [
        view.terminal
        for view in ending.snapshot.inputs
        if view.terminal in given.get("terminal", _GUARDS) and not view.made
    ]
    if broken:
        return Verdict(False, f"{' and '.join(broken)} reads open at the board")
    return Verdict(True, "the board reads the chain as made")


def _no_links_left(ending: Ending, given: Given) -> Verdict:
    planned = {frozenset(link) for link in ending.setup.site.wiring.links}
    extra = [link for link in ending.snapshot.links if frozenset(link) not in planned]
    if extra:
        places = ", ".join(f"{a} to {b}" for a, b in extra)
        return Verdict(False, f"a link is left in: {places}")
    return Verdict(True, "no link is left in beyond those of the site")


# What was done on the way -------------------------------------------------------------------------


def _cycle_after(ending: Ending, given: Given) -> Verdict:
    mode = given.get("mode", (ending.snapshot.mode,))[0]
    since = ending.last_change if "mode" not in given or mode == ending.snapshot.mode else 0
    opened = False
    for acted in ending.acted():
        if acted.tick < since or ending.mode_at(acted.tick) != mode:
            opened = False
        elif _came_to(acted, Condition.OPEN):
            opened = True
        elif opened and _came_to(acted, Condition.SHUT):
            return Verdict(True, f"the gate opened and shut once in {mode}")
    when = " after the last change" if since else ""
    return Verdict(False, f"no whole opening and shutting was seen in {mode}{when}")


def _came_to(acted: Acted, condition: Condition) -> bool:
    return acted.stimulus is Stimulus.ARRIVED and acted.after is condition


def _direction_jogged(ending: Ending, given: Given) -> Verdict:
    starts = [note.tick for note in ending.notes(NoteKind.LEARN_STARTED)]
    before = starts[-1] if starts else ending.snapshot.tick
    turned = (tick for tick, _ in ending.actions(SwapWires, MoveWire) if tick <= before)
    since = max([0, *turned])
    jogged = {note.detail for note in ending.notes(NoteKind.JOG) if since <= note.tick <= before}
    for leaf in ending.snapshot.leaves:
        for way in ("opening", "closing"):
            if f"{leaf.name} {way}" not in jogged:
                after = " after its wires were moved" if since else ""
                return Verdict(False, f"leaf {leaf.name} was not jogged {way} before the learn cycle{after}")
    return Verdict(True, "every leaf was jogged both ways before the learn cycle")


def _cell_shown(ending: Ending, given: Given) -> Verdict:
    conditions, (stimulus,) = given["condition"], given["stimulus"]
    starts = {"start": 0, "copper": ending.last_copper, "change": ending.last_change}
    since = starts[given.get("since", ("start",))[0]]
    for acted in ending.acted():
        if (
            acted.condition.value in conditions
            and acted.stimulus.value == stimulus
            and acted.response is not Response.IGNORE
            and acted.tick >= since
            and ("mode" not in given or ending.mode_at(acted.tick) in given["mode"])
        ):
            return Verdict(True, f"seen: {_words(acted)}")
    return Verdict(False, f"not seen: {spelt(Stimulus(stimulus))} while {' or '.join(conditions)}")


def _words(acted: Acted) -> str:
    return f"{spelt(acted.stimulus)} while {acted.condition.value.replace('-', ' ')}: {acted.response.value}"


# The registry -------------------------------------------------------------------------------------


def _modes() -> Sequence[str]:
    return tuple(shipped_modes())


_MODE = Parameter(_modes)
_ANY_MODE = Parameter(_modes, needed=False)
_KIND = Parameter(lambda: tuple(kind.value for kind in FaultKind), needed=False, many=True)
_GUARDS = tuple(terminal.value for terminal in NORMALLY_CLOSED)


def _of(judge: Callable[[Ending, Given], device_goals.Found]) -> Callable[[Ending, Given], Verdict]:
    return lambda ending, given: Verdict(*judge(ending, given))


USES = (EndUse.STOP.value, EndUse.SLOW.value)


def _keys() -> Sequence[str]:
    return tuple(catalogue(facts(shipped_modes())))


_REMOTE = Parameter(tuple, any_word=True)  # which remotes there are, the site decides

CHECKS: Mapping[str, Check] = {
    "roll-call-healthy": Check(_of(device_goals.roll_call_healthy)),
    "line-role-shown": Check(
        _of(device_goals.line_role_shown), {"role": Parameter(lambda: ("opening", "closing", "both"))}
    ),
    "line-as-meant": Check(_of(device_goals.line_as_meant)),
    "line-aimed": Check(_of(device_goals.line_aimed)),
    "edges-in-series": Check(_of(edge_goals.edges_in_series)),
    "edges-shown": Check(_of(edge_goals.edges_shown)),
    "remote-shown": Check(
        _of(device_goals.remote_shown),
        {
            "remote": _REMOTE,
            "key": Parameter(lambda: ("1", "2", "3", "4")),
            "gate": Parameter(lambda: ("whole", "part")),
        },
    ),
    "key-taught": Check(
        _of(device_goals.key_taught),
        {
            "remote": _REMOTE,
            "key": Parameter(lambda: ("1", "2", "3", "4")),
            "call": Parameter(lambda: ("call", "part call", "courtesy light")),
        },
    ),
    "remote-erased": Check(_of(device_goals.remote_erased), {"remote": _REMOTE}),
    "clean-cycles": Check(
        _of(motion_goals.clean_cycles), {"times": Parameter(lambda: ("1", "2", "3", "4", "5"))}
    ),
    "strip-free": Check(_of(motion_goals.strip_free)),
    "ends-tried": Check(_of(motion_goals.ends_tried)),
    "ends-act": Check(_of(motion_goals.ends_act), {"use": Parameter(lambda: USES)}),
    "setting-is": Check(
        _of(motion_goals.setting_is),
        {"key": Parameter(_keys), "value": Parameter(tuple, many=True, any_word=True)},
    ),
    "learned-and-fresh": Check(_learned_and_fresh),
    "mode-is": Check(_mode_is, {"mode": _MODE}),
    "fault-mended": Check(_fault_mended, {"kind": _KIND}),
    "gate-shut": Check(_gate_shut),
    "guards-made": Check(_guards_made, {"terminal": Parameter(lambda: _GUARDS, needed=False, many=True)}),
    "no-links-left": Check(_no_links_left),
    "cycle-after": Check(_cycle_after, {"mode": _ANY_MODE}),
    "direction-jogged": Check(_direction_jogged),
    "cell-shown": Check(
        _cell_shown,
        {
            "condition": Parameter(lambda: tuple(condition.value for condition in Condition), many=True),
            "stimulus": Parameter(lambda: tuple(stimulus.value for stimulus in Stimulus)),
            "mode": _ANY_MODE,
            "since": Parameter(lambda: ("start", "copper", "change"), needed=False),
        },
    ),
}
