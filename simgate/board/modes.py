"""Mode files and the common table, read: what the gate answers to each stimulus in each condition.

A mode file says, for every condition and every stimulus of a mode's own, the one response; common.toml says
the same, once for all modes, for STOP, guards, obstacle and fault. Every cell is written: a cell left out
would be a gate whose answer nobody chose.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

import msgspec

from simgate import files
from simgate.board.mode_table import AFTER, Common, Row, Table, possible
from simgate.board.stimuli import COMMON_STIMULI, MODE_STIMULI, Condition, Response, Stimulus
from simgate.files import Document, Problem, Shape, UserError

R = Response

COMMON = Path(__file__).with_name("common.toml")


# Shape --------------------------------------------------------------------------------------------


class _Rows(Shape, frozen=True, kw_only=True, rename="kebab"):
    """A table per condition. Cells are text here, so that one report can hold every wrong one."""

    shut: dict[str, str] = msgspec.field(default_factory=dict)
    opening: dict[str, str] = msgspec.field(default_factory=dict)
    part_opening: dict[str, str] = msgspec.field(default_factory=dict)
    held: dict[str, str] = msgspec.field(default_factory=dict)
    part_held: dict[str, str] = msgspec.field(default_factory=dict)
    open: dict[str, str] = msgspec.field(default_factory=dict)
    part_open: dict[str, str] = msgspec.field(default_factory=dict)
    closing: dict[str, str] = msgspec.field(default_factory=dict)
    stopped_opening: dict[str, str] = msgspec.field(default_factory=dict)
    stopped_closing: dict[str, str] = msgspec.field(default_factory=dict)

    def row(self, condition: Condition) -> dict[str, str]:
        """The cells written for one condition."""
        found: dict[str, str] = getattr(self, condition.name.lower())
        return found


class _Mode(_Rows, frozen=True, kw_only=True, rename="kebab"):
    title: str
    summary: str
    closes_itself: bool
    while_held: bool
    part_closes: bool = False
    notes: dict[str, dict[str, str]] = msgspec.field(default_factory=dict)


class _Variant(_Rows, frozen=True, kw_only=True, rename="kebab"):
    setting: str
    choice: str


class _Common(_Rows, frozen=True, kw_only=True, rename="kebab"):
    variant: list[_Variant] = msgspec.field(default_factory=list)


# Meaning ------------------------------------------------------------------------------------------


class _Reader:
    """Turns written cells into typed ones and gathers what is wrong with them."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.problems: list[Problem] = []

    def complain(self, path: Sequence[str | int], found: str, allowed: str) -> None:
        self.problems.append(self.document.problem(path, found, allowed))

    def row(
        self, path: list[str | int], written: Mapping[str, str], condition: Condition,
        stimuli: Sequence[Stimulus], whole: bool,
    ) -> dict[Stimulus, Response]:  # fmt: skip
        """The cells of one condition; with `whole`, each stimulus must have one."""
        if whole and not written:
            self.complain(path, "nothing", f"a table with {', '.join(s.value for s in stimuli)}")
            return {}
        names = {stimulus.value: stimulus for stimulus in stimuli}
        for name in written:
            if name not in names:
                self.complain([*path, name], "an unknown stimulus", files.nearest(name, names))
        row: dict[Stimulus, Response] = {}
        for name, stimulus in names.items():
            if name in written:
                response = self.cell([*path, name], written[name], condition)
                row |= {stimulus: response} if response else {}
            elif whole:
                allowed = ", ".join(response.value for response in possible(condition))
                self.complain([*path, name], "nothing", f"a response, every cell is written: {allowed}")
        return row

    def cell(self, path: list[str | int], word: str, condition: Condition) -> Response | None:
        allowed = {response.value: response for response in possible(condition)}
        if word not in allowed:
            self.complain(path, files.shown(word), files.nearest(word, allowed))
        return allowed.get(word)

    def rows(
        self, written: _Rows, stimuli: Sequence[Stimulus], at: Sequence[str | int] = (), whole: bool = True
    ) -> dict[Condition, dict[Stimulus, Response]]:
        """Every condition's cells."""
        cells = {c: self.row([*at, c.value], written.row(c), c, stimuli, whole) for c in Condition}
        return {condition: row for condition, row in cells.items() if row}

    def notes(self, written: Mapping[str, Mapping[str, str]]) -> dict[Condition, dict[Stimulus, str]]:
        """Sentences beside cells."""
        conditions = {condition.value: condition for condition in Condition}
        stimuli = {stimulus.value: stimulus for stimulus in MODE_STIMULI}
        notes: dict[Condition, dict[Stimulus, str]] = {}
        for name, sentences in written.items():
            if name not in conditions:
                self.complain(["notes", name], "an unknown condition", files.nearest(name, conditions))
                continue
            for word, sentence in sentences.items():
                if word not in stimuli:
                    self.complain(["notes", name, word], "an unknown stimulus", files.nearest(word, stimuli))
                else:
                    notes.setdefault(conditions[name], {})[stimuli[word]] = sentence
        return notes

    def finish(self) -> None:
        if self.problems:
            raise UserError(self.problems)


