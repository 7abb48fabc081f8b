"""What the set-up book has to say about the place where it is open: what it does, what to look for, what goes
wrong.

Settings bring their help along; work has its own in book_work.toml. A help text that nobody could turn to
would be written for nobody, so every place of the book has one, and a test walks them all.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from simgate import files
from simgate.board.book_words import WORK
from simgate.board.settings import Sheet
from simgate.board.settings_table import Help
from simgate.files import Shape, UserError, nearest

TABLE = Path(__file__).with_name("book_work.toml")


class _Table(Shape, frozen=True, rename="kebab"):
    jog_a: Help
    jog_b: Help
    learn_cycle: Help
    back_to_default: Help
    cycles_made: Help
    roll_call: Help
    devices: Help
    teach_call: Help
    teach_part_call: Help
    teach_courtesy_light: Help
    erase_one: Help
    erase_all: Help


@cache
def work_help() -> dict[str, Help]:
    """Help to each work of the book, by its name there. Raises UserError for a table that is not whole."""
    table, document = files.read(TABLE, _Table, TABLE.name)
    found = {name.replace("_", "-"): getattr(table, name) for name in _Table.__struct_fields__}
    missing = [name for name in WORK if name not in found]
    if missing:
        raise UserError(document.problem([missing[0]], "no help", nearest(missing[0], found)))
    return found


def title(item: str, sheet: Sheet) -> str:
    """The name of a setting or work, as the book has it."""
    return WORK.get(item) or sheet.setting(item).name


def help_to(item: str, sheet: Sheet) -> Help:
    """The help to a setting or work of the book."""
    return work_help()[item] if item in WORK else sheet.setting(item).help
