"""The copper's tables as values: conductors, the board's own copper, devices.

What is in a wire or behind a screw is data with its source beside it. Kept in code, the figures
would be scattered over the places that use them, and nobody could hold them against the standard.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

import msgspec

from simgate.files import Problem, Shape, UserError, read

BOARD = "board"
COM, ZERO = f"{BOARD}.COM", f"{BOARD}.0V"
LEAF_NAMES = ("A", "B")


class Core(Shape, frozen=True):
    """One size of conductor. size_mm2: mm2. ohm_per_km: greatest resistance at the reference temperature."""

    size_mm2: float
    ohm_per_km: float


class Conductors(Shape, frozen=True):
    """The conductor table with what joins it: 1/K, degrees C, ohm."""

    reference_celsius: float
    temperature_coefficient: float
    screw_joint_ohms: float
    link_ohms: float
    core: list[Core]


class BoardPart(Shape, frozen=True):
    """A part of the board between two of its nodes. contact: its bit; fuse: open once that one is blown."""

    name: str
    a: str
    b: str
    ohms: float
    contact: str = ""
    fuse: str = ""
    source: Literal["", "supply", "battery", "logic", "bridge"] = ""

    def on(self, leaf: str) -> BoardPart:
        """This row for one leaf."""
        name, a, b = (text.format(leaf=leaf) for text in (self.name, self.a, self.b))
        return BoardPart(
            name=name, a=a, b=b, ohms=self.ohms, contact=self.contact, fuse=self.fuse, source=self.source
        )


class BoardCopper(Shape, frozen=True):
    """The board's copper: `inner` nodes no probe can reach, `terminals` with a screw, parts between them."""

    inner: list[str]
    terminals: list[str]
    inputs: list[str]
    leaf_inner: list[str]
    leaf_terminals: list[str]
    leaf_inputs: list[str]
    leaf_pulses: str
    contacts: list[str]
    fuses: list[str]
    bus: str
    powered_above_volts: float
    logic_volts: float
    aux_limit_amps: float
    part: list[BoardPart]
    leaf_part: list[BoardPart]


class DevicePart(Shape, frozen=True):
    """A part between a device's own terminals; a winding takes its ohms from the device.

    own: of a second contact, the end of its bit's name. absent: not there unless somebody fitted it.
    rectified: it sits behind a rectifier, and takes nothing below its drop (for the diode test; with its
    supply on, the network takes it as its ohms).
    """

    name: str
    a: str
    b: str
    ohms: float = 0.0
    contact: bool = False
    winding: bool = False
    own: str = ""
    absent: bool = False
    rectified: bool = False


class Device(Shape, frozen=True):
    """One kind of device."""

    terminals: list[str]
    rest: Literal["closed", "open", "none"]
    part: list[DevicePart]
    needs_volts: float = 0.0
    supplies: tuple[tuple[str, ...], ...] = ()
    heads: tuple[str, ...] = ()


class _Devices(Shape, frozen=True, rename="kebab"):
    button_nc: Device
    button_no: Device
    key: Device
    beam: Device
    edge: Device
    edge_through: Device
    resistor: Device
    end_nc: Device
    end_no: Device
    encoder: Device
    place_encoder: Device
    loop_no: Device
    loop_nc: Device
    motor: Device
    lamp: Device
    light: Device
    lock: Device
    line_sender: Device
    line_receiver: Device


@cache
def conductors() -> Conductors:
    """The conductor table."""
    return read(_file("conductors.toml"), Conductors)[0]


@cache
def board_copper() -> BoardCopper:
    """The board's own copper."""
    return read(_file("board_copper.toml"), BoardCopper)[0]


@cache
def devices() -> dict[str, Device]:
    """Each kind of device by the value of its `DeviceKind`."""
    table = read(_file("devices.toml"), _Devices)[0]
    return {field.encode_name: getattr(table, field.name) for field in msgspec.structs.fields(_Devices)}


def contacts_of(name: str, kind: str) -> tuple[str, ...]:
    """Names of a device's contacts: its own name, and 'name-own' for a second one."""
    return tuple(f"{name}-{row.own}" if row.own else name for row in devices()[kind].part if row.contact)


def strip(leaves: int) -> tuple[str, ...]:
    """The board's screws by name, in the order of its strips."""
    table = board_copper()
    per_leaf = (name.format(leaf=leaf) for leaf in LEAF_NAMES[:leaves] for name in table.leaf_terminals)
    return (*table.terminals, *per_leaf)


def through(kind: str) -> dict[str, str]:
    """Which other screw each screw of a device leads to, by the first of its parts that joins them."""
    pairs: dict[str, str] = {}
    for row in devices()[kind].part:
        pairs.setdefault(row.a, row.b)
        pairs.setdefault(row.b, row.a)
    return pairs


def core_ohms(length: float, size: float, celsius: float = 20.0) -> float:
    """Resistance in ohm of one core of `length` m (one way) and `size` mm2, without its joints.

    IEC 60228 class 5 maximum, and IEC 60028 for temperature. Raises UserError for a size not in the table.
    """
    table = conductors()
    for core in table.core:
        if core.size_mm2 == size:
            warming = 1.0 + table.temperature_coefficient * (celsius - table.reference_celsius)
            return core.ohm_per_km * length / 1000.0 * warming
    allowed = ", ".join(f"{core.size_mm2:g}" for core in table.core)
    raise UserError(Problem("wiring", "size", f"{size:g} mm2", f"one of {allowed} mm2"))


def _file(name: str) -> Path:
    return Path(__file__).with_name(name)
