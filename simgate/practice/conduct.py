"""Conduct: what a trade person does not do, whatever the job asks for.

Watchers stand outside the bench: each reads the record of the run and its ending, and yields what it
saw. The caution belongs to the watcher, in trade words, so that the debrief, the screens and the lint
all say the same thing. None of this replaces the local code or the person licensed to apply it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from simgate.bench.actions import Mains, Probe, PutAway, Step, TakeBattery
from simgate.bench.passer_kinds import kinds
from simgate.bench.record import Happening, reach
from simgate.bench.swing import YOU
from simgate.board.signals import NoteKind
from simgate.board.stimuli import Input
from simgate.practice import habits
from simgate.practice.copper import guards
from simgate.practice.ending import Ending
from simgate.practice.line_guards import forgotten, guarding_closing
from simgate.practice.names import point
from simgate.practice.weights import Weight, weights
from simgate.wiring.spec import DeviceKind

STANDARD = "standard"
RESISTANCE = ("ohms", "continuity", "diode")
CLOSING_GUARD = Input.GUARD_C.value
FORCE = ("force-opening-a", "force-closing-a", "force-opening-b", "force-closing-b")
DEFER = "The local code and a licensed person decide what is allowed on a real gate."


@dataclass(frozen=True, slots=True)
class Sighting:
    """What a watcher saw: when (ms), and what, in one sentence."""

    tick: int
    why: str


@dataclass(frozen=True, slots=True)
class Watcher:
    """A rule of conduct. title: what was done wrong. caution: why it matters, deferring to local code."""

    title: str
    caution: str
    watch: Callable[[Ending], Iterator[Sighting]]


@dataclass(frozen=True, slots=True)
class ConductFault:
    """A rule broken in a run. tick: the first time, ms. times: how often. why: what was seen first.

    weight: what it costs, once however often, and why so much.
    """

    name: str
    title: str
    tick: int
    times: int
    why: str
    caution: str
    weight: Weight


def conduct_faults(ending: Ending, names: tuple[str, ...]) -> tuple[ConductFault, ...]:
    """Rules among `names` that the run broke, each once however often it was broken, earliest first."""
    found = []
    for name in names:
        watcher = WATCHERS[name]
        seen = sorted(watcher.watch(ending), key=lambda sighting: sighting.tick)
        if seen:
            caution = f"{watcher.caution} {DEFER}"
            first, weight = seen[0], weights()[name]
            found.append(ConductFault(name, watcher.title, first.tick, len(seen), first.why, caution, weight))
    return tuple(sorted(found, key=lambda fault: fault.tick))


# What was done on the way -------------------------------------------------------------------------


def _ohms_on_live(ending: Ending) -> Iterator[Sighting]:
    """Ohms, continuity or a diode test while anything feeds the gate, whichever of the two came first."""
    was, probe = ending.setup.mains or ending.setup.site.wiring.supply.battery is not None, None
    for tick, action, source in ending.fed_at_work(Mains, TakeBattery, Probe, PutAway):
        if isinstance(action, Probe):
            probe = action
            if source and action.instrument in RESISTANCE:
                yield Sighting(tick, f"{_measured(action)} with {source}")
        elif isinstance(action, PutAway):
            probe = None
        elif source and not was and probe is not None and probe.instrument in RESISTANCE:
            what = "the mains" if isinstance(action, Mains) else "the battery"
            yield Sighting(tick, f"{what} went on with {_measured(probe)}")
        was = bool(source)


def _measured(probe: Probe) -> str:
    return f"{probe.instrument} on {point(probe.a)} and {point(probe.b)}"


def _hands_in_swing(ending: Ending) -> Iterator[Sighting]:
    """Standing in the swing while the gate could move: the isolator on, a leaf driven, or struck by one."""
    live, inside, moving = ending.setup.mains, False, 0
    room = reach(ending.snapshot.leaves)
    for record in ending.records:
        was = inside and (live or moving > 0)
        for action in record.actions:
            live = action.on if isinstance(action, Mains) else live
            inside = action.inside if isinstance(action, Step) else inside
        before = moving
        for note in record.notes:
            moving += {NoteKind.MOVING: 1, NoteKind.RESTING: -1}.get(note.kind, 0)
        if inside and moving > before:
            yield Sighting(record.tick, f"a leaf was driven with a person in {room}")
        elif inside and live and not was:
            yield Sighting(record.tick, f"a person stood in {room} with the isolator on")
        for one in record.passing:
            if one.kind == YOU and one.happening is Happening.STRUCK:
                yield Sighting(record.tick, f"leaf {one.leaf} struck a person in {room}")


def _people_in_swing(ending: Ending) -> Iterator[Sighting]:
    """Somebody who was sent through in the way of a moving leaf, or anything struck by one."""
    for record in ending.records:
        for one in record.passing:
            if one.kind == YOU:
                continue  # whoever stepped in is judged by that
            if one.happening is Happening.STRUCK:
                yield Sighting(record.tick, f"leaf {one.leaf} struck the {one.kind}")
            elif one.happening is Happening.IN_THE_WAY and kinds()[one.kind].alive:
                yield Sighting(record.tick, f"the {one.kind} was in the way of leaf {one.leaf}, which moved")


def _of(found: Callable[[Ending], Iterator[habits.Seen]]) -> Callable[[Ending], Iterator[Sighting]]:
    return lambda ending: (Sighting(tick, why) for tick, why in found(ending))


# What was left behind -----------------------------------------------------------------------------


def _guard_defeated(ending: Ending) -> Iterator[Sighting]:
    for guard in ending.defeated:
        yield Sighting(ending.snapshot.tick, _without_effect(ending, *guard))


def _without_effect(ending: Ending, name: str, terminal: str) -> str:
    device = next(device for device in ending.setup.site.wiring.devices if device.name == name)
    done = "breaking" if device.kind is DeviceKind.BEAM else "pressing"
    return f"{done} the {device.label} does not open {terminal}"


def _auto_close_unguarded(ending: Ending) -> Iterator[Sighting]:
    """Closing by itself with a guard out of action, or on a site where nothing guards the closing gate.

    Without power the board tells nothing of the beams on its line: then nothing is said of them.
    """
    snapshot = ending.snapshot
    if not ending.setup.modes()[snapshot.mode].closes_itself:
        return
    wired = [terminal for _, terminal in guards(ending.setup.site.wiring) if terminal == CLOSING_GUARD]
    dark = bool(ending.setup.site.line_beams) and not snapshot.powered
    lost = () if dark else forgotten(ending)
    for beam in lost:
        yield Sighting(snapshot.tick, f"the gate was left in {snapshot.mode}; the board knows of no {beam}")
    if not (wired or lost or dark or guarding_closing(ending)):
        yield Sighting(snapshot.tick, f"the gate was left in {snapshot.mode}; nothing opens {CLOSING_GUARD}")
    for guard in ending.defeated:
        why = f"the gate was left in {snapshot.mode}; {_without_effect(ending, *guard)}"
        yield Sighting(snapshot.tick, why)


def _force_not_learned(ending: Ending) -> Iterator[Sighting]:
    """A force left at another value than at the last learn cycle, or at the start when there was none."""
    learned = max([0, *(note.tick for note in ending.notes(NoteKind.LEARN_DONE))])
    for key in FORCE:
        was, (tick, value) = ending.set_at(key, learned), ending.history(key)[-1]
        if value != was:
            _, way, leaf = key.split("-")
            force = f"force of leaf {leaf.upper()}, {way}"
            yield Sighting(tick, f"{force}, went from {was} % to {value} % and no learn cycle followed")


def _left_unfit(ending: Ending) -> Iterator[Sighting]:
    """What nobody walks away from: told one by one, so that each can be put right."""
    snapshot, wiring = ending.snapshot, ending.setup.site.wiring
    stops = {device.name for device in wiring.devices if device.kind is DeviceKind.BUTTON_NC}
    left = [f"leaf {leaf.name} was left released from its drive" for leaf in snapshot.leaves if leaf.released]
    left += [f"a test body was left in the way of leaf {leaf.name}" for leaf in snapshot.leaves if leaf.body]
    room = reach(snapshot.leaves)
    left += [f"a person was left in {room}"] if snapshot.inside else []
    left += [f"a {one.kind} was left in {room}" for one in snapshot.passing if one.in_swing]
    left += [f"the {d.label} was left pressed in" for d in snapshot.devices if d.down and d.name in stops]
    left += [f"the {beam.guards} was left blocked" for beam in snapshot.beams if beam.blocked]
    left += [f"{wire.name} was left undone" for wire in snapshot.wires if wire.undone]
    left += ["the mains isolator was left off"] if ending.setup.mains and not snapshot.mains else []
    yield from (Sighting(snapshot.tick, why) for why in left)


WATCHERS: Mapping[str, Watcher] = {
    "guard-linked-out": Watcher(
        "A guard was left linked out",
        "A link or a core on another screw is a tool for finding a fault, not a repair. With it in place the "
        "gate no longer stops for whoever is behind that guard. Put the copper right, try every guard, and "
        "keep the gate isolated until each one acts.",
        _guard_defeated,
    ),
    "ohms-on-live": Watcher(
        "Ohms were taken with the circuit live",
        "On a live circuit the reading is false, for the meter takes whatever current flows for its own, and "
        "the meter or the person can come to harm. Isolate, take the battery off where there is one, prove "
        "dead with the meter on volts, then take ohms.",
        _ohms_on_live,
    ),
    "hands-in-swing": Watcher(
        "A person was within reach of a powered leaf",
        "A powered leaf can start at any call and crushes: one that swings at the hinge, at the edge and "
        "against the stop, one that slides at the edge, at the posts and in its pocket. Isolate before "
        "stepping in, and never put a part of the body into a gap to test a guard.",
        _hands_in_swing,
    ),
    "people-in-swing": Watcher(
        "Somebody was in the way of a moving leaf",
        "A leaf crushes before anybody can call out, and a guard covers only the place where it looks. Keep "
        "people and animals out of their way until the leaves stand, watch them all the way, and try guards "
        "with a test body, never with a person.",
        _people_in_swing,
    ),
    "auto-close-unguarded": Watcher(
        "The gate was left closing by itself without its guards",
        "A gate that shuts without anybody watching relies on its guards alone. With one linked out nothing "
        "stands between the leaf and a person.",
        _auto_close_unguarded,
    ),
    "force-not-learned": Watcher(
        "Force was changed and not learned again",
        "The obstacle limit hangs on the learn cycle. After a change of force the learn cycle, and the force "
        "measurement at the closing edge, have to be done again.",
        _force_not_learned,
    ),
    "wires-live": Watcher(
        "Wiring was worked on with the supply on",
        "Isolate, lock off, take the battery off where there is one, and prove dead before a wire, a link or "
        "a fuse is touched; a slipped core blows a fuse or starts a leaf.",
        _of(habits.wires_live),
    ),
    "opened-live": Watcher(
        "A device was opened or fitted with its supply on",
        "A screwdriver in a live head, box or drive shorts what it touches, and a leaf that is worked on can "
        "start. Isolate, take the battery off where there is one, prove dead, then put hands inside, and "
        "close it before it is aimed or tried live.",
        _of(habits.opened_live),
    ),
    "changes-together": Watcher(
        "Two things were put right at once",
        "After two changes nobody knows which one helped: a sound part may have been thrown away, and the "
        "fault may come back. Change one thing, look or measure whether it helped, and put it back if not.",
        _of(habits.changes_together),
    ),
    "not-put-back": Watcher(
        "What was moved for the search was not put back",
        "A plug, link, spare part or core that stays where the search left it is the next person's fault to "
        "find, and may hide that a guard no longer works; a remote of yours that stays taught is a key to "
        "somebody's gate. Note what is moved as it is moved, put it all back before handing over, and try "
        "what it belongs to.",
        _of(habits.not_put_back),
    ),
    "left-unfit": Watcher(
        "The gate was left as nobody hands it over",
        "Whoever comes next takes a gate for ready: a released leaf goes with the wind or the slope, and the "
        "first call meets the body, the person or the open chain that was left. Clear the way, couple the "
        "leaves, make every core good, switch on, and look round once before handing over. A gate that "
        "cannot be made fit stays isolated, with a notice on it, and is not handed over.",
        _left_unfit,
    ),
}
