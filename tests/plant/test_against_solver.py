"""Leaf problems against a general ODE solver (scipy's solve_ivp, DOP853, rtol 1e-10).

The equations are written here again from the physics, with the triangle of the ram in coordinates; only
numbers are shared with the iron. Movement in one direction up to a contact (an event ends it), then the
contact up to the turn: that is where a peak force can be. Bounds: 2 ms and 1 %.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from simgate.plant.leaf import Leaf
from simgate.plant.spec import DriveSpec, HingeLinkage, LeafSpec, MotorSpec, RamLinkage, SlideSpec
from tests.plant.build import (
    ARM,
    ARM_DRIVE,
    HINGE_DRIVE,
    LEAF,
    MOTOR,
    OIL,
    OIL_MOTOR,
    PUMP,
    RACK,
    RACK_DRIVE,
    RAM,
    RAM_MOTOR,
    SLIDE,
    SLIDE_MOTOR,
    Watch,
    drive,
    one,
)

if TYPE_CHECKING:
    from scipy.integrate._ivp.ivp import OdeResult  # the name has no public home

State = NDArray[np.float64]
Rates = Callable[[float, State], list[float]]
Rising = Callable[[State], float]
MILLISECONDS = 0.002
PERCENT = 0.01


def hinge_ratio(angle: float) -> float:
    return 1.0


def ram_ratio(angle: float, ram: RamLinkage = RAM) -> float:
    """Torque about the hinge of 1 N along the ram (cross product of lever and line of force), per lead."""
    leaf_pivot = np.array([ram.arm * math.cos(angle), ram.arm * math.sin(angle)])
    line = np.array([-ram.a, ram.b]) - leaf_pivot
    line = line / np.linalg.norm(line)
    return float(leaf_pivot[0] * line[1] - leaf_pivot[1] * line[0]) * 2.0 * math.pi / ram.screw_lead


def arm_ratio(angle: float) -> float:
    """Gear torque 1 as a pull along the rod, and that pull's torque about the hinge, in coordinates."""
    post = np.array([-ARM.a, ARM.b])
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    leaf_pivot = turn @ np.array([ARM.along, ARM.off])
    line = leaf_pivot - post
    span = float(np.linalg.norm(line))
    along = (ARM.arm**2 - ARM.rod**2 + span**2) / (2.0 * span)
    side = np.array([-line[1], line[0]]) / span
    elbow = post + along * line / span + math.sqrt(ARM.arm**2 - along**2) * side
    rod, arm = elbow - leaf_pivot, elbow - post
    at_hinge = leaf_pivot[0] * rod[1] - leaf_pivot[1] * rod[0]
    return float(at_hinge / (arm[0] * rod[1] - arm[1] * rod[0]))


def rack_ratio(place: float) -> float:
    return 1.0 / RACK.pinion_radius


def mass_and_load(leaf: LeafSpec | SlideSpec, wind: float, way: float, at: float) -> tuple[float, float]:
    """Inertia about the hinge (or mass) and the load of slope and wind on a leaf going `way`."""
    blow = math.copysign(0.5 * 1.25 * wind**2, wind) * 1.2 * leaf.width * leaf.height * leaf.solidity
    if isinstance(leaf, SlideSpec):
        return leaf.mass, leaf.slope - way * leaf.guide * abs(blow)
    load = leaf.slope * math.sin(at - leaf.slope_at) + blow * leaf.width / 2.0 * math.cos(at)
    return leaf.mass * leaf.width**2 / 3.0, load


