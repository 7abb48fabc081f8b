"""A picture of the screen as a file of its own: a new name each time, never over another one."""

from __future__ import annotations

from itertools import count
from pathlib import Path

from simgate.files import Problem, UserError


def save_picture(folder: Path, svg: str) -> Path:
    """Write `svg` into `folder` under a name that is free. Raises UserError when that cannot be done."""
    path = folder
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for number in count(1):
            path = folder / f"simgate-{number:03d}.svg"
            try:
                file = path.open("x", encoding="utf-8")
            except FileExistsError:
                continue
            try:
                with file:
                    file.write(svg)
            except OSError:
                path.unlink(missing_ok=True)
                raise
            break
    except OSError as error:
        found = error.strerror or "an unwritable file"
        raise UserError(Problem(str(path), "", found, "a folder where a picture can be written")) from None
    return path
