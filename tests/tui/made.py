"""Hand-made snapshots and a bench of cardboard, so that screens are tested without iron or copper.

The cardboard bench answers calls in the plainest way (open at 10 degrees a second, shut at the next
call); it is here to move pictures and to note what screens asked of it, and proves nothing about gates.
"""

from __future__ import annotations

import math
from dataclasses import replace

from simgate.bench import actions as do
from simgate.bench.record import (
    BeamView,
    DeviceView,
    Event,
    InputView,
    LeafView,
    MeterView,
    ScanRecord,
    Sense,
    Snapshot,
    WireView,
)
from simgate.board.modes import shipped_modes
from simgate.board.settings import Settings
from simgate.board.signals import Acted
from simgate.board.stimuli import Condition, Response, Stimulus, Task
from simgate.files import Problem, UserError
from simgate.wiring.faults import Fault, FaultKind

OPEN = math.radians(95)


def leaf(name: str = "A", degrees: float = 0.0, speed: float = 0.0) -> LeafView:
    """A 2 m leaf at `degrees`, turning at `speed` rad/s."""
    return LeafView(
        name=name,
        width=2.0,
        place=math.radians(degrees),
        travel=OPEN,
        speed=speed,
        current=math.copysign(2.0, speed) if speed else 0.0,
        driven=math.copysign(1.0, speed) if speed else 0.0,
        released=False,
        body=None,
        body_force=0.0,
    )


def _settings() -> dict[str, float | int | bool | str]:
    """The board's own defaults, with a pause of 30 s: the card is drawn from the real tables."""
    titles = {title: table.closes_itself for title, table in shipped_modes().items()}
    return {**Settings(titles, {"mode": "Self-close", "pause": 30}).values()}


def made(leaves: int = 2) -> Snapshot:
    """A healthy gate at rest, shut, powered and learned."""
    return Snapshot(
        tick=0,
        mains=True,
        powered=True,
        leaves=tuple(leaf(name) for name in "AB"[:leaves]),
        condition=Condition.SHUT,
        task=Task.MODE,
        display=("Gate shut", "Self-close, ready for a call"),
        keys_down=frozenset(),
        inputs=(
            InputView("STOP", 0.1, True),
            InputView("GUARD-O", 0.1, True),
            InputView("GUARD-C", 0.1, True),
            InputView("CALL", 24.0, False),
            InputView("PART", 24.0, False),
        ),
        lamp=False,
        relays=frozenset({"TEST"}),
        beams=(BeamView("posts", "GUARD-C", 0.25, blocked=False, powered=True, made=True),),
        devices=(
            DeviceView("call-button", "Call button at the door", down=False),
            DeviceView("stop-button", "Stop button on the post", down=False),
        ),
        wires=(
            WireView("stop-1", "red", "board.STOP", "stop-button.1", undone=False),
            WireView("stop-2", "black", "stop-button.2", "board.COM", undone=False),
            WireView("motor-a-1", "brown", "board.MOTOR-A1", "motor-a.1", undone=False),
            WireView("motor-a-2", "blue", "board.MOTOR-A2", "motor-a.2", undone=False),
        ),
        links=(("board.GUARD-O", "board.COM"),),
        fuses=("mains", "aux"),
        renewable=("motor-a", "supply"),
        points=("board.COM", "board.STOP", "board.GUARD-O", "stop-button.1", "stop-button.2"),
        meter=None,
        inside=False,
        mode="Self-close",
        table=shipped_modes()["Self-close"],
        settings=_settings(),
        learned=True,
        stale=False,
        pause_left=0,
        last=None,
        marked=True,
        finished=False,
        key_words=("", "book", "", "", "book"),
        through={
            "stop-button.1": "stop-button.2",
            "stop-button.2": "stop-button.1",
            "motor-a.1": "motor-a.2",
            "motor-a.2": "motor-a.1",
        },
    )


def busy() -> Snapshot:
    """The gate in the middle of things: everything that a screen can show at once."""
    shot = made()
    return replace(
        shot,
        tick=83_400,
        leaves=(leaf("A", 52, 0.17), leaf("B", 31, 0.17)),
        condition=Condition.OPENING,
        display=("Opening", "A and B at set speed"),
        keys_down=frozenset({"keep"}),
        lamp=True,
        relays=frozenset({"LAMP", "TEST"}),
        meter=MeterView("volts", "board.STOP", "board.COM", "0.1 V", ""),
        last=Acted(82_100, Condition.SHUT, Stimulus.CALL, Response.OPEN, Condition.OPENING, common=False),
    )


