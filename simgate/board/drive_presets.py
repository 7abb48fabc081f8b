"""Where to begin with each kind of drive: what choosing one in the book puts into its other settings.

Data in drive_presets.toml. A preset only fills a draft: nothing is set before it was looked at and kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Annotated

from msgspec import Meta, structs

from simgate import files
from simgate.files import Shape

TABLE = Path(__file__).with_name("drive_presets.toml")
KEY = "drive"  # the setting that chooses one
AS_SET = "as set"  # its choice that leaves everything as it is
LEAVES = ("-a", "-b")
OF_EACH_LEAF = ("slow-speed", "slow-length", "force-opening", "force-closing")

Percent = Annotated[float, Meta(ge=0, le=100)]
Seconds = Annotated[float, Meta(ge=0, le=10)]


class _Preset(Shape, frozen=True, rename="kebab"):
    speed_opening: Percent
    speed_closing: Percent
    soft_start: Seconds
    slow_speed: Percent
    slow_length: Percent
    force_opening: Percent
    force_closing: Percent


class _Table(Shape, frozen=True, rename="kebab"):
    screw_ram: _Preset
    folding_arm: _Preset
    hydraulic_ram: _Preset
    in_ground: _Preset
    post_top: _Preset
    rack: _Preset


@cache
def presets() -> Mapping[str, Mapping[str, float]]:
    """Kind of drive, as the setting has it -> key of a setting -> its number. Raises UserError."""
    table, _ = files.read(TABLE, _Table, TABLE.name)
    return {field.encode_name: _settings(getattr(table, field.name)) for field in structs.fields(_Table)}


def _settings(preset: _Preset) -> dict[str, float]:
    """A preset by key; what is set for each leaf is set for both."""
    found: dict[str, float] = {}
    for field in structs.fields(_Preset):
        keys = [field.encode_name]
        if field.encode_name in OF_EACH_LEAF:
            keys = [field.encode_name + leaf for leaf in LEAVES]
        found |= dict.fromkeys(keys, getattr(preset, field.name))
    return found
