"""Where a user's own files are kept: one place for each kind, by the custom of the system.

In a file of its own, because the command line looks for tapes without opening a terminal.
"""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_config_path, user_data_path

NAME = "simgate"


def tapes_folder() -> Path:
    """Where runs are kept."""
    return user_data_path(NAME) / "tapes"


def pictures_folder() -> Path:
    """Where pictures of the screen are saved."""
    return user_data_path(NAME) / "pictures"


def preferences_file() -> Path:
    """What a person chose: theme, motion, keys."""
    return user_config_path(NAME) / "preferences.toml"
