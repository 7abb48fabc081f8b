"""The hydraulic ram: flow over area, pressure times area, relief and lock, by closed forms and step."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.plant.linkage import Ram
from simgate.plant.spec import DriveSpec, LeafSpec, OilRamLinkage, PlantSpec, PumpSpec
from tests.plant.build import FEW, LEAF, OIL, OIL_DRIVE, OIL_MOTOR, PUMP, RAM, Watch, drive, one, run

TURN = 2.0 * math.pi
RELIEF_AMPS = 4.0e6 * 2.5e-7 / TURN / (0.75 * 0.06)  # p D / 2 pi at the shaft, over eff k: 3.54 A


def lever(angle: float) -> float:
    """Moment arm of the ram, m; checked by its own tests."""
    return Ram(RAM).leverage(angle)


def test_flow_and_pressure_of_a_textbook_cylinder() -> None:
    """Fluid power: v = Q / A and F = p A. Bore 40, rod 20 mm, 1 cm3 a turn at 25/s, 5 MPa:
    25 cm3/s; 19.9 mm/s and 6283 N shutting, 26.5 mm/s and 4712 N opening; 0.796 N m at the shaft.
    """
    bore, rod = math.pi * 0.02**2, math.pi * 0.01**2
    pump = PumpSpec(1.0e-6, bore - rod, bore, relief=5.0e6)
    assert pump.speed(25.0, opening=False) == pytest.approx(0.0199, abs=5e-5)
    assert pump.speed(25.0, opening=True) == pytest.approx(0.0265, abs=5e-5)
    assert pump.thrust(5.0e6, opening=False) == pytest.approx(6283.0, abs=0.5)
    assert pump.thrust(5.0e6, opening=True) == pytest.approx(4712.0, abs=0.5)
    assert pump.torque(5.0e6) == pytest.approx(0.796, abs=5e-4)


@pytest.mark.parametrize(("way", "area"), [(1.0, 6.5e-4), (-1.0, 9.6e-4)])
def test_an_unloaded_ram_moves_at_pump_flow_over_area(way: float, area: float) -> None:
    """24 V / 0.06 = 400 rad/s of 0.25 cm3 a turn is 15.9 cm3/s; the leaf has that over area and lever."""
    light = replace(LEAF, viscous=0.0, coulomb=0.0, mass=20.0)
    plant, leaf = one(light, OIL_DRIVE)
    leaf.put(0.8)
    drive(leaf, way * 24.0)
    run(plant, 2.0)
    flow = 400.0 / TURN * 2.5e-7
    assert PUMP.speed(400.0 / TURN, way > 0.0) == pytest.approx(flow / area)
    assert leaf.speed * lever(leaf.place) == pytest.approx(way * flow / area, rel=2e-3)


@pytest.mark.parametrize(("way", "area"), [(1.0, 6.5e-4), (-1.0, 9.6e-4)])
def test_thrust_stops_at_relief_pressure_times_area(way: float, area: float) -> None:
    """4 MPa: 2600 N opening, 3840 N shutting, along the ram; about the hinge by its lever."""
    for angle in (0.2, 1.2):
        newton = 4.0e6 * area * lever(angle) / LEAF.width
        for share, moves in ((0.98, True), (1.02, False)):
            plant, leaf = one(LEAF, OIL_DRIVE)
            leaf.put(angle)
            drive(leaf, way * 24.0)
            leaf.push = way * (-share * newton + LEAF.coulomb / LEAF.width)
            run(plant, 0.1)
            assert (way * (leaf.place - angle) > 0.0) == moves


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_at_relief_the_current_stands_and_the_motor_runs_on(way: float) -> None:
    """Closed forms: i = p D / (2 pi eff k); the shaft turns at (V - i R) / k while the leaf stands."""
    plant, leaf = one(LEAF, OIL_DRIVE)
    leaf.put(0.8)
    leaf.place_body(1.0, 0.8 + way * 1e-9)
    drive(leaf, way * 24.0)
    run(plant, 2.0)
    assert leaf.current == pytest.approx(way * RELIEF_AMPS, rel=1e-12)
    before = leaf.turns
    run(plant, 1.0)
    shaft = (24.0 - RELIEF_AMPS * 0.9) / 0.06
    assert leaf.turns - before == pytest.approx(way * shaft / TURN, rel=1e-9)
    assert leaf.emf() == pytest.approx(way * shaft * 0.06)
    assert leaf.speed == pytest.approx(0.0, abs=1e-4)


def test_a_ceiling_of_the_supply_below_relief_stalls_pump_and_motor() -> None:
    plant, leaf = one(LEAF, OIL_DRIVE)
    leaf.put(0.8)
    leaf.place_body(1.0, 0.8, damping=5.0e4)
    drive(leaf, 24.0, limit=0.5 * RELIEF_AMPS)
    run(plant, 3.0)
    before = leaf.turns
    run(plant, 1.0)
    assert leaf.current == pytest.approx(0.5 * RELIEF_AMPS)
    assert leaf.turns == pytest.approx(before, abs=0.2)
    assert leaf.emf() == pytest.approx(0.0, abs=0.05)


def test_pressure_and_so_current_follow_the_load() -> None:
    """i = F D / (2 pi A eff k), for a leaf held back by hinge friction; so the relief valve stays shut."""
    for friction in (60.0, 180.0):
        plant, leaf = one(replace(LEAF, viscous=0.0, coulomb=friction), OIL_DRIVE)
        leaf.put(0.6)
        drive(leaf, 24.0)
        run(plant, 1.5)
        pressure = friction / lever(leaf.place) / PUMP.area_opening
        amps = pressure * PUMP.displacement / TURN / (0.75 * 0.06)
        assert leaf.current == pytest.approx(amps, rel=0.03)  # the lever goes on changing the speed a little
        assert amps < RELIEF_AMPS


def test_turns_follow_flow_on_both_sides_of_the_piston() -> None:
    """Turning back, the pump moves more oil for the same stroke: turns are volume over displacement."""
    plant, leaf = one(replace(LEAF, mass=20.0), OIL_DRIVE)
    drive(leaf, 24.0)
    run(plant, 3.0)
    stroke = Ram(RAM).length(0.0) - Ram(RAM).length(leaf.place)
    assert leaf.turns == pytest.approx(stroke * PUMP.area_opening / PUMP.displacement, rel=0.05)
    at, turns = leaf.place, leaf.turns
    drive(leaf, -24.0)
    run(plant, 1.0)
    back = Ram(RAM).length(at) - Ram(RAM).length(leaf.place)
    assert leaf.turns - turns == pytest.approx(back * PUMP.area_closing / PUMP.displacement, rel=0.05)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_the_oil_lock_holds_up_to_its_pressure_on_the_smaller_area(way: float) -> None:
    """6 MPa on 650 mm2 is 3900 N along the ram; the hinge's own friction comes on top."""
    hold = 6.0e6 * 6.5e-4 * lever(0.8) / LEAF.width + LEAF.coulomb / LEAF.width
    for first in (24.0, -24.0):  # whichever side was filled last
        for share, moves in ((0.98, False), (1.03, True)):
            plant, leaf = one(LEAF, OIL_DRIVE)
            drive(leaf, first)
            run(plant, 0.05)
            leaf.powered = False
            leaf.put(0.8)
            leaf.push = way * share * hold
            run(plant, 0.5)
            assert (leaf.place != 0.8) == moves


