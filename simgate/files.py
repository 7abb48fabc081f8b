"""Finding and reading the TOML files that a person may write, and the one way in which they are refused.

Jobs, sites and modes are written by trainers. Whatever is wrong with a file must come back as one
report that names file, line, key, what was found and what is allowed, for every mistake at once;
otherwise a trainer mends a file one traceback at a time. Shape is checked here (`read`), meaning is
checked by the room that owns the file, and both gather `Problem`s into one `UserError`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path
from types import UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

import msgspec

from simgate.file_words import dotted, nearest, printable, shown
from simgate.toml_text import MOST_BYTES, NotToml, decoded, line_of, parsed

__all__ = [
    "Document", "Problem", "Shape", "UserError", "dotted", "find", "head", "line_of", "nearest", "parse",
    "printable", "read", "scenarios", "shaped", "shipped", "shown",
]  # fmt: skip

T = TypeVar("T")

MOST_TOLD = 50  # mistakes of one file; whoever has mended so many reads it again


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
        return printable(f"{place}:{where} found {self.found}; allowed: {self.allowed}")


class UserError(Exception):
    """Input that cannot be used. Carries every problem found; printed as is, never as a traceback."""

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        told = (problems,) if isinstance(problems, Problem) else tuple(problems)
        if len(told) > MOST_TOLD:
            more = "further mistakes, not told here"
            told = (*told[:MOST_TOLD], Problem(told[0].file, "file", more, "none; mend these first"))
        self.problems: tuple[Problem, ...] = told
        super().__init__("\n".join(str(problem) for problem in self.problems))


class Shape(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Base of every file shape: immutable, keys by name, unknown keys refused."""


@dataclass(frozen=True, slots=True)
class Document:
    """A parsed TOML file that still knows its text, so that a later check can name a line."""

    name: str
    text: str
    raw: Mapping[str, Any]

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
    try:
        for candidate in _candidates(family, name, beside):
            if candidate.is_file():
                return candidate
    except (OSError, ValueError):  # a name that no file can have: too long, or with a NUL in it
        pass
    known = nearest(name, shipped(family))
    kind, file = (
        family.removesuffix("s"),
        name if name.isprintable() and 0 < len(name) <= 200 else shown(name),
    )
    raise UserError(Problem(file, "", f"no such {kind}", f"{known}, or the path of a .toml file"))


def _candidates(family: str, name: str, beside: Path | None) -> Iterator[Path]:
    given = Path(name)
    if not given.name:  # '', '.', '/'
        return
    if given.suffix == ".toml":
        yield given
    if beside is not None and (other := beside.parent / given.with_suffix(".toml")) != beside:
        yield other  # never the asking file itself: a job may bear the name of its site
    yield scenarios() / family / f"{given.name}.toml"


# Reading ------------------------------------------------------------------------------------------


def head(path: Path) -> Mapping[str, Any]:
    """The keys above the first table of one TOML file. Raises UserError like `parse`.

    Where a text of several lines looks like a table, the file is read whole.
    """
    text = _text(path, str(path))
    try:
        return parsed(f"\n{text}".partition("\n[")[0])
    except NotToml:
        return parse(path).raw


def parse(path: Path, name: str | None = None) -> Document:
    """Read one TOML file. Raises UserError when it cannot be read or is not TOML."""
    name = name or str(path)
    text = _text(path, name)
    try:
        return Document(name, text, parsed(text))
    except NotToml as error:
        raise UserError(Problem(name, "", error.found, error.allowed, error.line)) from None


def _text(path: Path, name: str) -> str:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = (error.strerror if isinstance(error, OSError) else "") or "unreadable file"
        raise UserError(Problem(name, "", why, "a readable TOML file")) from None
    try:
        return decoded(data)
    except NotToml as error:
        raise UserError(Problem(name, "", error.found, error.allowed, error.line)) from None


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
        found = list(islice(_mistakes(document, document.raw, shape, []), MOST_TOLD + 1))
        raise UserError(found or first) from None
    if infinite := list(islice(_infinite(document, document.raw, []), MOST_TOLD + 1)):
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
        inside = list(islice(_mistakes(document, value, get_args(kind)[0], path), MOST_TOLD + 1))
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
    fields = _fields(kind)
    for key, item in value.items():
        if key in fields:
            yield from _mistakes(document, item, fields[key].type, [*path, key])
        else:
            yield document.problem([*path, key], "an unknown key", nearest(key, fields))
    for key, field in fields.items():
        if field.required and key not in value:
            yield document.problem([*path, key], "nothing", "a value: this key is needed")


@cache
def _fields(kind: type[msgspec.Struct]) -> dict[str, msgspec.structs.FieldInfo]:
    """The keys of a table; worked out from its annotations once, for that takes longer than to read one."""
    return {field.encode_name: field for field in msgspec.structs.fields(kind)}


def _allowed(kind: Any, message: str) -> str:
    """What a type allows, in words a trainer can act on."""
    values = getattr(kind, "__members__", None)
    if values is not None:
        return ", ".join(str(member.value) for member in values.values())
    if get_origin(kind) is Literal:
        return ", ".join(str(value) for value in get_args(kind))
    for part in get_args(kind) if get_origin(kind) is Annotated else ():
        if isinstance(part, msgspec.Meta) and part.description:  # words of its own, for a pattern above all
            return part.description
    if "out of range" in message:
        return "a number of ordinary size"
    expected = message.split(", got")[0].split(" - at ")[0].removeprefix("Expected ")
    return re.sub(r"`([^`]+)`", lambda match: _plain(match[1]), expected)


def _plain(names: str) -> str:
    """msgspec's 'int | str' in plain words."""
    return " or ".join(_PLAIN.get(name, name) for name in names.split(" | "))


_PLAIN = {
    "str": "text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "array": "a list",
    "object": "a table",
}
