"""Which tapes in a folder are of runs left before their end: looked at by head and last line alone.

Reading each tape whole, and checking each against its job, would be felt at the first screen once there are
some hundreds of them. What is offered here is read with all care when somebody goes on with it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any, BinaryIO

from simgate.bench.tape_marks import END, FORMAT, lock

PUT_AWAY = "put away"
TAIL = 8192  # bytes; no line that hands can write is near as long


@dataclass(frozen=True, slots=True)
class LeftOpen:
    """A run left open. tick: the last ms on its tape. when: s since the epoch, of the last line written."""

    path: Path
    job: str
    version: str
    setup: str
    seed: int
    tick: int
    when: float


def runs_left_open(folder: Path) -> list[LeftOpen]:
    """The runs in `folder` that can be gone on with, the last one first. A folder that is none holds none.

    Runs in which nothing was done are left out, and those that go on in another window.
    """
    return sorted(_found(folder), key=lambda run: (-run.when, str(run.path)))


def put_away(path: Path) -> Path:
    """Move a run's tape to the folder 'put away' beside it, where nothing looks; gives its new place.

    A tape of the same name that is there already stays. Raises OSError when it cannot be moved.
    """
    folder = path.parent / PUT_AWAY
    folder.mkdir(exist_ok=True)
    names = (f"{path.stem}{'' if not n else f'-{n}'}{path.suffix}" for n in count())
    new = next(folder / name for name in names if not (folder / name).exists())
    return path.rename(new)


def _found(folder: Path) -> Iterator[LeftOpen]:
    try:
        paths = sorted(folder.glob("*.tape"))
    except OSError:
        return
    for path in paths:
        try:
            with path.open("rb") as file:
                run = _looked_at(path, file)
        except (OSError, ValueError, TypeError, KeyError, RecursionError):  # no tape, or none of ours
            continue
        if run is not None:
            yield run


def _looked_at(path: Path, file: BinaryIO) -> LeftOpen | None:
    head: dict[str, Any] = json.loads(file.readline(TAIL))
    size = file.seek(0, 2)
    start = file.seek(max(size - TAIL, 0))
    whole = file.read().split(b"\n")[:-1]
    if head["tape"] != FORMAT or len(whole) < 2 - bool(start) or not lock(file.fileno(), to_read=True):
        return None
    last: dict[str, Any] = json.loads(whole[-1])
    if last["do"] == END:
        return None
    job, version, setup = (str(head[key]) for key in ("job", "version", "setup"))
    return LeftOpen(path, job, version, setup, int(head["seed"]), int(last["t"]), path.stat().st_mtime)
