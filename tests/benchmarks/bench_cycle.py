"""Whole cycle of a double gate (open, pause, shut), headless, beside one bare leaf in a multibody engine.

Run: python tests/benchmarks/bench_cycle.py     (needs the extra [bench] for the engine's figure)
Printed, never asserted. Times are processor seconds of one core; the best of several runs.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from simgate.bench.actions import Operate
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.board.stimuli import Condition
from simgate.plant.presets import presets
from simgate.wiring.spec import DeviceKind

REPEATS = 5


def ready_gate(drive: str = "") -> Bench:
    """A double gate, learned, in Self-close, all else as a board comes; with rams, or drives by name."""
    site = load_site("farm-double")
    if drive:
        ready = presets()[drive].drive()
        leaves = tuple((leaf, ready) for leaf, _ in site.plant.leaves)
        devices = tuple(
            replace(device, winding=ready.motor.resistance) if device.kind is DeviceKind.MOTOR else device
            for device in site.wiring.devices
        )
        site = replace(
            site,
            name=drive,
            plant=replace(site.plant, leaves=leaves),
            wiring=replace(site.wiring, devices=devices),
        )
    return Bench(Setup("benchmark", site, settings=(("mode", "Self-close"),), learned=True))


def cycle(bench: Bench) -> None:
    """One call, then time until the gate is shut again."""
    bench.act(Operate("call-button", True))
    bench.run(300)
    bench.act(Operate("call-button", False))
    bench.run(2000)
    while bench.board.condition is not Condition.SHUT:
        bench.run(1000)


def best(make: Callable[[], Bench]) -> tuple[float, float, Bench]:
    """(simulated s, processor s, bench) of the quickest run."""
    results = []
    for _ in range(REPEATS):
        bench = make()
        started = time.process_time()
        cycle(bench)
        results.append((bench.tick / 1000, time.process_time() - started, bench))
    return min(results, key=lambda result: result[1])


def engine_rate(seconds: float) -> float | None:
    """Times real time of one bare hinged leaf in a general engine, motor law in Python each 1 ms."""
    try:
        import mujoco
    except ImportError:
        return None
    model = mujoco.MjModel.from_xml_string(
        """<mujoco><option timestep="0.001" gravity="0 0 0"/><worldbody><body>
        <joint name="hinge" type="hinge" axis="0 0 1" damping="5" frictionloss="20"/>
        <inertial pos="1 0 0" mass="100" diaginertia="33.3 33.3 33.3"/></body></worldbody>
        <actuator><motor joint="hinge"/></actuator></mujoco>"""
    )
    data = mujoco.MjData(model)
    k, n, r, efficiency, volts = 0.06, 2000.0, 1.2, 0.6, 12.0
    steps = int(seconds * 1000)
    started = time.process_time()
    for _ in range(steps):
        current = (volts - k * n * data.qvel[0]) / r
        data.ctrl[0] = efficiency * n * k * max(-8.0, min(8.0, current))
        mujoco.mj_step(model, data)
    return float(seconds / (time.process_time() - started))


def main() -> None:
    engine = engine_rate(10.0)
    if engine is None:
        print("one bare leaf in a general multibody engine: not installed (pip install '.[bench]')")
    else:
        print(f"one bare leaf in a general multibody engine: {engine:,.0f} times real time")
    for words, drive in (("drives at the hinge", "in-ground"), ("screw rams", "")):
        simulated, spent, bench = best(partial(ready_gate, drive))
        rate = simulated / spent
        print(
            f"whole bench, double gate, {words}, one cycle of {simulated:.1f} s: {rate:,.0f} times real time"
        )
        moving = simulated - bench.board.settings.number("pause")
        print(f"  of the {moving:.1f} s in motion alone, at the least: {moving / spent:,.0f} times real time")
        calls, scans = bench.board.chart.calls, bench.tick // 10
        print(f"  chart called {calls} times in {scans} scans ({100 * calls / scans:.2f} %)")
        if engine is not None:
            print(f"  {rate / engine:.2f} times as fast as the engine's bare leaf")


if __name__ == "__main__":
    main()
