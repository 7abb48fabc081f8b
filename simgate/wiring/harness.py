"""What the copper of one site does to the devices on it: which have the supply that they need, what is heard.

Board, motors and meter all ask here, and all get their answer from one network (`solved.py`).
"""

from __future__ import annotations

from simgate.wiring.check import ENCODERS
from simgate.wiring.solved import Solution, Solved
from simgate.wiring.spec import DeviceKind, DeviceSpec, WiringSpec
from simgate.wiring.tables import BOARD, LEAF_NAMES, board_copper, devices

__all__ = ["Harness", "Solution"]

HIGH_VOLTS, LOW_VOLTS = 15.0, 5.0  # of a PULSE terminal, as IEC 61131-2 type 1 (from memory)
RELEASE = 0.95  # of its limit: below this AUX+ is let go again


class Harness(Solved):
    """The copper of a site, built as `spec` means it. Raises UserError when that cannot be built."""

    def __init__(self, spec: WiringSpec) -> None:
        super().__init__(spec)
        table = board_copper()
        self._supplied = {d.name: self._supplies(d) for d in spec.devices}
        self._encoders = tuple(d.name for d in spec.devices if d.kind in ENCODERS)
        self._pulse_lines = tuple(
            self._index[f"{BOARD}.{table.leaf_pulses.format(leaf=leaf)}"]
            for leaf in LEAF_NAMES[: spec.leaves]
        )
        self._aux = self._index[f"{BOARD}.aux-fused"], self._index[f"{BOARD}.AUX+"]
        self._head_screws = {
            name: (self._index[f"{name}.1"], self._index[f"{name}.2"]) for name in self.heads
        }
        self._line = (self._index[f"{BOARD}.LINE-1"], self._index[f"{BOARD}.LINE-2"])

    def _supplies(self, device: DeviceSpec) -> tuple[float, tuple[str, ...], list[tuple[int, int]]]:
        """Volts that a device needs, its heads, and the two nodes of each supply."""
        name, table = device.name, devices()[device.kind.value]
        pairs = [
            (self._index[f"{name}.{plus}"], self._index[f"{name}.{minus}"]) for plus, minus in table.supplies
        ]
        return table.needs_volts, tuple(table.heads), pairs

    def changed(self) -> None:
        """Build the network anew after a change to the copper; whatever was known of it before is dropped."""
        super().changed()
        self._heard: dict[int, tuple[str, ...]] = {}

    def works(self, solution: Solution, name: str, either_way: bool = False) -> bool:
        """Whether a device has the supply that it needs at each of its heads, and none of them is dead.

        either_way: it has no plus and minus, so that its wires may be changed over.
        """
        at, (needs, heads, supplies) = solution.potentials, self._supplied[name]
        for plus, minus in supplies:
            volts = at[plus] - at[minus]
            if (abs(volts) if either_way else volts) < needs:
                return False
        dead = self.standing(name).dead
        return not dead or not any(head in dead for head in heads)

    def heard(self, word: int) -> tuple[str, ...]:
        """For each leaf's PULSE terminal the encoder that can be heard on it; '' for none.

        It is heard when the terminal goes high and low with its output, as an input reads high and low.
        """
        found = self._heard.get(word)
        if found is None:
            high = self.solve(word).potentials
            names = ["" for _ in self._pulse_lines]
            for name in self._encoders:
                bit = self.contacts[name]
                low = self.solve(word & ~bit).potentials if word & bit else high
                for leaf, line in enumerate(self._pulse_lines):
                    if high[line] >= HIGH_VOLTS and low[line] <= LOW_VOLTS:
                        names[leaf] = name
            found = self._heard[word] = tuple(names)
        return found

    def aux_passes(self, solution: Solution) -> bool:
        """Whether the limit of AUX+ passes, with what hangs there now; see board_copper.toml."""
        limit, (fused, screw) = board_copper().aux_limit_amps, self._aux
        volts, across = solution.potentials[screw], solution.potentials[fused] - solution.potentials[screw]
        if solution.word & self.contacts["aux-pass"]:
            return solution.current("board/aux pass") <= limit
        amps = solution.current("board/aux limit")
        return across <= 0.0 or amps * (volts + across) <= RELEASE * limit * volts

    def line_volts(self, solution: Solution) -> float:
        """V between the board's two screws of the line."""
        one, other = self._line
        return solution.potentials[one] - solution.potentials[other]

    def head_volts(self, solution: Solution, name: str) -> float:
        """V between the screws of a head of the line, whichever way round."""
        one, other = self._head_screws[name]
        return abs(solution.potentials[one] - solution.potentials[other])

    def head_powered(self, solution: Solution, name: str) -> bool:
        """Whether a head of the line is there and has the supply that it needs."""
        least = devices()[DeviceKind.LINE_SENDER.value].needs_volts
        sound = self.heads[name].fitted and not self._fittings[name].dead
        return sound and self.head_volts(solution, name) >= least
