"""Signals that end the program: each ends it in order, with the terminal given back and the tape whole.

A terminal that is closed, a machine that shuts down and a kill from outside all look the same to a run: hands
were taken away, and it can be gone on with.
"""

from __future__ import annotations

import os
import signal
import sys
from asyncio import get_running_loop
from collections.abc import Callable
from contextlib import suppress
from functools import partial

ENDING = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGHUP", "SIGINT", "SIGQUIT") if hasattr(signal, name)
)
KILLED = 128  # an exit code by custom: this and the signal's number
HUNG_UP = KILLED + 1
LOOK = 1.0  # s between two looks whether the terminal is still there


def on_signals(leave: Callable[..., object]) -> None:
    """Have `leave(return_code=...)` called when the program is told to end."""
    for number in ENDING:
        with suppress(NotImplementedError, RuntimeError):  # a loop that knows no signals, or not its thread
            get_running_loop().add_signal_handler(number, partial(leave, return_code=KILLED + number))


def terminal_gone() -> bool:
    """Whether the terminal that keys came from is no longer there, though no signal told of it."""
    try:
        return sys.__stdin__ is not None and not os.isatty(sys.__stdin__.fileno())
    except (OSError, ValueError):
        return True
