"""How fast one leaf's 1 ms step is, beside a bare leaf in a general multibody engine: printed, not asserted.

Run by hand: python tests/benchmarks/bench_leaf.py. The engine (mujoco, extra [bench]) gets the same
hinge, inertia, reflected rotor and viscous friction; motor law and dry friction run in Python each step
(its own dry friction would call its constraint solver and make it slower still). Processor time, best of
several rounds: other work on the machine only ever adds to it.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from simgate.plant.leaf import Leaf
from simgate.plant.plant import Plant
from simgate.plant.spec import (
    ArmLinkage,
    DriveSpec,
    HingeLinkage,
    LeafSpec,
    MotorSpec,
    OilRamLinkage,
    PlantSpec,
    PumpSpec,
    RackLinkage,
    RamLinkage,
    SlideSpec,
)

ROUNDS = 7
SECONDS = 4  # of the leaf's life in one round: short of the stop with every drive
LEAF = LeafSpec(2.0, 1.8, 100.0, math.pi / 2.0)
MOTOR = MotorSpec(1.2, 0.06, 2.0e-5, 2000.0, holding=300.0)
HINGE = DriveSpec(MOTOR, HingeLinkage())
RAM = DriveSpec(replace(MOTOR, reduction=12.0), RamLinkage(0.15, 0.15, 0.7, 0.01))
ARM = DriveSpec(MOTOR, ArmLinkage(0.12, 0.25, 0.4, 0.5, 0.6, 0.05))
OIL = DriveSpec(
    replace(MOTOR, reduction=1.0, holding=0.0),
    OilRamLinkage(0.15, 0.15, 0.7, PumpSpec(2.5e-7, 6.5e-4, 9.6e-4, 4.0e6, 6.0e6)),
)
SLIDE = SlideSpec(4.0, 4.5, 1.8, 400.0)
RACK = DriveSpec(replace(MOTOR, reduction=30.0, holding=15.0), RackLinkage(0.03))

ENGINE = f"""
<mujoco><option timestep="0.001" gravity="0 0 0"/>
<worldbody><body><joint name="hinge" type="hinge" axis="0 0 1" damping="{LEAF.viscous}"
armature="{MOTOR.rotor_inertia * MOTOR.reduction**2}"/>
<inertial pos="1 0 0" mass="100" diaginertia="30 30 {LEAF.moment - 100.0}"/></body></worldbody>
<actuator><motor joint="hinge"/></actuator></mujoco>
"""


def best(once: Callable[[], None], steps: int) -> float:
    """Least time of one step, microseconds."""
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        once()
        times.append((time.process_time() - start) / steps * 1e6)
    return min(times)


def driven(drive: DriveSpec, wind: float = 0.0, spec: LeafSpec | SlideSpec = LEAF) -> tuple[Plant, Leaf]:
    plant = Plant(PlantSpec(((spec, drive),), wind=wind))
    leaf = plant.leaves[0]
    leaf.powered, leaf.volts, leaf.limit = True, 24.0, 8.0
    return plant, leaf


def swing(drive: DriveSpec, wind: float = 0.0, spec: LeafSpec | SlideSpec = LEAF) -> float:
    """From rest near shut, opening, with nothing in reach."""
    plant, leaf = driven(drive, wind, spec)

    def once() -> None:
        leaf.put(0.05)
        step = plant.step
        for _ in range(SECONDS * 100):
            step()

    return best(once, SECONDS * 1000)


def ramped() -> float:
    """As `swing`, with another voltage every scan."""
    plant, leaf = driven(HINGE)

    def once() -> None:
        leaf.put(0.05)
        step = plant.step
        for scan in range(SECONDS * 100):
            leaf.volts = 24.0 - scan * 0.01
            step()

    return best(once, SECONDS * 1000)


def stalled() -> float:
    """Pressed on the open stop, always by the step that knows contacts."""
    plant, leaf = driven(HINGE)
    leaf.put(LEAF.open_angle)

    def once() -> None:
        for _ in range(100):
            plant.step()

    return best(once, 1000)


def at_rest() -> float:
    """A still leaf."""
    plant = Plant(PlantSpec(((LEAF, HINGE),)))

    def once() -> None:
        for _ in range(SECONDS * 100):
            plant.step()

    return best(once, SECONDS * 1000)


def engine() -> float | None:
    """One 1 ms step of the engine with the motor law in Python; None when it is not installed."""
    try:
        import mujoco
    except ImportError:
        return None
    model: Any = mujoco.MjModel.from_xml_string(ENGINE)
    data: Any = mujoco.MjData(model)
    gain, ohms, limit = MOTOR.constant * MOTOR.reduction, MOTOR.resistance, 8.0
    forward, back = MOTOR.forward_efficiency, 1.0 / MOTOR.back_efficiency
    advance, control, velocity = mujoco.mj_step, data.ctrl, data.qvel

    def once() -> None:
        data.qpos[0], data.qvel[0] = 0.05, 0.0
        for _ in range(SECONDS * 1000):
            speed = float(velocity[0])
            amps = min(max((24.0 - gain * speed) / ohms, -limit), limit)
            torque = gain * amps * (forward if amps * speed >= 0.0 else back)
            control[0] = torque - (LEAF.coulomb if speed >= 0.0 else -LEAF.coulomb)
            advance(model, data)

    result = best(once, SECONDS * 1000)
    plant, leaf = driven(HINGE)
    leaf.put(0.05)
    for _ in range(SECONDS * 100):
        plant.step()
    print(f"  (after {SECONDS} s: engine at {float(data.qpos[0]):.4f} rad, ours at {leaf.angle:.4f} rad)")
    return result


def main() -> None:
    """Print the table."""
    print(f"one leaf, 1 ms step, best of {ROUNDS} rounds of {SECONDS} s")
    ours = swing(HINGE)
    rows = [
        ("hinge drive, moving freely", ours),
        ("hinge drive, another voltage every scan", ramped()),
        ("ram drive", swing(RAM)),
        ("folding arm", swing(ARM)),
        ("hydraulic ram", swing(OIL)),
        ("slide on a rack", swing(RACK, spec=SLIDE)),
        ("slide on a rack, in wind", swing(RACK, wind=5.0, spec=SLIDE)),
        ("hinge drive in wind", swing(HINGE, wind=5.0)),
        ("pressed on the stop", stalled()),
        ("at rest", at_rest()),
    ]
    for name, time_us in rows:
        print(f"  {name:42} {time_us:8.3f} us   {1000.0 / time_us:10,.0f} x real time")
    theirs = engine()
    if theirs is None:
        print("  the multibody engine is not installed (extra [bench])")
        return
    print(f"  {'multibody engine, bare hinge':42} {theirs:8.3f} us   {1000.0 / theirs:10,.0f} x real time")
    print(f"  ratio: our moving leaf is {theirs / ours:.1f} times the engine's rate")


if __name__ == "__main__":
    main()
