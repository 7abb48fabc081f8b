"""A bench looked at after each scan: no drive where none may be, and iron that keeps to what is possible."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from simgate.bench.hands import PUSH_LIMIT
from simgate.bench.scan import SCAN, Bench
from simgate.bench.setup import Setup
from simgate.bench.tape import TapeWriter
from simgate.board.line import Head
from simgate.board.line_table import address, table
from simgate.board.stimuli import INPUTS, Input, Way
from simgate.plant.leaf import Leaf as Moving
from simgate.plant.spec import LeafSpec, MotorSpec, SlideSpec

WATCHED = tuple((terminal, INPUTS.index(terminal)) for terminal in (Input.STOP, Input.GUARD_C))
EDGE = INPUTS.index(Input.EDGE)
OFF_VOLTS = 5.0  # IEC 61131-2 type 1: an input at 5 V and below is off (from memory, as in board/inputs.py)
PULL_UP = 8200.0  # ohm to 5 V behind EDGE, as in board/inputs.py


class Leaf(NamedTuple):
    """One leaf with what is asked of it in every scan. geared: to a motor, not to a pump."""

    leaf: Moving
    spec: LeafSpec | SlideSpec
    motor: MotorSpec
    geared: bool
    moment: float


class Watched(Bench):
    """A bench that never skips, looked at after each scan."""

    def __init__(self, setup: Setup, tape: TapeWriter) -> None:
        super().__init__(setup, tape)
        self._parted = dict.fromkeys((Input.STOP, Input.GUARD_C, Input.EDGE), 0)
        self._dark = 0  # ms for which a closing beam of the line has not been sound
        self._seen: tuple[object, ...] = ()  # what was looked at last: while that stays, so does what follows
        self._off: tuple[tuple[Input, bool], ...] = ()
        self._sound = True
        self.driven = 0
        self._filter = 0.0
        self._watched = [
            Leaf(leaf, spec, drive.motor, drive.pump is None, spec.moment)
            for leaf, (spec, drive) in zip(self.plant.leaves, setup.site.plant.leaves, strict=True)
        ]
        self._energy = [self._kinetic(one) for one in self._watched]
        self._most = 0.0
        self.scans = 0

    def _skip(self, target: int) -> None:
        """Step instead."""

    def watch(self, ms: int) -> None:
        """Let time pass, looking at every scan."""
        plant, duty = self.plant, self.board.outputs.duty
        for _ in range(ms // SCAN):
            still, powered = plant.still(), self.solution.powered
            given = () if still else tuple([self._given(one) for one in self._watched])
            self.run(SCAN)
            self.scans += 1
            self._count_parted()
            if any(duty):
                self._look_at_drives(powered)
                self.driven += 1
            if not still:
                self._look_at_energy(given)
                self._look_at_leaves()

    # Copper and board ---------------------------------------------------------------------------------

    def _count_parted(self) -> None:
        """For how long each terminal has been off."""
        board, inputs, before = self.board, self.solution.inputs, self._seen
        line, enrolled, version = board.signals.line, board.line.enrolled, board.settings.version
        if not (
            before
            and before[0] is inputs
            and before[1] is line
            and before[2] is enrolled
            and before[3] == version
        ):
            self._seen = (inputs, line, enrolled, version)
            self._off = (
                *((terminal, inputs[place] <= OFF_VOLTS) for terminal, place in WATCHED),
                (Input.EDGE, not self._edge_is_healthy(inputs[EDGE])),
            )
            self._sound = self._line_is_sound()
        for terminal, off in self._off:
            self._parted[terminal] = self._parted[terminal] + SCAN if off else 0
        self._dark = 0 if self._sound else self._dark + SCAN

    def _edge_is_healthy(self, volts: float) -> bool:
        """Whether what hangs on EDGE is an edge at rest, by the divider with its pull-up."""
        low, high = (self.board.settings.number(f"edge-{word}") for word in ("pressed-below", "broken-above"))
        return volts < 5.0 and low * 1000.0 <= PULL_UP * volts / (5.0 - volts) <= high * 1000.0

    def _line_is_sound(self) -> bool:
        """Whether both heads of each closing beam answer alone, as the roll-call has them, and see light."""
        answers = {(one.place, one.head): one for one in self.board.signals.line.answers}
        enrolled = set(self.board.line.enrolled)
        for place in {place for place, _ in (*answers, *enrolled)}:
            if Way.CLOSING not in address(place).guards.ways:
                continue
            heads = [answers.get((place, head)) for head in Head]
            if (
                any(one is None or one.garbled for one in heads)
                or not {(place, head) for head in Head} <= enrolled
            ):
                return False
            if not answers[place, Head.RECEIVER].clear:
                return False
        return True

    def _look_at_drives(self, was_powered: bool) -> None:
        """Nothing is driven past STOP, or shut past a closing guard, from a filter's time and one scan on.

        Of the line what is not sound is known a poll later.
        """
        settings, duty = self.board.settings, self.board.outputs.duty
        lately = settings.number("input-filter")
        grace = max(lately, self._filter) + SCAN
        self._filter = lately
        assert self._parted[Input.STOP] <= grace, "driven with STOP parted"
        if self._parted[Input.GUARD_C] > grace and settings.choice("guard-c-use") in ("closing", "both"):
            assert min(duty) >= 0.0, "shutting with GUARD-C broken"
        if self._parted[Input.EDGE] > grace and settings.choice("edge-use") == "closing":
            assert min(duty) >= 0.0, "shutting with the closing edge not healthy"
        if self._dark > grace + table().poll_ms:
            assert min(duty) >= 0.0, "shutting with a closing beam of the line not sound"
        assert was_powered or self.solution.powered, "driven without power"

    # Iron ---------------------------------------------------------------------------------------------

    def _kinetic(self, one: Leaf) -> float:
        """J in a leaf and in the rotor that it turns, whose speed is what its emf says."""
        leaf = one.leaf
        energy = 0.5 * one.moment * leaf.speed * leaf.speed
        if one.geared and not leaf.released:  # behind a pump nothing that turns is felt
            turning = leaf.emf() / one.motor.constant
            energy += 0.5 * one.motor.rotor_inertia * turning * turning
        return energy

    def _given(self, one: Leaf) -> tuple[float, float]:
        """What may be given to a leaf in the next scan: (W from its supply, N m or N from all else)."""
        leaf, spec = one.leaf, one.spec
        amps = (abs(leaf.volts) + abs(leaf.emf())) / (one.motor.resistance + leaf.ohms)
        slope, _, steady = spec.leaning
        blown, _ = spec.blown(self.plant.wind, self.setup.site.plant.force_coefficient)
        force = abs(leaf.push) * spec.lever + abs(slope) + abs(steady) + abs(blown)
        return abs(leaf.volts) * min(amps, leaf.limit), force

    def _look_at_energy(self, given: Sequence[tuple[float, float]]) -> None:
        """In no scan does kinetic energy rise by more than supply, hands, wind and slope could have given.

        The supply gives volts x ampere, at most those that its limit or the winding lets through; a load
        gives its force times the way. Friction, gears and contacts only take. What a stop, bolt, body or the
        other leaf's edge has stored comes back: while anything touches, nothing is written off.
        """
        energies = [self._kinetic(one) for one in self._watched]
        allowed, touching = 0.0, self.plant.overlap_force() != 0.0
        for n, (watts, force) in enumerate(given):
            leaf = self._watched[n].leaf
            before, after = leaf.started[1], leaf.speed
            way = max(abs(before), abs(after), abs(leaf.place - leaf.started[0]) * 1000 / SCAN) * SCAN / 1000
            allowed += self._energy[n] + watts * SCAN / 1000 + force * way
            touching = touching or any((leaf.stop_force, leaf.body_force, leaf.bolt_force))
        total = math.fsum(energies)
        assert total <= allowed * 1.001 + 0.001, f"{total} J of {allowed} J"
        self._most = max(self._most, total)
        if touching:
            spare = (allowed - total) / len(energies)
            energies = [energy + spare for energy in energies]
        self._energy = energies

    def _look_at_leaves(self) -> None:
        """Leaves stay between their stops, but for what the stops give.

        At its edge a stop gives F / k under a force and sqrt(2 E / k) under a blow; twice F / k while the
        force is fresh. F: hands, and the greatest force that a drive of this size puts on a leaf.
        """
        for leaf, (spec, _) in zip(self.plant.leaves, self.setup.site.plant.leaves, strict=True):
            stiff = spec.stop_stiffness
            gives = (2.0 * (PUSH_LIMIT + 8_000.0) / stiff + math.sqrt(2.0 * self._most / stiff)) / spec.lever
            assert -gives <= leaf.place <= spec.reach + gives
            for value in (leaf.place, leaf.speed, leaf.current, leaf.turns):
                assert math.isfinite(value)