class CardboardBench:
    """Stands in for the bench at its seam: act, run, run_to_next, snapshot, tick, finished, faults."""

    def __init__(self, start: Snapshot | None = None) -> None:
        self._shot = start or made()
        self.asked: list[do.Action] = []
        self._way = 0.0
        self._events: list[Event] = []
        self._actions: list[do.Action] = []
        self._acted: list[Acted] = []
        self._faults: tuple[Fault, ...] = ()

    @property
    def tick(self) -> int:
        return self._shot.tick

    @property
    def finished(self) -> bool:
        return self._shot.finished

    def faults(self) -> tuple[Fault, ...]:
        return self._faults

    def fault_choices(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        return (
            ("parted-wire", ("stop-1", "stop-2")),
            ("tired-joint", ("stop-1",)),
            ("blown-fuse", ("mains", "aux")),
        )

    def snapshot(self) -> Snapshot:
        return self._shot

    def act(self, action: do.Action) -> None:
        if isinstance(action, do.Release) and self._way:
            raise UserError(Problem("hands", "release", "a leaf that moves", "a leaf at rest"))
        self.asked.append(action)
        self._actions.append(action)
        change = getattr(self, f"_{type(action).__name__.lower()}", None)
        if change is not None:
            change(action)

    def _presskey(self, action: do.PressKey) -> None:
        down = self._shot.keys_down
        name = frozenset({action.key.value})
        self._shot = replace(self._shot, keys_down=down | name if action.down else down - name)

    def _operate(self, action: do.Operate) -> None:
        devices = tuple(
            replace(device, down=action.down) if device.name == action.device else device
            for device in self._shot.devices
        )
        self._shot = replace(self._shot, devices=devices)
        if action.down and "call" in action.device:
            opens = self._shot.leaves[0].angle < OPEN / 2
            self._way = 0.17 if opens else -0.17
            after = Condition.OPENING if opens else Condition.CLOSING
            answer = Response.OPEN if opens else Response.CLOSE
            acted = Acted(self.tick, self._shot.condition, Stimulus.CALL, answer, after, common=False)
            self._acted.append(acted)
            display = ("Opening" if opens else "Closing", "")
            self._shot = replace(self._shot, condition=after, last=acted, display=display)
            self._events.append(Event(self.tick, Sense.HEARD, "Drive A starts"))

    def _block(self, action: do.Block) -> None:
        beams = tuple(
            replace(beam, blocked=action.blocked) if beam.name == action.beam else beam
            for beam in self._shot.beams
        )
        self._shot = replace(self._shot, beams=beams)

    def _probe(self, action: do.Probe) -> None:
        self._shot = replace(self._shot, meter=MeterView(action.instrument, action.a, action.b, "24.0 V", ""))

    def _putaway(self, action: do.PutAway) -> None:
        self._shot = replace(self._shot, meter=None)

    def _step(self, action: do.Step) -> None:
        self._shot = replace(self._shot, inside=action.inside)

    def _mains(self, action: do.Mains) -> None:
        self._shot = replace(self._shot, mains=action.on, powered=action.on)

    def _opendrawer(self, action: do.OpenDrawer) -> None:
        self._shot = replace(self._shot, marked=False)

    def _inject(self, action: do.Inject) -> None:
        self._faults += (Fault(FaultKind(action.kind), action.place, action.amount),)
        self._shot = replace(self._shot, marked=False)

    def _mend(self, action: do.Mend) -> None:
        self._faults = tuple(fault for fault in self._faults if fault.place != action.place)

    def _handover(self, action: do.HandOver) -> None:
        self._shot = replace(self._shot, finished=True)

    def run(self, ms: int) -> tuple[ScanRecord, ...]:
        records = []
        for _ in range(ms // 10):
            tick = self._shot.tick + 10
            leaves = tuple(self._turned(item) for item in self._shot.leaves)
            self._shot = replace(self._shot, tick=tick, leaves=leaves)
            if self._way and all(not item.speed for item in leaves):
                self._way = 0.0
                self._shot = replace(
                    self._shot, condition=Condition.OPEN if leaves[0].angle else Condition.SHUT
                )
                self._events.append(Event(tick, Sense.HEARD, "Drives stop"))
            if self._events or self._actions or self._acted:
                records.append(
                    ScanRecord(tick, tuple(self._actions), tuple(self._acted), (), tuple(self._events))
                )
                self._events, self._actions, self._acted = [], [], []
        return tuple(records)

    def _turned(self, item: LeafView) -> LeafView:
        place = min(max(item.place + self._way * 0.01, 0.0), item.travel)
        speed = (place - item.place) * 100
        way = math.copysign(1.0, speed) if speed else 0.0
        return replace(item, place=place, speed=speed, current=2.0 * way, driven=way)

    def run_to_next(self, limit_ms: int) -> tuple[ScanRecord, ...]:
        ran = 0
        while ran < limit_ms:
            ran += 10
            if records := self.run(10):
                return records
        return ()
