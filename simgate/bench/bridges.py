"""The motor bridges: the board's duties to the windings, and back to the board what its bridges deliver.

A bridge limits its own output, and the board measures there. In sound copper that is the winding's current,
which the plant limits exactly; where a link or a bridged core opens another way (`Shunted`), what the
bridges deliver is worked out from the network in each scan, and each gets the duty at which it keeps
within its limit. Without that a board would drive into a short and neither limit nor see it.
"""

from __future__ import annotations

import math
from math import floor

from simgate.board.signals import Outputs, Signals
from simgate.plant.leaf import Leaf
from simgate.plant.plant import Plant
from simgate.plant.spec import LeafKind, PlantSpec
from simgate.wiring.check import ENCODERS
from simgate.wiring.harness import Harness
from simgate.wiring.loops import Row, Shunted
from simgate.wiring.spec import DeviceKind

SAME = 1e-9  # V, ohm; less is rounding
PULSES = DeviceKind.ENCODER
# An absolute encoder's counts per rad of a leaf that swings (4096 a turn: 12 bit, common practice), per m of
# one that slides; and what it tells of a shut leaf, for nobody mounts one at its zero.
COUNTS = {LeafKind.SWINGS: 4096 / math.tau, LeafKind.SLIDES: 1000.0}
ZERO = 700
SCAN = 0.01  # s
STRAY = 0.5  # V at a winding whose own bridge rests; less comes from leakage and turns nothing


