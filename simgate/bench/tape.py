"""The tape: every action of a run, written as it happens, and enough at its head to run it again.

One JSON document per line: a head, then actions with their tick, then an end. A run that was left before
its end has a note of the tick at which hands left it, and may be gone on with. Lines are written whole and
straight to the file, so that a killed process loses at most the action it was about to do; what could be
written of a line only in part is taken off again, so that a full disk leaves a tape that reads. A tape that
could not be replayed bit for bit would be worthless as a mark, so the head carries the setup's fingerprint,
which is checked, and the version, which is told when it is another than this one.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, get_args

import msgspec

from simgate.bench.actions import Action
from simgate.bench.tape_marks import END, FORMAT, LEFT, lock
from simgate.files import Document, Problem, UserError, nearest, shaped, shown

if TYPE_CHECKING:
    from simgate.bench.setup import Setup

T = TypeVar("T")

MOST_BYTES = 50_000_000  # some hundred thousand actions; more is no tape
LAST = 30 * 24 * 3_600_000  # ms; a run that goes on for more than a month of the gate's time is a slip
KINDS: dict[str, type[Any]] = {str(kind.__struct_config__.tag): kind for kind in get_args(Action)}


def own_version() -> str:
    """The version of simgate that runs, as it stands on every tape."""
    from importlib.metadata import PackageNotFoundError, version  # brings the mail library

    try:
        return version("simgate")
    except PackageNotFoundError:  # a bare source tree on the path
        return "unpackaged"


class Head(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """First line of a tape."""

    tape: int
    version: str
    job: str
    setup: str  # fingerprint
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Tape:
    """A tape as read. actions: (tick in ms, action) in order. end: last tick, None for a broken-off run.

    digest: the bench's digest at the end as the run itself found it, None for a broken-off run. left: the
    last tick at which hands left the run, 0 if they never did. size: bytes up to the end of the last whole
    line. lines: the line of each action in the file.
    """

    head: Head
    actions: tuple[tuple[int, Action], ...]
    end: int | None
    digest: str | None
    left: int = 0
    size: int = 0
    lines: tuple[int, ...] = ()

    @property
    def last(self) -> int:
        """The last tick that the tape knows of."""
        if self.end is not None:
            return self.end
        return max(self.left, self.actions[-1][0] if self.actions else 0)


class TapeError(UserError):
    """The tape cannot be written now. What was done up to here is on it, and it can be tried again."""


class TapeWriter:
    """Appends to a tape file as a run goes. Raises TapeError when the file cannot be written.

    One writer at a time: a second one on the same file, from whatever window, is refused.
    """

    def __init__(self, path: Path, setup: Setup) -> None:
        self.path = path
        self._file: int | None = None
        self._size = 0  # bytes of whole lines
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise self._failed(error) from None
        try:
            self._file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND | os.O_EXCL, 0o644)
        except FileExistsError:
            raise UserError(
                Problem(str(path), "", "a file that is there already", "a new tape's name")
            ) from None
        except OSError as error:
            raise self._failed(error) from None
        lock(self._file)
        head = Head(
            tape=FORMAT, version=own_version(), job=setup.job, setup=setup.fingerprint(), seed=setup.seed
        )
        try:
            self._line(msgspec.to_builtins(head))
        except UserError:  # a tape without a head is none
            self.close()
            with suppress(OSError):
                path.unlink()
            raise

    @classmethod
    def going_on(cls, path: Path, tape: Tape) -> TapeWriter:
        """A writer that goes on with `tape`, as read from `path`. A last line cut short is taken off first.

        Raises UserError when the run is over, goes on elsewhere, or the file cannot be written.
        """
        self = cls.__new__(cls)
        self.path, self._file, self._size = path, None, tape.size
        if tape.end is not None:
            raise UserError(Problem(str(path), "", "a run that is over", "a run left before its end"))
        try:
            self._file = os.open(path, os.O_WRONLY | os.O_APPEND)
            if not lock(self._file):
                self.close()
                raise UserError(
                    Problem(str(path), "", "a run that goes on in another window", "one window for each run")
                )
            if read_tape(path).size != tape.size:  # it went on in another window between the reading and now
                self.close()
                raise UserError(
                    Problem(str(path), "", "a run that went on meanwhile", "the run as it was read")
                )
            os.ftruncate(self._file, tape.size)
        except OSError as error:
            self.close()
            raise self._failed(error) from None
        return self

    def action(self, tick: int, action: Action) -> None:
        """Write one action. On return it is with the operating system."""
        self._line({"t": tick, **msgspec.to_builtins(action)})

    def end(self, tick: int, digest: str) -> None:
        """Write the end of the run and close the file."""
        self._line({"t": tick, "do": END, "digest": digest})
        self.close()

    def leave(self, tick: int) -> None:
        """Note when hands left the run, and close the file. A disk that is full loses this note alone."""
        with suppress(TapeError):
            self._line({"t": tick, "do": LEFT})
        self.close()

    def close(self) -> None:
        """Close the file, leaving the run open to be gone on with."""
        if self._file is not None:
            os.close(self._file)
            self._file = None

    def _line(self, value: dict[str, Any]) -> None:
        if self._file is None:
            return
        whole = data = json.dumps(value, ensure_ascii=False).encode() + b"\n"
        try:
            while data:
                data = data[os.write(self._file, data) :]
        except OSError as error:
            with suppress(OSError):  # else the next line would be written behind half of this one
                os.ftruncate(self._file, self._size)
            raise self._failed(error) from None
        self._size += len(whole)

    def _failed(self, error: OSError) -> TapeError:
        found = error.strerror or "an unwritable file"
        return TapeError(Problem(str(self.path), "", found, "a place where a tape can be written"))


def read_tape(path: Path) -> Tape:
    """Read a tape. Raises UserError naming file and line for anything that is not one.

    A last line cut short by a killed process is left out; everything before it stands.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise UserError(Problem(str(path), "", error.strerror or "unreadable file", "a tape file")) from None
    if len(data) > MOST_BYTES:
        raise UserError(Problem(str(path), "", f"more than {MOST_BYTES:,} bytes", "a tape of a run"))
    lines = data.split(b"\n")
    whole = lines[:-1]  # after the last newline stands nothing, or a line cut short
    if not whole:
        raise UserError(Problem(str(path), "", "no whole line", "a tape: a head, then actions", 1))
    head = _head(path, whole[0])
    size = len(data) - len(lines[-1])
    actions: list[tuple[int, Action]] = []
    numbers: list[int] = []
    last = left = 0
    for number, line in enumerate(whole[1:], 2):
        value = _json(path, line, number)
        tick = value.pop("t", None)
        if not isinstance(tick, int) or isinstance(tick, bool) or tick % 10 or tick < last:
            problem = Problem(str(path), "t", shown(tick), "whole ms in steps of 10, not going back", number)
            raise UserError(problem)
        if tick > LAST:
            raise UserError(Problem(str(path), "t", shown(tick), f"{LAST:,} ms at most, a month", number))
        last = tick
        if value.get("do") == END:
            _nothing_after(path, whole, number)
            digest = value.get("digest")
            if not isinstance(digest, str):
                raise UserError(Problem(str(path), "digest", shown(digest), "a digest in text", number))
            return Tape(head, tuple(actions), tick, digest, left, size, tuple(numbers))
        if value.get("do") == LEFT:
            left = tick
            continue
        actions.append((tick, _action(path, value, number)))
        numbers.append(number)
    return Tape(head, tuple(actions), None, None, left, size, tuple(numbers))