@dataclass(frozen=True)
class Problem:
    """One movement. way: its sign. at: angle where a contact, of spring, damper and radius, begins."""

    leaf: LeafSpec | SlideSpec
    way: float
    start: float
    at: float
    speed: float = 0.0
    motor: MotorSpec | None = None
    ratio: Callable[[float], float] = hinge_ratio
    volts: float = 0.0
    limit: float = math.inf
    wind: float = 0.0
    spring: float = 5.0e5
    damper: float = 2.0e3
    radius: float = 2.0

    def force(self, angle: float, speed: float) -> float:
        depth, rate = self.way * self.radius * (angle - self.at), self.way * self.radius * speed
        return max(0.0, self.spring * depth + self.damper * rate)

    def pull(self, motor: MotorSpec, ratio: float, speed: float) -> float:
        """The motor's torque about the hinge (or force), losses included."""
        amps = (self.volts - motor.constant * motor.reduction * ratio * speed) / motor.resistance
        amps = min(max(amps, -self.limit), self.limit) - self.way * motor.no_load
        pull = motor.constant * motor.reduction * ratio * amps
        return pull * motor.forward_efficiency if pull * self.way > 0 else pull / motor.back_efficiency

    def slope(self, touching: bool) -> Rates:
        leaf, motor, way = self.leaf, self.motor, self.way

        def rates(_: float, state: State) -> list[float]:
            angle, speed = float(state[0]), float(state[1])
            inertia, torque = mass_and_load(leaf, self.wind, way, angle)
            torque -= leaf.viscous * speed + way * leaf.coulomb
            if motor is not None:
                ratio = self.ratio(angle)
                torque += self.pull(motor, ratio, speed)
                reflected = motor.rotor_inertia * motor.reduction**2
                inertia += reflected * ratio**2
                bend = (self.ratio(angle + 1e-6) - self.ratio(angle - 1e-6)) / 2e-6
                torque -= reflected * ratio * bend * speed**2
            if touching:
                torque -= way * self.radius * self.force(angle, speed)
            return [speed, torque / inertia]

        return rates

    def solve(self) -> tuple[float, float]:
        """Seconds to the contact, and the peak force in it (N)."""
        travel = integrate(
            self.slope(False), [self.start, self.speed], lambda state: self.way * (state[0] - self.at)
        )
        arrival = [float(value) for value in travel.y[:, -1]]
        blow = integrate(self.slope(True), arrival, lambda state: -self.way * state[1], max_step=5e-4)
        return float(travel.t[-1]), max(self.force(float(a), float(w)) for a, w in blow.y.T)

    def settle(self) -> tuple[float, float]:
        """Seconds to rest by friction alone, and the angle there."""
        end = integrate(self.slope(False), [self.start, self.speed], lambda state: -self.way * state[1])
        return float(end.t[-1]), float(end.y[0, -1])


@dataclass(frozen=True)
class OilProblem(Problem):
    """The ratio is the ram's leverage in m; flow, pressure and thrust are worked out as such."""

    def pull(self, motor: MotorSpec, ratio: float, speed: float) -> float:
        area = PUMP.area_opening if self.way > 0.0 else PUMP.area_closing
        flow = area * ratio * abs(speed)  # m3/s
        amps = (
            abs(self.volts) - motor.constant * 2.0 * math.pi * flow / PUMP.displacement
        ) / motor.resistance
        shaft = motor.constant * (min(amps, self.limit) - motor.no_load)
        shaft = shaft * motor.forward_efficiency if shaft > 0.0 else shaft / motor.back_efficiency  # overrun
        pressure = min(shaft * 2.0 * math.pi / PUMP.displacement, PUMP.relief)
        return self.way * pressure * area * ratio


def integrate(rates: Rates, start: list[float], rising: Rising, max_step: float = math.inf) -> OdeResult:
    """Integrate tightly until `rising` of the state comes up through zero, within a minute."""

    def event(_: float, state: State) -> float:
        return float(rising(state))

    event.terminal = True  # type: ignore[attr-defined]  # solve_ivp's own way of asking
    event.direction = 1.0  # type: ignore[attr-defined]
    result: OdeResult = solve_ivp(
        rates, (0.0, 60.0), start, method="DOP853", rtol=1e-10, atol=1e-12, events=event, max_step=max_step
    )
    assert result.status == 1, "the event never comes"
    return result


def travel_time(watch: Watch, problem: Problem) -> float:
    """Seconds at which the leaf passes the contact angle, between two steps."""
    last = (0.0, watch.leaf.place)
    while watch.clock < 60_000:
        for seconds, angle, _ in watch.scan():
            if problem.way * (angle - problem.at) >= 0.0:
                share = (problem.at - last[1]) / (angle - last[1])
                return last[0] + share * (seconds - last[0])
            last = (seconds, angle)
    raise AssertionError("the leaf never comes to the contact")