def _pause_mistakes(
    cells: Mapping[Condition, Row], closes_itself: bool
) -> Iterator[tuple[list[str], str, str]]:
    """A pause that nothing starts, or that nothing ends."""
    starts = [AFTER[R.START_PAUSE][c] for c, row in cells.items() if R.START_PAUSE in row.values()]
    if closes_itself != bool(starts):
        found = "true, but no cell starts a pause" if closes_itself else "false, but a cell starts a pause"
        yield ["closes-itself"], found, "agreement with the cells"
    if not closes_itself:
        for condition, row in cells.items():
            for stimulus, response in row.items():
                if response in (R.SHUT_SOON, R.CUT_PAUSE, R.RESTART_PAUSE):
                    yield [condition.value, stimulus.value], f"'{response.value}'", "a mode with a pause"
    for condition in dict.fromkeys(starts):
        if cells.get(condition, {}).get(Stimulus.PAUSE_OVER) is R.IGNORE:
            yield [condition.value, "pause-over"], "'ignore'", "a response: a pause is started here"


def read(path: Path, name: str | None = None) -> Table:
    """One mode file. Raises UserError with every mistake of shape, else every mistake of meaning."""
    mode, document = files.read(path, _Mode, name)
    reader = _Reader(document)
    cells = reader.rows(mode, MODE_STIMULI)
    notes = reader.notes(mode.notes)
    if not reader.problems:
        for mistake in _pause_mistakes(cells, mode.closes_itself):
            reader.complain(*mistake)
    reader.finish()
    flags = mode.closes_itself, mode.while_held, mode.part_closes
    return Table(path.stem, mode.title, mode.summary, *flags, cells, notes)


@cache
def common(path: Path = COMMON) -> Common:
    """The common table. Raises UserError like `read`."""
    table, document = files.read(path, _Common, path.name)
    reader = _Reader(document)
    cells = reader.rows(table, COMMON_STIMULI)
    variants = tuple(
        (one.setting, one.choice, reader.rows(one, COMMON_STIMULI, ("variant", index), whole=False))
        for index, one in enumerate(table.variant)
    )
    reader.finish()
    return Common(cells, variants)


def shipped() -> dict[str, Table]:
    """Every shipped mode by its title, in the order of their names."""
    tables = [read(files.find("modes", name)) for name in files.shipped("modes")]
    return {table.title: table for table in tables}


@cache
def shipped_modes() -> Mapping[str, Table]:
    """`shipped()`, read once for the whole process."""
    return shipped()


def carried(own: Table | None) -> Mapping[str, Table]:
    """The modes of a board that carries one of a person's own beside the shipped ones, if there is one.

    Raises UserError when it has the title of a shipped one: the book could not tell them apart.
    """
    modes = shipped_modes()
    if own is None:
        return modes
    if own.title in modes:
        found = f"'{own.title}', a shipped mode's title"
        raise UserError(Problem(f"{own.name}.toml", "title", found, "a title of its own"))
    return {**modes, own.title: own}


def facts(modes: Mapping[str, Table]) -> dict[str, bool]:
    """Title -> whether the mode closes by itself: what the settings need to know of modes."""
    return {title: table.closes_itself for title, table in modes.items()}
