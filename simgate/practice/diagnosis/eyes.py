"""What eyes, ears and a few plain tools find at a gate that is at rest: no copper is solved for it."""

from __future__ import annotations

from simgate.bench.line import LineWires
from simgate.bench.radio import OWN, reaches
from simgate.practice.diagnosis.dead import Reading
from simgate.practice.diagnosis.leaves import TrialLeaves
from simgate.practice.diagnosis.observation import How, Observation
from simgate.practice.diagnosis.strips import Strips
from simgate.wiring.fitting import Fitting
from simgate.wiring.harness import Solution
from simgate.wiring.heads import Remote
from simgate.wiring.trial import TrialHarness


class Eyes:
    """Look at what `harness` is like when they are asked."""

    def __init__(self, harness: TrialHarness, line: LineWires, leaves: TrialLeaves) -> None:
        self._harness, self._line, self._leaves = harness, line, leaves
        self._strips = Strips(harness)

    def told(self, look: Observation, solution: Solution) -> Reading:
        """What a look tells that needs neither instrument nor board; `solution`: of the gate as it is now."""
        harness, how, name = self._harness, look.how, look.a
        if how is How.LINE:
            heard = self._line.heard(solution.word, solution)
            return (heard.volts, *(repr(answer) for answer in heard.answers))
        if how is How.STRIP:
            screens = [fitting.stray > 0.0 for fitting in self._fittings(name)]
            return (*self._strips.at(name), *screens)
        if how is How.LENS:
            return self._lens(name)
        if how is How.PULL:
            return self._leaves.pulled(int(name), look.state.share or 0.0)
        if how is How.PLAY:
            return harness.iron.play[int(name)] * 1000.0
        if how is How.MAINS:
            return harness.mains.volts(look.a, look.b)
        if how is How.HEARD:
            remote = Remote(OWN) if name == OWN.name else harness.remotes[name]
            return str(reaches(remote, harness.aerial))
        if how is How.STOP:
            return 1.0 - harness.iron.stop[int(name)]
        if how is How.CAPACITY:
            return 0.0 if harness.battery is None else float(harness.battery.full)
        return harness.remotes[name].battery

    def _fittings(self, name: str) -> list[Fitting]:
        known = any(name == device.name for device in self._harness.spec.devices)
        return [self._harness.fitting(name)] if known else []

    def _lens(self, name: str) -> Reading:
        """What eyes see of a head or a beam: grime, a missing lens, where it looks, its switches."""
        head = self._harness.heads.get(name)
        if head is not None:
            aim = round(head.across), round(head.up)
            return head.fitted, head.lens, head.dirt > 0.5, *aim, head.switches
        fitting = self._harness.fitting(name)
        return (fitting.dirt > 20.0, round(fitting.aim))
