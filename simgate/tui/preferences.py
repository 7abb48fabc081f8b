"""What a person chose for the screen: theme, motion, keys. One small TOML file in the user's own folder.

Read with the same care as any file that people write: every mistake at once, with its line. Written line by
line, so that comments and the keys in it stay as they were.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from simgate.files import Problem, Shape, UserError, read
from simgate.tui.commands import Place, commands
from simgate.tui.keys import NO_OTHER, Keymap, cap, checked
from simgate.tui.themes import DUSK, THEMES


class Motion(Enum):
    """How much may move on the screen."""

    FULL = "full"
    REDUCED = "reduced"


class PreferencesFile(Shape, frozen=True):
    """The file."""

    theme: str = DUSK.name
    motion: Motion = Motion.FULL
    keys: dict[str, str | list[str]] = {}  # noqa: RUF012  (msgspec copies it)


@dataclass(frozen=True, slots=True)
class Preferences:
    """What was chosen. keymap: other keys, checked."""

    theme: str = DUSK.name
    motion: Motion = Motion.FULL
    keymap: Keymap = NO_OTHER


def load(path: Path) -> Preferences:
    """The preferences in `path`, or the defaults when there is no such file.

    Raises UserError with every mistake found.
    """
    if not os.path.lexists(path):
        return Preferences()
    file, document = read(path, PreferencesFile)
    keymap, problems = checked(document, file.keys)
    names = [theme.name for theme in THEMES]
    if file.theme not in names:
        problems.insert(0, document.problem(["theme"], repr(file.theme), ", ".join(names)))
    if problems:
        raise UserError(problems)
    return Preferences(file.theme, file.motion, keymap)


def save(path: Path, choices: Mapping[str, str]) -> None:
    """Keep `choices` (top keys of the file to text) in `path`, and everything else in it as it was.

    Written beside it and put in its place at once, so that a full disk leaves the file as it was. Raises
    UserError when it cannot be written.
    """
    beside = path.with_name(f"{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        text = path.read_text(encoding="utf-8") if path.exists() else blank()
        beside.write_text(_changed(text, choices), encoding="utf-8")
        beside.replace(path)
    except OSError as error:
        beside_gone(beside)
        found = error.strerror or "an unwritable file"
        raise UserError(Problem(str(path), "", found, "a file that can be written")) from None


def blank() -> str:
    """A first file: every command with its key, ready to be changed."""
    lines = [
        "# Preferences of simgate. A line under [keys] gives a command another key, or a list of them;",
        "# take the # from its beginning. A key is one character, or a name such as f5, space or ctrl+k.",
        "",
        "[keys]",
    ]
    for place in Place:
        lines += ["", f"# {place.value}"]
        for command in commands(place):
            keys = [cap(key) for key in command.key.split(",")]
            value = f'"{keys[0]}"' if len(keys) == 1 else str(keys).replace("'", '"')
            lines.append(f"# {command.id} = {value}  # {command.title}")
    return "\n".join(lines) + "\n"


def beside_gone(beside: Path) -> None:
    """Take away a half-written file, if there is one and it can be."""
    try:
        beside.unlink(missing_ok=True)
    except OSError:
        return


def _changed(text: str, choices: Mapping[str, str]) -> str:
    """The file with the lines of `choices` put in place, or before the first table."""
    lines = text.splitlines()
    top = next((n for n, line in enumerate(lines) if line.lstrip().startswith("[")), len(lines))
    for key, value in choices.items():
        line = f'{key} = "{value}"'
        place = next((n for n in range(top) if re.match(rf"\s*{key}\s*=", lines[n])), None)
        if place is None:
            lines.insert(0, line)
            top += 1
        else:
            lines[place] = line
    return "\n".join(lines) + "\n"
