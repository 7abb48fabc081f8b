"""The mains side: from the house's cable over the isolator to the board's transformer, in volts AC.

A network of its own, apart from everything behind the transformer, and solved in effective values: all its
loads are taken as resistive, so that all its voltages are in phase. Neutral and protective earth are joined
at the house (TN, common practice), so a neutral that is open lifts the board's N to the voltage of L: the
trap for whoever measures L to N only.

Mains kill. What is measured here is for a licensed person; the tool says so with every reading.
"""

from __future__ import annotations

from simgate.wiring.network import Network, Part

VOLTS = 230.0  # V nominal between L and N, IEC 60038
EARTH = "mains.PE"
POINTS = ("mains.L", "mains.N", EARTH, "isolator.L", "isolator.N", "board.MAINS-L", "board.MAINS-N")
# The cores: from the house to the isolator, and on to the board.
CORES = ("mains-supply-l", "mains-supply-n", "mains-lead-l", "mains-lead-n")
ENOUGH = 0.8  # of the nominal volts, with which the board's supply runs (invented)
PRIMARY = 600.0  # ohm of the transformer as a load, about 90 W (invented)
_HOUSE = ("house.L", "house.N")
_ISOLATOR = 0  # bit


class MainsSide:
    """The mains side of a site as it stands. open: cores that are parted. isolator: on."""

    __slots__ = ("_network", "isolator", "open")

    def __init__(self) -> None:
        self.open: tuple[str, ...] = ()
        self.isolator = True
        self._network = self._built()

    def part(self, core: str, on: bool) -> None:
        """Part a core, or make it good."""
        self.open = tuple(name for name in CORES if (on if name == core else name in self.open))
        self._network = self._built()

    def renew(self) -> None:
        """Every core good."""
        self.open = ()
        self._network = self._built()

    def volts(self, a: str, b: str) -> float:
        """V AC between two points; 0 where nothing drives it."""
        solved = self._network.solve(int(self.isolator) << _ISOLATOR)
        return abs(solved.volts(a, b) or 0.0)

    def switched(self, isolator: bool) -> bool:
        """With the isolator so: whether the board's transformer has its volts."""
        self.isolator = isolator
        if not self.open:
            return isolator
        return self.volts("board.MAINS-L", "board.MAINS-N") > ENOUGH * VOLTS

    def _built(self) -> Network:
        def core(name: str, a: str, b: str) -> Part:
            return Part(name, a, b, 0.0 if name in self.open else 10.0)

        return Network(
            (*POINTS, *_HOUSE),
            (
                Part("house", "house.L", "house.N", 2.0, VOLTS),
                Part("earthing", "house.N", EARTH, 10.0),
                core("mains-supply-l", "house.L", "mains.L"),
                core("mains-supply-n", "house.N", "mains.N"),
                Part("isolator L", "mains.L", "isolator.L", 100.0, bit=_ISOLATOR),
                Part("isolator N", "mains.N", "isolator.N", 100.0, bit=_ISOLATOR),
                core("mains-lead-l", "isolator.L", "board.MAINS-L"),
                core("mains-lead-n", "isolator.N", "board.MAINS-N"),
                Part("primary", "board.MAINS-L", "board.MAINS-N", 1.0 / PRIMARY),
            ),
            reference=EARTH,
        )