def check(problem: Problem, leaf: Leaf, read_peak: Callable[[Leaf], float]) -> None:
    watch = Watch(leaf, problem.wind)
    seconds, peak = problem.solve()
    assert travel_time(watch, problem) == pytest.approx(seconds, abs=MILLISECONDS)
    for _ in range(30):
        watch.scan()
    assert read_peak(leaf) == pytest.approx(peak, rel=PERCENT)


def stop_peak(leaf: Leaf) -> float:
    return leaf.peak_stop_force


def body_peak(leaf: Leaf) -> float:
    return leaf.peak_body_force


NO_LOADS = (0.0, 0.8)  # A


@pytest.mark.parametrize("no_load", NO_LOADS)
@pytest.mark.parametrize(("volts", "limit"), [(24.0, 8.0), (8.4, 4.0)])
def test_a_hinge_drive_runs_into_the_open_stop_as_the_solver_says(
    no_load: float, volts: float, limit: float
) -> None:
    motor = replace(MOTOR, no_load=no_load)
    problem = Problem(LEAF, 1.0, 0.0, LEAF.open_angle, motor=motor, volts=volts, limit=limit)
    _, leaf = one(LEAF, DriveSpec(motor, HingeLinkage()))
    drive(leaf, volts, limit=limit)
    check(problem, leaf, stop_peak)


def test_wind_that_overhauls_a_drive_turns_its_motor_against_its_own_friction_as_the_solver_says() -> None:
    """A reversible drive in a wind: helped up to the speed at which i = I0, and braked beyond it."""
    motor = replace(MOTOR, no_load=0.8, holding=0.0)
    problem = Problem(LEAF, 1.0, 0.0, LEAF.open_angle, motor=motor, volts=8.0, limit=8.0, wind=30.0)
    _, leaf = one(LEAF, DriveSpec(motor, HingeLinkage()), wind=30.0)
    drive(leaf, 8.0, limit=8.0)
    check(problem, leaf, stop_peak)


@pytest.mark.parametrize("no_load", NO_LOADS)
def test_a_ram_shuts_as_the_solver_says(no_load: float) -> None:
    motor = replace(RAM_MOTOR, no_load=no_load)
    problem = Problem(LEAF, -1.0, LEAF.open_angle, 0.0, motor=motor, ratio=ram_ratio, volts=-24.0, limit=6.0)
    _, leaf = one(LEAF, DriveSpec(motor, RAM))
    leaf.put(LEAF.open_angle)
    drive(leaf, -24.0, limit=6.0)
    check(problem, leaf, stop_peak)


def test_a_folding_arm_opens_as_the_solver_says() -> None:
    problem = Problem(
        LEAF, 1.0, 0.0, LEAF.open_angle, motor=MOTOR, ratio=arm_ratio, volts=24.0, limit=8.0, wind=-5.0
    )
    _, leaf = one(LEAF, ARM_DRIVE)
    drive(leaf, 24.0, limit=8.0)
    check(problem, leaf, stop_peak)


def oil_leverage(angle: float) -> float:
    return ram_ratio(angle) * RAM.screw_lead / (2.0 * math.pi)


@pytest.mark.parametrize("no_load", NO_LOADS)
@pytest.mark.parametrize(("way", "volts"), [(1.0, 24.0), (-1.0, 24.0), (1.0, 10.0)])
def test_a_hydraulic_ram_moves_into_its_stop_as_the_solver_says(
    way: float, volts: float, no_load: float
) -> None:
    """From rest through the relief valve (at 24 V), then by the pump's line; no rotor, see oil.py."""
    heavy = replace(LEAF, mass=400.0, coulomb=60.0)
    start, stop = (0.0, LEAF.open_angle) if way > 0.0 else (LEAF.open_angle, 0.0)
    motor = replace(OIL_MOTOR, no_load=no_load)
    problem = OilProblem(
        heavy, way, start, stop, motor=replace(motor, rotor_inertia=0.0), ratio=oil_leverage,
        volts=way * volts, wind=-2.0 * way,
    )  # fmt: skip
    assert (OIL.a, OIL.b, OIL.arm) == (RAM.a, RAM.b, RAM.arm)
    _, leaf = one(heavy, DriveSpec(motor, OIL))
    leaf.put(start)
    drive(leaf, way * volts)
    check(problem, leaf, stop_peak)


