"""Drives and linkages in a site file: what may be written, and what is refused with its line."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import Site, load_site
from simgate.files import UserError, scenarios
from simgate.plant.presets import presets
from simgate.plant.spec import ArmLinkage, HingeLinkage, OilRamLinkage, RackLinkage, SlideSpec
from simgate.wiring.spec import DeviceKind

MOTOR = re.compile(r"\[leaf\.motor\]\n(?:[a-z0-9_]+ = .*\n)+")
ARM = "[leaf.arm]\na_mm = 120\nb_mm = 250\narm_mm = 400\nrod_mm = 500\nalong_mm = 600\noff_mm = 50\n"
OIL = (
    "[leaf.oil_ram]\na_mm = 150\nb_mm = 150\narm_mm = 700\nbore_mm = 35\nrod_mm = 20\npump_cm3 = 0.25\n"
    "relief_bar = 40\nlock_bar = 60\n"
)


def written(folder: Path, was: str | re.Pattern[str], now: str) -> Path:
    """The small yard with one thing written otherwise."""
    text = (scenarios() / "sites" / "yard-single.toml").read_text()
    changed = re.sub(was, now, text)
    assert changed != text
    path = folder / "own.toml"
    path.write_text(changed)
    return path


def site(folder: Path, was: str | re.Pattern[str], now: str) -> Site:
    return load_site(str(written(folder, was, now)))


def linked(folder: Path, linkage: str) -> Site:
    return site(folder, r"\[\[beam\]\]", f"{linkage}\n[[beam]]")


@pytest.mark.parametrize("name", presets())
def test_a_ready_drive_is_named_instead_of_a_motor(name: str, tmp_path: Path) -> None:
    loaded = site(tmp_path, MOTOR, f'drive = "{name}"\n\n')
    _, drive = loaded.plant.leaves[0]
    assert drive == presets()[name].drive()
    motor = next(device for device in loaded.wiring.devices if device.kind is DeviceKind.MOTOR)
    assert motor.winding == drive.motor.resistance
    assert Bench(Setup("own", loaded, (("leaves", 1),), learned=True)).board.learned


def test_a_folding_arm_is_written_in_millimetres(tmp_path: Path) -> None:
    loaded = linked(tmp_path, ARM)
    assert loaded.plant.leaves[0][1].linkage == ArmLinkage(0.12, 0.25, 0.4, 0.5, 0.6, 0.05)
    assert Bench(Setup("own", loaded, (("leaves", 1),), learned=True)).board.learned


def test_a_hydraulic_ram_is_written_by_bore_rod_pump_and_bar(tmp_path: Path) -> None:
    text = written(tmp_path, r"holding_nm = 300\n", "").read_text()
    own = tmp_path / "own.toml"
    own.write_text(text.replace("reduction = 2000", "reduction = 1").replace("[[beam]]", f"{OIL}\n[[beam]]"))
    linkage = load_site(str(own)).plant.leaves[0][1].linkage
    assert isinstance(linkage, OilRamLinkage)
    assert linkage.pump.area_closing == pytest.approx(math.pi * 0.0175**2)
    assert linkage.pump.area_opening == pytest.approx(math.pi * (0.0175**2 - 0.01**2))
    assert (linkage.pump.displacement, linkage.pump.relief, linkage.pump.lock) == (0.25e-6, 4.0e6, 6.0e6)


def test_a_slide_is_written_by_its_track_and_the_teeth_of_its_pinion() -> None:
    """Pitch diameter is module times teeth (ISO 21771): 4 x 16 = 64 mm; 0.3 % of 380 kg is 11.2 N."""
    ((leaf, drive),) = load_site("works-slide").plant.leaves
    assert isinstance(drive.linkage, RackLinkage)
    assert drive.linkage.pinion_radius == pytest.approx(0.032)
    assert isinstance(leaf, SlideSpec)
    assert (leaf.travel, leaf.width, leaf.mass, leaf.viscous, leaf.coulomb) == (4.4, 5.0, 380.0, 40.0, 90.0)
    assert leaf.slope == pytest.approx(380.0 * 9.80665 * 0.003, rel=1e-4)
    assert load_site("works-slide").plant.wind == 4.0


def test_a_pulse_ring_on_the_hinge_is_written_with_the_leaf() -> None:
    assert load_site("park-oil").plant.leaves[0][1].hinge_pulses == 4096
    assert load_site("yard-single").plant.leaves[0][1].hinge_pulses == 0


def test_a_motor_without_a_linkage_turns_the_hinge() -> None:
    assert load_site("yard-single").plant.leaves[0][1].linkage == HingeLinkage()


WRONG = {
    "no drive": (MOTOR, "", "leaf[1].motor: found nothing; allowed: a [leaf.motor], or drive as one of"),
    "two drives": (
        re.compile("solidity = 0.3\n"),
        'solidity = 0.3\ndrive = "in-ground"\n',
        "leaf[1].drive: found a drive by name and a [leaf.motor]; allowed: one of the two",
    ),
    "misspelt": (MOTOR, 'drive = "in-grond"\n\n', "did you mean 'in-ground'?"),
    "linkage for a hinge drive": (
        MOTOR,
        f'drive = "post-top"\n\n{ARM}\n',
        "leaf[1].arm: found a linkage for 'post-top'",
    ),
    "two linkages": (
        re.compile(r"\[\[beam\]\]"),
        f"{ARM}\n{OIL}\n[[beam]]",
        "leaf[1].oil_ram: found arm and oil_ram; allowed: one linkage for one drive",
    ),
    "stretched arm": (
        re.compile(r"\[\[beam\]\]"),
        f"{ARM.replace('rod_mm = 500', 'rod_mm = 300')}\n[[beam]]",
        "in line, a dead centre",
    ),
    "thick rod": (
        re.compile(r"\[\[beam\]\]"),
        f"{OIL.replace('rod_mm = 20', 'rod_mm = 40')}\n[[beam]]",
        "found oil ram rod: 40.0 mm; allowed: it must be thinner than the bore",
    ),
    "gear and lock": (re.compile(r"\[\[beam\]\]"), f"{OIL}\n[[beam]]", "with a pump the oil lock holds"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_drive_that_cannot_be_is_refused_with_its_line(case: str, tmp_path: Path) -> None:
    was, now, words = WRONG[case]
    with pytest.raises(UserError) as caught:
        site(tmp_path, was, now)
    assert words in str(caught.value)
    assert re.match(r"own\.toml:\d+: ", str(caught.value))
