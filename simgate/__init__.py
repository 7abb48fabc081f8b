"""simgate: a bench simulator and training game for the control boards of powered gates.

The package root stays cheap: scripts and bots get `Bench` and `load_job` on first use, so that
`import simgate` (and every headless command) never pays for what it does not touch.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simgate.bench.scan import Bench as Bench
    from simgate.practice.job import load_job as load_job

_LAZY = {"Bench": "simgate.bench.scan", "load_job": "simgate.practice.job"}
__all__ = ["Bench", "load_job"]


def __getattr__(name: str) -> Any:
    if name in _LAZY:
        return getattr(import_module(_LAZY[name]), name)
    raise AttributeError(f"module 'simgate' has no attribute {name!r}")
