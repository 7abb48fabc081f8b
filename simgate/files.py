"""Finding and reading the TOML files that a person may write, and the one way in which they are refused.

Jobs, sites and modes are written by trainers. Whatever is wrong with a file must come back as one
report that names file, line, key, what was found and what is allowed, for every mistake at once;
otherwise a trainer mends a file one traceback at a time. Shape is checked here (`read`), meaning is
checked by the room that owns the file, and both gather `Problem`s into one `UserError`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

import msgspec

T = TypeVar("T")

MAX_BYTES = 1_000_000  # a hand-written scenario is a few kB; more is a wrong file, not a big one

FEW = 16  # names that can be told in one report


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what a person gave us."""

    file: str
    where: str
    found: str
    allowed: str
    line: int | None = None

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        where = f" {self.where}:" if self.where else ""
        return f"{place}:{where} found {self.found}; allowed: {self.allowed}"


class UserError(Exception):
    """Input that cannot be used. Carries every problem found; printed as is, never as a traceback."""

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class Shape(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Base of every file shape: immutable, keys by name, unknown keys refused."""


@dataclass(frozen=True, slots=True)
class Document:
    """A parsed TOML file that still knows its text, so that a later check can name a line."""

    name: str
    text: str
    raw: dict[str, Any]

    def problem(self, path: Sequence[str | int], found: str, allowed: str) -> Problem:
        """A `Problem` at `path` (keys and list indices from the top of the file)."""
        return Problem(self.name, dotted(path), found, allowed, line_of(self.text, path))


# Finding ------------------------------------------------------------------------------------------


def scenarios() -> Path:
    """The folder of shipped scenarios: inside an installed wheel, or beside the package in a checkout.

    Raises UserError when the installation holds neither.
    """
    inside = Path(__file__).resolve().parent / "scenarios"
    for folder in (inside, inside.parent.parent / "scenarios"):
        if folder.is_dir():
            return folder
    raise UserError(Problem("simgate", "", "no scenarios folder", "an installation with scenarios/"))


def shipped(family: str) -> list[str]:
    """Names of the shipped files of one family ('jobs', 'sites', 'modes'), sorted."""
    return sorted(path.stem for path in (scenarios() / family).glob("*.toml"))


def find(family: str, name: str, beside: Path | None = None) -> Path:
    """The file meant by `name`: a path, a file beside another one, or the name of a shipped file.

    Raises UserError, with the nearest shipped names, when there is none.
    """
    given = Path(name)
    candidates = [given] if given.suffix == ".toml" else []
    if beside is not None:
        candidates.append(beside.parent / given.with_suffix(".toml"))
    candidates.append(scenarios() / family / f"{given.name}.toml")
    for candidate in candidates:
        if candidate.is_file():
            return candidate
    names = shipped(family)
    kind = family.removesuffix("s")
    raise UserError(
        Problem(name, "", f"no such {kind}", f"{nearest(name, names)}, or the path of a .toml file")
    )


# Reading ------------------------------------------------------------------------------------------


def parse(path: Path, name: str | None = None) -> Document:
    """Read one TOML file. Raises UserError when it cannot be read or is not TOML."""
    name = name or str(path)
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        raise UserError(
            Problem(name, "", error.strerror or "unreadable file", "a readable TOML file")
        ) from None
    if len(data) > MAX_BYTES:
        raise UserError(Problem(name, "", f"more than {MAX_BYTES:,} bytes", "a TOML file below that size"))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"byte 0x{data[error.start]:02x}"
        raise UserError(Problem(name, "", found, "UTF-8 text", line)) from None
    try:
        return Document(name, text, tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        match = re.search(r"line (\d+)", str(error))
        line_number = int(match.group(1)) if match else None
        raise UserError(Problem(name, "", str(error), "TOML", line_number)) from None
    except (RecursionError, ValueError):  # brackets nested past the parser; integers of thousands of digits
        raise UserError(
            Problem(name, "", "TOML that cannot be parsed", "ordinary nesting and numbers")
        ) from None


def read(path: Path, shape: type[T], name: str | None = None) -> tuple[T, Document]:
    """Read a TOML file as `shape` (a `Shape`), gathering every mistake of shape.

    Returns the value and its document. Raises UserError with all problems.
    """
    document = parse(path, name)
    return shaped(document, shape), document


def shaped(document: Document, shape: type[T]) -> T:
    """`document` as a value of `shape`, or UserError with every mistake of shape."""
    try:
        value = msgspec.convert(document.raw, shape)
    except (msgspec.ValidationError, OverflowError, RecursionError) as error:
        first = document.problem([], "a value of the wrong kind", str(error))
        raise UserError(list(_mistakes(document, document.raw, shape, [])) or first) from None
    if infinite := list(_infinite(document, document.raw, [])):
        raise UserError(infinite)
    return value


def _infinite(document: Document, value: Any, path: list[str | int]) -> Iterator[Problem]:
    """TOML knows inf and nan, and a lower bound lets inf pass."""
    if isinstance(value, float) and not -1e300 < value < 1e300:
        yield document.problem(path, repr(value), "a finite number")
    elif isinstance(value, dict | list):
        for key, item in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _infinite(document, item, [*path, key])


def _mistakes(document: Document, value: Any, kind: Any, path: list[str | int]) -> Iterator[Problem]:
    """Walk value and type together; msgspec alone would name only the first mistake."""
    if isinstance(value, float) and not -1e300 < value < 1e300:
        yield from _infinite(document, value, path)
        return
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        members = [member for member in get_args(kind) if member is not type(None)]
        if len(members) == 1:
            kind = members[0]
            origin = get_origin(kind)
    if origin is Annotated and isinstance(value, list | dict):  # what stands inside is told before its count
        inside = list(_mistakes(document, value, get_args(kind)[0], path))
        if inside:
            yield from inside
            return
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct) and isinstance(value, dict):
        yield from _mistakes_in_table(document, value, kind, path)
    elif (
        origin in (list, tuple)
        and isinstance(value, list)
        and get_args(kind)[-1:] in ((...,), get_args(kind))
    ):
        for index, item in enumerate(value):
            yield from _mistakes(document, item, get_args(kind)[0], [*path, index])
    elif origin is dict and isinstance(value, dict):
        for key, item in value.items():
            yield from _mistakes(document, item, get_args(kind)[1], [*path, key])
    else:
        try:
            msgspec.convert(value, kind)
        except (msgspec.ValidationError, OverflowError, RecursionError) as error:
            yield document.problem(path, shown(value), _allowed(kind, str(error)))


def _mistakes_in_table(
    document: Document, value: dict[str, Any], kind: type[msgspec.Struct], path: list[str | int]
) -> Iterator[Problem]:
    fields = {field.encode_name: field for field in msgspec.structs.fields(kind)}
    for key, item in value.items():
        if key in fields:
            yield from _mistakes(document, item, fields[key].type, [*path, key])
        else:
            yield document.problem([*path, key], "an unknown key", nearest(key, fields))
    for key, field in fields.items():
        if field.required and key not in value:
            yield document.problem([*path, key], "nothing", "a value: this key is needed")


def _allowed(kind: Any, message: str) -> str:
    """What a type allows, in words a trainer can act on."""
    values = getattr(kind, "__members__", None)
    if values is not None:
        return ", ".join(str(member.value) for member in values.values())
    if get_origin(kind) is Literal:
        return ", ".join(str(value) for value in get_args(kind))
    expected = message.split(", got")[0].removeprefix("Expected ")
    return re.sub(r"`(\w+)`", lambda match: _PLAIN.get(match.group(1), match.group(1)), expected)


_PLAIN = {"str": "text", "int": "a whole number", "float": "a number", "bool": "true or false"} | {
    "array": "a list",
    "object": "a table",
}


# Words --------------------------------------------------------------------------------------------


def nearest(word: str, choices: Iterable[str]) -> str:
    """'did you mean' for a misspelt name, with the whole list where that is short; else the list."""
    import difflib  # only a misspelt word needs it, and it would be felt in every start

    known = sorted(choices)
    close = difflib.get_close_matches(word, known, n=1 if len(known) <= FEW else 3)
    if close and len(known) > FEW:
        return f"did you mean {' or '.join(repr(one) for one in close)}? (one of {len(known)} names)"
    return (
        f"did you mean '{close[0]}'? (one of: {', '.join(known)})" if close else ", ".join(known) or "nothing"
    )


def shown(value: object) -> str:
    """A found value as it is quoted in a report: short, on one line."""
    try:
        text = repr(value)
    except (ValueError, RecursionError):  # integers past the digit limit, tables nested past the stack
        text = f"a very large {type(value).__name__}"
    return text if len(text) <= 60 else text[:57] + "..."


def dotted(path: Sequence[str | int]) -> str:
    """('wire', 2, 'from') as 'wire[3].from'; people count from one."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def line_of(text: str, path: Sequence[str | int]) -> int | None:
    """The line where `path` stands in TOML `text`, or its nearest enclosing table; None for the top.

    tomllib keeps no positions, so headers and keys are found by reading the text once more.
    """
    best: tuple[int, int | None] = (0, None)
    table: list[str | int] = []
    counts: dict[tuple[str | int, ...], int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        stripped = line.strip()
        if header := re.match(r"(\[\[?)\s*([^\[\]]+?)\s*\]\]?", stripped):
            table = _resolve(header.group(2), counts, is_list=header.group(1) == "[[")
            here: list[str | int] = table
        elif key := re.match(r"""([\w.-]+|"[^"]*"|'[^']*')\s*=""", stripped):
            here = [*table, *_split(key.group(1))]
        else:
            continue
        depth = len(here)
        if depth > best[0] and list(path[:depth]) == here:
            best = (depth, number)
    return best[1]


def _split(key: str) -> list[str]:
    return [part.strip("\"' ") for part in key.split(".")]


def _resolve(header: str, counts: dict[tuple[str | int, ...], int], is_list: bool) -> list[str | int]:
    """A header's full path, list tables carrying the index that they have reached."""
    path: list[str | int] = []
    parts = _split(header)
    for position, part in enumerate(parts):
        path.append(part)
        seen = tuple(path)
        if position == len(parts) - 1 and is_list:
            counts[seen] = counts.get(seen, -1) + 1
        if seen in counts:
            path.append(counts[seen])
    return path