def _nothing_after(path: Path, whole: Sequence[bytes], number: int) -> None:
    if len(whole) > number:
        raise UserError(Problem(str(path), "", "lines after the end", "nothing after the end", number + 1))


def _json(path: Path, line: bytes, number: int) -> dict[str, Any]:
    try:
        text = line.decode()  # json itself would also take other encodings
        value = json.loads(text)
    except (ValueError, RecursionError):
        text, value = line[:40].decode(errors="replace"), None
    if not isinstance(value, dict):
        raise UserError(Problem(str(path), "", shown(text[:40]), "one JSON object per line", number))
    return value


def _head(path: Path, line: bytes) -> Head:
    head = _shaped(path, _json(path, line, 1), Head, 1, "head.")
    if head.tape != FORMAT:
        raise UserError(Problem(str(path), "tape", f"format {head.tape}", f"format {FORMAT}", 1))
    return head


def _action(path: Path, value: dict[str, Any], number: int) -> Action:
    kind = value.pop("do", None)
    if not isinstance(kind, str) or kind not in KINDS:
        allowed = nearest(kind, KINDS) if isinstance(kind, str) else "the name of an action"
        raise UserError(Problem(str(path), "do", shown(kind), allowed, number))
    action: Action = _shaped(path, value, KINDS[kind], number)
    return action


def _shaped(path: Path, value: dict[str, Any], shape: type[T], number: int, within: str = "") -> T:
    """A line's values as `shape`; mistakes are told with the number of the line."""
    try:
        return shaped(Document(str(path), "", value), shape)
    except UserError as error:
        raise UserError(
            [replace(one, where=within + one.where, line=number) for one in error.problems]
        ) from None
