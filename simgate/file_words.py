"""The words of a report on a file: a found value on one line, a path in dots, the name that was meant.

Whatever a person wrote is quoted short and printable here, so that no report is longer than what it tells of
and none of it is obeyed by a terminal.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from itertools import islice

LONGEST_WORD = 60  # characters; nobody misspells a longer name, and comparing it takes its time
FEW, MOST_LISTED = 16, 24  # names that can be told beside a nearest one, and without one


def nearest(word: str, choices: Iterable[str]) -> str:
    """'did you mean' for a misspelt name, with the whole list where that is short; else the list."""
    import difflib  # only a misspelt word needs it, and it would be felt in every start

    known = sorted(choices)
    spelled = {name.lower(): name for name in known}
    most = 1 if len(known) <= FEW else 3
    near = difflib.get_close_matches(word.lower(), spelled, n=most) if len(word) <= LONGEST_WORD else []
    close = [spelled[name] for name in near]
    if close and len(known) > FEW:
        return f"did you mean {' or '.join(repr(one) for one in close)}?"
    listed = ", ".join(known if len(known) <= MOST_LISTED else [*known[:MOST_LISTED], "..."]) or "nothing"
    return f"did you mean '{close[0]}'? (one of: {listed})" if close else listed


def shown(value: object) -> str:
    """A found value as it is quoted in a report: short, on one line, as TOML would have it."""
    try:
        text = _quoted(value)
    except (ValueError, RecursionError):  # integers past the digit limit, tables nested past the stack
        text = f"a very large {_KINDS.get(type(value), 'value')}"
    return text if len(text) <= 60 else text[:57] + "..."


_KINDS = {int: "number", list: "list", dict: "table"}


def _quoted(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime.date | datetime.time):  # a date with a time is a date too
        return value.isoformat()
    if isinstance(value, dict):
        return (
            f"a table of {', '.join(_word(key) for key in islice(value, 9))}" if value else "an empty table"
        )
    if isinstance(value, list | tuple):
        return f"[{', '.join(_quoted(item) for item in islice(value, 20))}]"
    return "nothing" if value is None else repr(value)


def _word(key: object) -> str:
    """A key as it stands in a report."""
    text = str(key)
    return text if text.isprintable() and 0 < len(text) <= LONGEST_WORD else shown(text)


def printable(text: str) -> str:
    """`text` on one line, with what a terminal would not print (or would obey) spelled out."""
    return text if text.isprintable() else "".join(c if c.isprintable() else repr(c)[1:-1] for c in text)


def dotted(path: Sequence[str | int]) -> str:
    """('wire', 2, 'from') as 'wire[3].from'; people count from one."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{_word(part)}" if text else _word(part)
    return text
