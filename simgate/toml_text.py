"""From the bytes of a TOML file to plain values, and from a key back to its line.

Python's own reader is right about what TOML is, but it keeps no positions, speaks of tuples, and can be
kept busy for hours by a file that is small and wrong on purpose. What it would choke on is refused
here first, in words.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any

Path = tuple[str | int, ...]

MOST_BYTES = 200_000  # a hand-written scenario is a few kB; more is a wrong file, not a big one
MOST_IN_LINE = 10_000  # characters; a briefing on one line has some hundreds
MOST_PARTS = 16  # of a dotted key; the reader's time grows with their square
BOM = b"\xef\xbb\xbf"

_PART = r"(?:[\w-]+|\"[^\"\n]*\"|'[^'\n]*')"
_DOTTED = re.compile(rf"(?<![\w.\"'-]){_PART}(?:[ \t]*\.[ \t]*{_PART}){{{MOST_PARTS}}}")
_DIGITS = re.compile(r"\d[\d_]{999}")


class NotToml(ValueError):
    """Bytes that are no TOML, or none that a person would write: what was found, what is allowed, where."""

    def __init__(self, found: str, allowed: str, line: int | None = None) -> None:
        super().__init__(found)
        self.found, self.allowed, self.line = found, allowed, line


def decoded(data: bytes) -> str:
    """The text of a file. Raises NotToml for what is not UTF-8, or is far too long to have been written."""
    if len(data) > MOST_BYTES:
        raise NotToml(f"more than {MOST_BYTES:,} bytes", "a TOML file below that size", 1)
    if data.startswith(BOM):
        raise NotToml("a byte order mark before the text", "UTF-8 text without one", 1)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise NotToml(f"byte 0x{data[error.start]:02x}", "UTF-8 text", line) from None
    for number, line_text in enumerate(text.split("\n"), 1):
        if len(line_text) > MOST_IN_LINE:
            raise NotToml(
                f"a line of {len(line_text):,} characters",
                f"TOML in lines of {MOST_IN_LINE:,} or fewer",
                number,
            )
    return text


@lru_cache(maxsize=32)  # a job is read with its site, a lint reads a file more than once; nobody writes to it
def parsed(text: str) -> Mapping[str, Any]:
    """The values of TOML `text`. Raises NotToml."""
    if (deep := _too_deep(text)) is not None:
        raise NotToml(f"a key of more than {MOST_PARTS} parts", "fewer", deep)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        words = re.sub(r"\(('[^()]*'),?\)", lambda match: _key_in_words(match[1]), str(error))
        at = re.search(r"line (\d+)", words)
        raise NotToml(words, "TOML", int(at[1]) if at else text.count("\n") + 1) from None
    except RecursionError:
        raise NotToml("brackets nested too deep", "TOML of ordinary nesting", _deepest(text)) from None
    except (ValueError, OverflowError):
        digits = _DIGITS.search(text)
        line = _line_at(text, digits.start()) if digits else 1
        raise NotToml("a number that cannot be read", "TOML of ordinary numbers and dates", line) from None


def _too_deep(text: str) -> int | None:
    """The line of the first key with too many parts; only lines with so many dots are searched for one."""
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") >= MOST_PARTS and _DOTTED.search(line):
            return number
    return None


def _key_in_words(parts: str) -> str:
    return "'" + ".".join(part.strip(" '\"") for part in parts.split(",")) + "'"


def _line_at(text: str, place: int) -> int:
    return text.count("\n", 0, place) + 1


def _deepest(text: str) -> int:
    """The line by whose end most brackets are open, or in which most are opened."""
    depth, best = 0, (0, 1)
    for number, line in enumerate(text.split("\n"), 1):
        opened = line.count("[") + line.count("{")
        best = max(best, (depth + opened, -number))
        depth += opened - line.count("]") - line.count("}")
    return abs(best[1])


# Lines --------------------------------------------------------------------------------------------

_HEADER = re.compile(r"(\[\[?)[ \t]*([^\[\]]+)\]")
_KEY = re.compile(rf"({_PART}(?:[ \t]*\.[ \t]*{_PART})*)[ \t]*=")
_PLAIN = re.compile(r"[\w-]+")
_KEY_PART = re.compile(r"\"([^\"]*)\"|'([^']*)'|([\w-]+)")
_TRIPLE = re.compile(r"\"\"\"|'''")


def line_of(text: str, path: Sequence[str | int]) -> int | None:
    """The line where `path` stands in TOML `text`, or its nearest enclosing table; None for the top."""
    lines = _lines(text)
    whole = tuple(path)
    return next((lines[whole[:depth]] for depth in range(len(whole), 0, -1) if whole[:depth] in lines), None)


@lru_cache(maxsize=4)  # a file with many mistakes is asked once for each
def _lines(text: str) -> Mapping[Path, int]:
    """The first line of every table and key, found by reading the text once more."""
    lines: dict[Path, int] = {}
    table: Path = ()
    counts: dict[Path, int] = {}
    for number, line in _outside_long_texts(text):
        if header := _HEADER.match(line):
            table = here = _resolve(_split(header[2]), counts, is_list=header[1] == "[[")
        elif key := _KEY.match(line):
            here = (*table, *_split(key[1]))
        else:
            continue
        while here and here not in lines:  # what encloses a known one is known
            lines[here] = number
            here = here[:-1]
    return lines


def _outside_long_texts(text: str) -> Iterator[tuple[int, str]]:
    """Lines with their numbers, without those inside a text of several lines, where anything may stand."""
    closing = ""
    for number, line in enumerate(text.split("\n"), 1):
        if closing:
            closing = "" if closing in line else closing
            continue
        yield number, line.strip()
        if '"""' not in line and "'''" not in line:
            continue
        mark = _TRIPLE.search(line)
        if mark and "#" not in line[: mark.start()] and mark[0] not in line[mark.end() :]:
            closing = mark[0]


def _split(key: str) -> Path:
    if _PLAIN.fullmatch(key):
        return (key,)
    return tuple(match[1] or match[2] or match[3] or "" for match in _KEY_PART.finditer(key))


def _resolve(parts: Path, counts: dict[Path, int], is_list: bool) -> Path:
    """A header's full path, list tables carrying the index that they have reached."""
    path: Path = ()
    for position, part in enumerate(parts):
        path = (*path, part)
        if position == len(parts) - 1 and is_list:
            counts[path] = counts.get(path, -1) + 1
        if path in counts:
            path = (*path, counts[path])
    return path