def test_a_cut_supply_locks_a_moving_ram_almost_at_once_and_one_without_a_lock_runs_on() -> None:
    runs_on = []
    for lock in (6.0e6, 0.0):
        plant, leaf = one(LEAF, DriveSpec(OIL_MOTOR, replace(OIL, pump=replace(PUMP, lock=lock))))
        drive(leaf, 24.0)
        run(plant, 4.0)
        leaf.ohms, at = math.inf, leaf.place
        run(plant, 2.0)
        assert leaf.speed == 0.0
        runs_on.append(leaf.place - at)
    assert runs_on[0] < 0.002
    assert runs_on[1] > 5.0 * runs_on[0]


def test_a_released_ram_is_moved_by_hand_and_by_wind_and_its_pump_runs_light() -> None:
    plant, leaf = one(LEAF, OIL_DRIVE)
    leaf.released = True
    leaf.push = 30.0
    run(plant, 2.0)
    assert leaf.place > 0.2
    assert (leaf.turns, leaf.current) == (0.0, 0.0)
    plant, leaf = one(replace(LEAF, solidity=1.0), OIL_DRIVE, wind=8.0)
    run(plant, 1.0)
    assert leaf.place == 0.0  # locked
    leaf.released = True
    drive(leaf, 24.0)
    run(plant, 2.0)
    assert leaf.place > 0.2
    assert leaf.turns == pytest.approx(2.0 * 400.0 / TURN, rel=1e-9)
    assert leaf.current == 0.0


