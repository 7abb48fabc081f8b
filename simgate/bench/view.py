"""Building a `Snapshot`: only when somebody asks, and only from what a person at the gate could find out."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from simgate.bench import device_view, looks
from simgate.bench.contacts import LOOPS
from simgate.bench.loads import fed
from simgate.bench.record import BeamView, DeviceView, InputView, LeafView, MeterView, Snapshot, WireView
from simgate.board.signals import LEAVES
from simgate.board.stimuli import ENDS, INPUTS, Key, Relay
from simgate.plant.spec import LeafKind
from simgate.wiring.mains import POINTS as MAINS_POINTS
from simgate.wiring.meter import Instrument, read
from simgate.wiring.spec import DeviceKind, DeviceSpec
from simgate.wiring.tables import contacts_of

if TYPE_CHECKING:
    from simgate.bench.scan import Bench

POCKETS = ("left", "right")  # seen from inside: each slides away behind its own post


def snapshot(bench: Bench) -> Snapshot:
    """The bench as it stands now."""
    board, harness, contacts, lock = bench.board, bench.harness, bench.contacts, bench.plant.lock
    return Snapshot(
        tick=bench.tick,
        mains=contacts.mains,
        powered=bench.solution.powered,
        leaves=_leaves(bench),
        condition=board.condition,
        task=board.task,
        display=board.display,
        keys_down=frozenset(key.value for n, key in enumerate(Key) if board.signals.keys >> n & 1),
        inputs=tuple(
            InputView(terminal.value, volts, made and bench.solution.powered)
            for terminal, volts, made in zip(INPUTS, bench.solution.inputs, board.made, strict=True)
            if terminal not in ENDS[1] or len(bench.plant.leaves) > 1
        ),
        lamp=fed(harness, bench.solution, DeviceKind.LAMP),
        light=fed(harness, bench.solution, DeviceKind.LIGHT),
        drawn=fed(harness, bench.solution, DeviceKind.LOCK) if lock is None else not lock.holds,
        relays=frozenset(
            relay.name for relay in Relay if bench.solution.powered and contacts.relays & relay.value
        ),
        beams=_beams(bench),
        devices=tuple(
            DeviceView(name, _label(device, name), contacts.down[name])
            for device in bench.setup.site.wiring.devices
            for name in contacts_of(device.name, device.kind.value)
            if name in contacts.down
        ),
        wires=tuple(
            WireView(wire.name, wire.colour, wire.a, wire.b, wire.undone, wire.number, wire.cable)
            for wire in harness.wires()
        ),
        links=harness.links(),
        fuses=harness.fuses(),
        edge_ends=tuple(harness.edge_ends().items()),
        renewable=harness.renewable(),
        points=harness.points(),
        meter=_meter(bench),
        inside=bench.inside,
        mode=board.mode,
        settings=MappingProxyType(board.settings.values()),
        learned=board.learned,
        stale=board.stale,
        pause_left=board.pause_left(bench.tick),
        last=board.chart.last,
        marked=bench.marked,
        finished=bench.finished,
        passing=bench.passers.views(),
        you=bench.passers.your_view(),
        wind=bench.plant.wind,
        clash=bench.plant.clash(),
        heads=device_view.heads(bench),
        line=device_view.line(bench),
        remotes=device_view.remotes(bench),
        taught=device_view.taught(bench),
        page=board.book.place(),
        table=board.modes[board.mode],
        through=bench.through,
        key_words=board.key_words,
        battery=None if harness.battery is None else not harness.battery_off,
        plug=harness.plug,
        spares=harness.spares(),
        rain=harness.rain,
        mains_points=MAINS_POINTS,
        relay_beams=harness.beams(),
        looks=looks.ways(bench),
    )


def _label(device: DeviceSpec, contact: str) -> str:
    """What a contact is called; a key switch is turned one way or the other, and nobody presses a loop."""
    if device.kind in LOOPS:
        return f"{device.label}, metal laid on it"
    if device.kind is not DeviceKind.KEY:
        return device.label
    return f"{device.label}, {'call' if contact == device.name else 'part'} side"


def _leaves(bench: Bench) -> tuple[LeafView, ...]:
    return tuple(
        LeafView(
            name=LEAVES[n],
            width=spec.width,
            place=leaf.place,
            travel=spec.reach,
            speed=leaf.speed,
            current=leaf.current,
            released=leaf.released,
            body=bench.passers.bodies[n],
            body_force=leaf.body_force,
            kind=spec.kind,
            linkage=drive.linkage.word,
            pocket=POCKETS[n] if spec.kind is LeafKind.SLIDES else "",
            driven=bench.board.outputs.duty[n],
        )
        for n, (leaf, (spec, drive)) in enumerate(
            zip(bench.plant.leaves, bench.setup.site.plant.leaves, strict=True)
        )
    )


def _beams(bench: Bench) -> tuple[BeamView, ...]:
    word, bits, contacts = bench.contacts.word, bench.harness.contacts, bench.contacts
    relays = tuple(
        BeamView(
            name=beam.name,
            guards=beam.label,
            offset=beam.offset,
            blocked=bench.contacts.blocked[beam.name],
            powered=bench.harness.works(bench.solution, beam.name),
            made=bool(word & bits[beam.name]),
            crossed=bench.contacts.crossed[beam.name],
        )
        for beam in bench.setup.site.beams
    )
    line = tuple(
        BeamView(
            name=beam.name,
            guards=beam.label,
            offset=beam.offset,
            blocked=contacts.blocked[beam.name],
            powered=bench.harness.head_powered(bench.solution, beam.sender),
            made=bench.line.lit(bench.solution, beam),
            crossed=contacts.crossed[beam.name],
        )
        for beam in bench.setup.site.line_beams
    )
    return (*relays, *line)


def _meter(bench: Bench) -> MeterView | None:
    probe = bench.probe
    if probe is None:
        return None
    duties = bench.bridges.duties(bench.contacts.word)
    emfs = [leaf.emf() for leaf in bench.plant.leaves]
    instrument = Instrument(probe.instrument)
    reading = read(instrument, bench.harness, bench.contacts.word, duties, emfs, probe.a, probe.b)
    return MeterView(probe.instrument, probe.a, probe.b, reading.text, reading.caution)
