"""What a kind of fault is to the code: where it can be, how it goes in and out, how the copper shows it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from simgate.wiring.harness import Harness
from simgate.wiring.spec import Fault


@dataclass(frozen=True, slots=True)
class Kind:
    """How one kind of fault goes in and comes out, where, and how the copper shows it."""

    places: Callable[[Harness], Iterator[str]]
    put: Callable[[Harness, Fault], None]
    undo: Callable[[Harness, Fault], None]
    present: Callable[[Harness, Fault], bool]
