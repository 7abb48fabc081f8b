"""LAMP and LIGHT: what each shows, and for how long.

Both can be set to anything that a board can know; a lamp that warns of movement flashes, everything else
is steady. Neither ever decides whether something moves.
"""

from __future__ import annotations

from dataclasses import dataclass

from simgate.board.settings import Settings
from simgate.board.signals import Outputs
from simgate.board.stimuli import INPUTS, Input, Relay
from simgate.board.timers import Timer, Timers

LAMP_MS = 500  # on, then off: 60 flashes a minute, common practice
FLASHING = ("moving", "moving and pausing")
MIRRORS = {"GUARD-O made": INPUTS.index(Input.GUARD_O), "GUARD-C made": INPUTS.index(Input.GUARD_C)}


@dataclass(frozen=True, slots=True)
class Facts:
    """What outputs can be set to show. moving: a movement or the warning of one. made: in INPUTS order."""

    moving: bool
    pausing: bool
    shut: bool
    fault: bool
    made: tuple[bool, ...]


class Lights:
    """The two relays for light. `show` when something changed, `flash` when Timer.LAMP is due."""

    def __init__(self, outputs: Outputs, timers: Timers) -> None:
        self._outputs = outputs
        self._timers = timers
        self._moved = False  # whether the gate moved when last looked at
        self._lamp = self._light = ""
        self._light_ms = 0

    def take(self, settings: Settings) -> None:
        """Take the settings over."""
        self._lamp = settings.choice("lamp-use")
        self._light = settings.choice("light-use")
        self._light_ms = round(settings.number("light-time") * 1000.0)

    def clear(self) -> None:
        """As after power-up: nothing was moving."""
        self._moved = False

    def state(self) -> tuple[object, ...]:
        """Everything that later scans depend on; the relays and timers are kept by their owners."""
        return (self._moved,)

    def call(self, tick: int) -> None:
        """Somebody wants the courtesy light: on for its time, or out when it is on."""
        if self._timers.due(Timer.LIGHT) is None:
            self._timers.set(Timer.LIGHT, tick + self._light_ms)
        else:
            self._timers.drop(Timer.LIGHT)

    def flash(self, tick: int) -> None:
        """The lamp's half period is over."""
        self._outputs.put(Relay.LAMP, not self._outputs.has(Relay.LAMP))
        self._timers.set(Timer.LAMP, tick + LAMP_MS)

    def show(self, facts: Facts, tick: int) -> None:
        """Bring both relays in line with what is so."""
        if facts.moving:
            self._timers.drop(Timer.LIGHT)
        elif self._moved:
            self._timers.set(Timer.LIGHT, tick + self._light_ms)
        self._moved = facts.moving
        self._show_lamp(facts, tick)
        self._outputs.put(Relay.LIGHT, self._steady(self._light, facts))

    def _show_lamp(self, facts: Facts, tick: int) -> None:
        if self._lamp not in FLASHING:
            self._timers.drop(Timer.LAMP)
            self._outputs.put(Relay.LAMP, self._steady(self._lamp, facts))
            return
        wanted = facts.moving or (facts.pausing and self._lamp == "moving and pausing")
        if wanted is not (self._timers.due(Timer.LAMP) is not None):
            self._outputs.put(Relay.LAMP, wanted)
            if wanted:
                self._timers.set(Timer.LAMP, tick + LAMP_MS)
            else:
                self._timers.drop(Timer.LAMP)

    def _steady(self, use: str, facts: Facts) -> bool:
        if use in MIRRORS:
            return facts.made[MIRRORS[use]]
        if use == "courtesy light":
            return facts.moving or self._timers.due(Timer.LIGHT) is not None
        return {"gate open": not facts.shut, "gate moving": facts.moving, "fault": facts.fault}[use]
