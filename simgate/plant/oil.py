"""A hydraulic ram: a motor turns a pump, the pump fills one side of a cylinder between post and leaf.

Theory. A pump that moves D m3 a turn into a piston of area A moves it D / A a turn: it is a screw of lead
D / A, and everything that holds for a screw ram holds for it, but for four things.

- The areas differ. Opening pulls the rod in and fills the side of the rod; shutting fills the whole bore
  and is slower and stronger by the ratio of the areas. So the lead depends on which side is fed.
- Pressure is p = eff k N i 2 pi / D, current follows it, and thrust is p A. At the pressure P the relief
  valve opens: thrust stays at P A, current at P D / (2 pi eff k N), and the motor runs on however the leaf
  stands, at the speed that this current leaves it. In the leaf's torque line that is one more ceiling of
  the current beside the supply's.
- Without supply the lock valves shut oil in, which holds the leaf as dry friction would, up to the
  pressure `lock` on the smaller area (the side that gives first). With lock 0 the leaf drives the pump.
- What turns in motor and pump is not felt as inertia: behind the relief valve it cannot strike, and it
  comes to speed in J R / k^2, some milliseconds.

Left out: leakage (a stalled ram does not creep), the oil's springiness, cold oil. A leaf that overruns
its pump is braked with the back efficiency of the motor; the relief valve limits what the pump makes.
Released, a bypass lets the oil round the piston: the leaf is as free as its own viscous friction says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simgate.plant.brackets import RamLinkage
from simgate.plant.checks import above, not_below

TURN = 2.0 * math.pi


@dataclass(frozen=True, slots=True)
class PumpSpec:
    """A pump with its relief and lock valves, and the cylinder that it fills.

    displacement: m3 per turn of the pump. area_opening, area_closing: m2 of the piston on the side that is
    filled to open (the bore less the rod) and to shut (the bore). relief: Pa at which the relief valve
    opens. lock: Pa that shut-in oil holds without supply, 0 for a ram without a lock.
    """

    displacement: float
    area_opening: float
    area_closing: float
    relief: float
    lock: float = 0.0

    def __post_init__(self) -> None:
        above("pump displacement", self.displacement, "m3")
        above("piston area for opening", self.area_opening, "m2")
        above("piston area for closing", self.area_closing, "m2")
        above("relief pressure", self.relief, "Pa")
        not_below("oil lock", self.lock, "Pa")

    def area(self, opening: bool) -> float:
        """Area, m2, of the side that is filled."""
        return self.area_opening if opening else self.area_closing

    def speed(self, turns: float, opening: bool) -> float:
        """Speed of the ram, m/s, at `turns` per second of the pump: flow over area."""
        return turns * self.displacement / self.area(opening)

    def thrust(self, pressure: float, opening: bool) -> float:
        """Force along the ram, N, at a pressure in Pa."""
        return pressure * self.area(opening)

    def torque(self, pressure: float) -> float:
        """Torque at the pump's shaft, N m, that a pressure in Pa asks for, without losses."""
        return pressure * self.displacement / TURN

    def holding(self, opening: bool) -> float:
        """Torque at the pump's shaft, N m, that would hold as the locked oil does, while that side is fed."""
        return self.torque(self.lock) * min(self.area_opening, self.area_closing) / self.area(opening)


@dataclass(frozen=True, slots=True)
class OilRamLinkage:
    """A hydraulic ram between a post bracket and a leaf bracket: a, b, arm in m as in `RamLinkage`."""

    a: float
    b: float
    arm: float
    pump: PumpSpec

    def __post_init__(self) -> None:
        self.ram(opening=True)

    @property
    def word(self) -> str:
        """See `HingeLinkage`."""
        return "hydraulic ram"

    def ram(self, opening: bool) -> RamLinkage:
        """The screw ram that moves as this one does while that side is filled."""
        return RamLinkage(self.a, self.b, self.arm, self.pump.displacement / self.pump.area(opening))

    def check_reach(self, width: float, open_angle: float) -> None:
        """Refuse what `RamLinkage` refuses."""
        self.ram(opening=True).check_reach(width, open_angle)
