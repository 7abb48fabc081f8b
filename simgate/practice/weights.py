"""How much a broken rule of conduct weighs: conduct.toml, read once.

A reading that is false and a person in the swing are not the same slip; one price for both would teach that
they are.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Annotated

from msgspec import Meta

from simgate.files import Shape, UserError, nearest, read

FILE = Path(__file__).with_name("conduct.toml")


class Weight(Shape, frozen=True):
    """What rules of one kind cost, and why, in words that go on from '20 marks: '."""

    marks: Annotated[int, Meta(ge=1, le=100)]
    words: str


class WeightsFile(Shape, frozen=True):
    """The file."""

    weight: dict[str, Weight]
    rule: dict[str, str]


@cache
def weights(path: Path = FILE) -> Mapping[str, Weight]:
    """The weight of each rule, by its name. Raises UserError for one that is not in the file."""
    file, document = read(path, WeightsFile, path.name)
    unknown = [
        document.problem(["rule", rule], f"'{name}'", nearest(name, file.weight))
        for rule, name in file.rule.items()
        if name not in file.weight
    ]
    if unknown:
        raise UserError(unknown)
    return {rule: file.weight[name] for rule, name in file.rule.items()}