class Bridges:
    """Both bridges of a board, or its one. `read` after the plant's step, `drive` after the board's scan."""

    __slots__ = (
        "_before", "_copper", "_duty", "_edges", "_encoders", "_given", "_harness", "_heard",
        "_limits", "_lines", "_met", "_names", "_outputs", "_picked", "_places", "_plant", "_shunted",
        "_signals", "_stray", "_supply", "_turning", "_volts_per_duty", "_winding",
    )  # fmt: skip

    def __init__(
        self, spec: PlantSpec, plant: Plant, harness: Harness, signals: Signals, outputs: Outputs
    ) -> None:
        self._plant, self._harness = plant, harness
        self._signals, self._outputs = signals, outputs
        drives = [drive for _, drive in spec.leaves]
        self._lines = tuple(enumerate(plant.leaves))
        self._turning = (
            tuple(  # number, leaf, pulses per turn of its motor, or else per rad of the leaf itself
                (n, leaf, drives[n].motor.pulses_per_turn, drives[n].hinge_pulses / math.tau)
                for n, leaf in self._lines
            )
        )
        self._encoders = {d.name: d for d in harness.spec.devices if d.kind in ENCODERS}
        self._names: tuple[str, ...] = ()  # by channel: the encoder that is heard on it
        self._heard: list[tuple[int, ...]] = [() for _ in drives]  # by leaf: channels that hear its pulses
        self._places: tuple[tuple[int, Leaf, float], ...] = ()  # channel, leaf told of, counts per rad or m
        self._winding = [drive.motor.resistance for drive in drives]
        self._edges = [0 for _ in drives]
        self._stray: tuple[tuple[int, float], ...] = ()  # (leaf, pulses per ampere in a scan) of open screens
        self._picked = [0.0 for _ in drives]  # what they picked up and was no whole pulse yet
        self._volts_per_duty = [0.0 for _ in drives]
        self._duty: list[float] = []  # what the windings were last given
        self._limits: list[float] = []
        self._shunted: Shunted | None = None
        self._supply = harness.supply_volts  # V that the bridges work from
        self._copper = (-1, 0, False)  # version, switch word, whether powered: as last met
        self._met = -1  # version of the copper that the plant's last step met; -1 for another than now
        self._given = [0.0 for _ in drives]  # duties within the limits, with shunted copper only
        self._before = [0.0 for _ in drives]  # those of the plant's last step

    def meet(self, word: int, powered: bool) -> bool:
        """The copper as it is now at `word`. Returns whether the windings have met all of it."""
        harness, fresh = self._harness, False
        copper = (harness.version, word, powered)
        if copper == self._copper:
            self._met = harness.version
            return True
        self._copper = copper
        self._stray = tuple((n, rate * SCAN) for n, _ in self._lines if (rate := harness.stray(n)))
        self._hear(word, powered)
        supply = self._supply = harness.delivered(word)
        for n, leaf in self._lines:
            gain, ohms = harness.motor_feed(word, n) if powered else (0.0, math.inf)
            ohms += harness.worn(n)
            volts = gain * supply
            fresh = fresh or abs(ohms - leaf.ohms) > SAME or abs(volts - self._volts_per_duty[n]) > SAME
            leaf.ohms, self._volts_per_duty[n] = ohms, volts
            self._signals.ripple[n] = ohms < math.inf
        shunted = harness.shunted(word) if powered else None
        self._met = -1 if fresh or shunted != self._shunted else harness.version
        if shunted is not None:
            for n, row in enumerate(shunted.bridges):
                self._signals.ripple[n] = abs(row[n]) > SAME
        if shunted is not None or self._shunted is not None:
            self._shunted = shunted
            self.read()  # the plant may be still, and not be read again
        self._duty.clear()  # whatever the board drives meets another copper now
        return self._met >= 0

    def _hear(self, word: int, powered: bool) -> None:
        """Which encoders the board hears now, and on which of its terminals."""
        names = self._harness.heard(word) if powered else ("",) * len(self._lines)
        if names == self._names:
            return
        self._names = names
        heard = [self._encoders[name] if name else None for name in names]
        self._heard = [
            tuple(c for c, d in enumerate(heard) if d is not None and d.kind is PULSES and d.leaf == n)
            for n, _ in self._lines
        ]
        self._places = tuple(
            (channel, self._plant.leaves[device.leaf or 0], COUNTS[self._plant.leaves[device.leaf or 0].kind])
            for channel, device in enumerate(heard)
            if device is not None and device.kind is not PULSES
        )
        self._signals.places[:] = [None] * len(self._signals.places)
        self._tell_places()

    def _tell_places(self) -> None:
        for channel, leaf, rate in self._places:
            self._signals.places[channel] = ZERO + floor(leaf.place * rate)

    def read(self) -> None:
        """Currents and pulses to the board. A pulse line has one channel: it counts, without a direction."""
        volts, currents, edges = self._volts_per_duty, self._signals.currents, self._edges
        for n, leaf, rate, ring in self._turning:
            # The board measures at its own terminals: a pair the wrong way round does not turn its shunt.
            currents[n] = leaf.current if volts[n] >= 0.0 else -leaf.current
            edge = floor(leaf.place * ring) if ring else floor(leaf.turns * rate)
            if edge != edges[n]:
                for channel in self._heard[n]:
                    self._signals.pulses[channel] += abs(edge - edges[n])
                edges[n] = edge
        if self._stray:
            self._pick_up()
        if self._places:
            self._tell_places()
        if self._shunted is not None:
            self._measure(self._shunted)

    def _pick_up(self) -> None:
        """Pulses that a driven motor's leads put on a pulse line whose screen is open."""
        for n, rate in self._stray:
            if self._lines[n][1].powered:
                self._picked[n] += rate * abs(self._signals.currents[n])
                whole = int(self._picked[n])
                self._picked[n] -= whole
                for channel in self._heard[n]:
                    self._signals.pulses[channel] += whole

    def drive(self) -> None:
        """The board's outputs to the windings, for the next scan's plant."""
        outputs = self._outputs
        if outputs.duty == self._duty and outputs.limits == self._limits:
            return
        if self._shunted is not None:
            self._drive_shunted(self._shunted)
            return
        self._duty[:], self._limits[:] = outputs.duty, outputs.limits
        for n, leaf in self._lines:
            duty = outputs.duty[n]
            leaf.volts = self._volts_per_duty[n] * duty
            leaf.limit = outputs.limits[n]
            leaf.powered = duty != 0.0

    def duties(self, word: int) -> list[float]:
        """The share of the supply that each bridge puts out, within its limit, for the network to show.

        Once the plant has met the copper, those of its last step: then its currents are the network's.
        """
        settled = self._met == self._harness.version
        shunted = self._harness.shunted(word)
        if shunted is not None:
            return list(self._before) if settled else self._within(shunted)
        return [self._plain(word, n, settled) for n, _ in self._lines]

    def _plain(self, word: int, n: int, settled: bool) -> float:
        leaf, duty = self._plant.leaves[n], self._outputs.duty[n]
        gain, ohms = self._harness.motor_feed(word, n)
        slope, loop = gain * self._harness.delivered(word), self._winding[n] + ohms + self._harness.worn(n)
        if not slope:
            return duty
        emf = leaf.emf()
        if settled:
            found = (emf + leaf.current * loop) / slope
            return duty if abs(found - duty) < 1e-9 else found  # without the rounding of the way there
        return held(duty, slope / loop, -emf / loop, self._outputs.limits[n])

    def drawn(self) -> list[float]:
        """A that each bridge takes from its supply: its duty times its motor's current, as an average.

        At its limit a bridge puts out less than the duty that it is told, and takes less: that is left out.
        """
        duties = self._outputs.duty if self._shunted is None else self._given
        return [duties[n] * self._signals.currents[n] for n, _ in self._lines]

    def load(self) -> float:
        """A that all bridges take together; for each scan, so without a list."""
        duties = self._outputs.duty if self._shunted is None else self._given
        total = 0.0
        for n, _ in self._lines:
            total += duties[n] * self._signals.currents[n]
        return total

    # Shunted copper -------------------------------------------------------------------------------

    def _sources(self, duties: list[float]) -> list[float]:
        """Volts of every source that a row counts, in its order."""
        supply = self._supply
        return [*(duty * supply for duty in duties), *(leaf.emf() for leaf in self._plant.leaves), supply]

    def _measure(self, shunted: Shunted) -> None:
        sources = self._sources(self._given)
        for n, row in enumerate(shunted.bridges):
            self._signals.currents[n] = flow(row, sources)

    def _within(self, shunted: Shunted) -> list[float]:
        """Each bridge's duty at which it delivers no more than its limit, with the other one as it was."""
        duties, supply = list(self._given), self._supply
        for n, row in enumerate(shunted.bridges):
            duties[n] = duty = self._outputs.duty[n]
            if duty:
                slope = row[n] * supply
                rest = flow(row, self._sources(duties)) - slope * duty
                duties[n] = held(duty, slope, rest, self._outputs.limits[n])
        return duties

    def _drive_shunted(self, shunted: Shunted) -> None:
        """Volts at each winding from all that feeds it; asked again in each scan, for emfs are in it."""
        self._before = self._given
        self._given = self._within(shunted)
        sources = self._sources(self._given)
        for n, leaf in self._lines:
            loop = self._winding[n] + leaf.ohms
            volts = loop * flow(shunted.windings[n], sources) if loop < math.inf else 0.0
            leaf.powered = self._given[n] != 0.0 or abs(volts) > STRAY
            leaf.volts = volts
            leaf.limit = math.inf  # the bridge's, not the winding's, and already kept


def held(duty: float, slope: float, rest: float, limit: float) -> float:
    """The duty at which `slope * duty + rest` ampere stay within +-`limit`, as far as a bridge can."""
    amps = slope * duty + rest
    if not duty or not slope or abs(amps) <= limit:
        return duty
    return min(1.0, max(-1.0, (math.copysign(limit, amps) - rest) / slope))


def flow(row: Row, sources: list[float]) -> float:
    """Ampere of a row: each source's share, added up."""
    total = 0.0
    for share, volts in zip(row, sources, strict=True):
        total += share * volts
    return total