LEAVES = st.builds(
    replace,
    st.just(LEAF),
    mass=st.floats(30.0, 400.0),
    viscous=st.floats(0.0, 50.0),
    coulomb=st.floats(0.0, 60.0),
)


@FEW
@given(
    spec=LEAVES,
    lock=st.sampled_from([0.0, 2.0e5, 6.0e6]),
    ohms=st.sampled_from([0.0, 2.0, math.inf]),
    released=st.booleans(),
    start=st.floats(0.1, 1.4),
    speed=st.floats(-0.5, 0.5),
)
def test_an_unpowered_ram_never_gains_energy(
    spec: LeafSpec, lock: float, ohms: float, released: bool, start: float, speed: float
) -> None:
    _, leaf = one(spec, DriveSpec(OIL_MOTOR, replace(OIL, pump=replace(PUMP, lock=lock))))
    leaf.put(start, speed)
    leaf.ohms, leaf.released = ohms, released
    watch = Watch(leaf)
    before = first = 0.5 * spec.moment * speed**2
    for _ in range(150):
        watch.scan()
        depth = max(0.0, -leaf.place, leaf.place - spec.open_angle) * spec.width
        after = 0.5 * spec.moment * leaf.speed**2 + 0.5 * spec.stop_stiffness * depth**2
        assert after <= before + 1e-10 * first
        before = after


@FEW
@given(volts=st.lists(st.floats(-24.0, 24.0), min_size=4, max_size=4), released=st.booleans())
def test_thrown_into_reverse_a_ram_makes_no_energy(volts: list[float], released: bool) -> None:
    """At most the supply's: kinetic energy never grows by more than volts times current, scan by scan."""
    plant, leaf = one(replace(LEAF, mass=400.0), OIL_DRIVE)
    leaf.put(0.7)
    for at, amount in enumerate(volts):
        drive(leaf, amount)
        leaf.released = released and at == 2
        for _ in range(30):
            before, amps = 0.5 * leaf._inertia * leaf.speed**2, abs(leaf.current)
            plant.step()
            most = max(amps, abs(leaf.current), RELIEF_AMPS if amount else 0.0)
            assert 0.5 * leaf._inertia * leaf.speed**2 <= before + abs(amount) * most * 0.01 + 1e-9


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"displacement": 0.0}, "pump displacement"),
        ({"area_opening": -1.0}, "piston area for opening"),
        ({"area_closing": math.nan}, "piston area for closing"),
        ({"relief": 0.0}, "relief pressure"),
        ({"lock": -1.0}, "oil lock"),
    ],
)
def test_a_pump_that_cannot_be_is_refused(wrong: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        replace(PUMP, **wrong)


def test_a_ram_that_cannot_reach_and_a_gear_that_holds_beside_the_oil_are_refused() -> None:
    with pytest.raises(ValueError, match="dead centre"):
        PlantSpec(((replace(LEAF, open_angle=2.4), OIL_DRIVE),))
    with pytest.raises(ValueError, match="ram arm"):
        OilRamLinkage(0.15, 0.15, 0.0, PUMP)
    with pytest.raises(ValueError, match="oil lock holds"):
        DriveSpec(replace(OIL_MOTOR, holding=3.0), OIL)