@pytest.mark.parametrize("no_load", NO_LOADS)
def test_a_slide_runs_into_its_open_stop_as_the_solver_says(no_load: float) -> None:
    sloping, motor = replace(SLIDE, slope=-15.0), replace(SLIDE_MOTOR, no_load=no_load)
    problem = Problem(
        sloping, 1.0, 0.0, SLIDE.travel, motor=motor, ratio=rack_ratio, volts=24.0, limit=4.0, wind=8.0,
        radius=1.0,
    )  # fmt: skip
    _, leaf = one(sloping, DriveSpec(motor, RACK))
    drive(leaf, 24.0, limit=4.0)
    check(problem, leaf, stop_peak)


def test_a_slide_shuts_on_a_body_as_the_solver_says() -> None:
    problem = Problem(
        SLIDE, -1.0, 3.0, 1.2, motor=SLIDE_MOTOR, ratio=rack_ratio, volts=-18.0, limit=5.0, spring=1.0e5,
        damper=300.0, radius=1.0,
    )  # fmt: skip
    _, leaf = one(SLIDE, RACK_DRIVE)
    leaf.put(3.0)
    leaf.place_body(1.0, 1.2, stiffness=1.0e5, damping=300.0)
    drive(leaf, -18.0, limit=5.0)
    check(problem, leaf, body_peak)


def test_a_drive_opens_against_the_wind_as_the_solver_says() -> None:
    problem = Problem(LEAF, 1.0, 0.0, LEAF.open_angle, motor=MOTOR, volts=24.0, limit=3.0, wind=-15.0)
    _, leaf = one()
    drive(leaf, 24.0, limit=3.0)
    check(problem, leaf, stop_peak)


def test_a_driven_leaf_presses_on_a_body_as_the_solver_says() -> None:
    problem = Problem(
        LEAF, -1.0, 1.5, 0.7, motor=MOTOR, volts=-24.0, limit=3.0, spring=1.0e5, damper=300.0, radius=1.2
    )
    _, leaf = one()
    leaf.put(1.5)
    leaf.place_body(1.2, 0.7, stiffness=1.0e5, damping=300.0)
    drive(leaf, -24.0, limit=3.0)
    check(problem, leaf, body_peak)


def test_a_free_leaf_falls_shut_on_its_slope_as_the_solver_says() -> None:
    sloping = replace(LEAF, slope=60.0, slope_at=2.6)
    problem = Problem(sloping, -1.0, 1.2, 0.0)
    _, leaf = one(sloping, HINGE_DRIVE)
    leaf.put(1.2)
    leaf.released = True
    check(problem, leaf, stop_peak)


def test_a_free_leaf_coasts_up_its_slope_and_rests_where_the_solver_says() -> None:
    sloping = replace(LEAF, slope=15.0, slope_at=1.8)
    seconds, angle = Problem(sloping, 1.0, 0.1, 9.9, speed=0.5).settle()
    _, leaf = one(sloping, DriveSpec(MOTOR, HingeLinkage()))
    leaf.put(0.1, 0.5)
    leaf.released = True
    watch = Watch(leaf)
    trail = [row for _ in range(300) for row in watch.scan()]
    rest = next(row for row in trail if row[2] == 0.0)
    assert rest[0] == pytest.approx(seconds, abs=MILLISECONDS)
    assert rest[1] == pytest.approx(angle, abs=1e-4)
    assert trail[-1][1] == rest[1]  # dry friction: it stays where it came to rest


def test_glides_come_to_the_stop_at_the_same_time_as_steps() -> None:
    """The whole plant, by scans, against the solver too: the scan that arrives is the solver's scan."""
    seconds, _ = Problem(LEAF, 1.0, 0.0, LEAF.open_angle, motor=MOTOR, volts=24.0, limit=8.0).solve()
    plant, leaf = one()
    drive(leaf, 24.0, limit=8.0)
    scans = 0
    while leaf.stop_force == 0.0:
        plant.step()
        scans += 1
    assert (scans - 1) / 100.0 - MILLISECONDS <= seconds <= scans / 100.0 + MILLISECONDS
