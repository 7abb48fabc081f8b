"""The strip chart as data: the last minute of position, motor current and inputs, and its drawing in cells.

Fed with the snapshots that the screens see anyway; it knows nothing of gates. Between two of them the
earlier one holds, and what lay between (a peak of current, an input that flickered) is kept, because the
short thing is what somebody looks for on a chart.
"""

from __future__ import annotations

import math
import operator
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simgate.bench.record import Snapshot
from simgate.tui.canvas import Canvas, Ink, Row, Run

SPAN = 60_000  # ms on the chart
GRAIN = 100  # ms; finer than a column of any terminal
GUTTER = 9  # cells before the traces: 'A 100 % ┤'
SCALES = (1, 2, 5, 10, 20, 50, 100, 200, 500)  # A
FIRST = ("STOP", "GUARD-O", "GUARD-C", "EDGE")  # inputs that are shown however little room there is
LEAST_BAND = 2  # rows of a trace
GOOD_BAND = 4  # rows of a trace from which on more inputs are worth more
TICKS = (60, 45, 30, 15, 0)  # s ago


@dataclass(frozen=True, slots=True)
class Sample:
    """A grain, or a column, of the chart, with its newest values and its extremes.

    places: share of travel. amps, most: newest and greatest current. made, ever, always: of each input.
    """

    tick: int
    places: tuple[float, ...]
    amps: tuple[float, ...]
    made: tuple[bool, ...]
    most: tuple[float, ...]
    ever: tuple[bool, ...]
    always: tuple[bool, ...]

    def at_end(self) -> Sample:
        """What holds from here on until the next."""
        return Sample(self.tick, self.places, self.amps, self.made, self.amps, self.made, self.made)

    def then(self, other: Sample) -> Sample:
        """This and what followed it, as one."""
        return Sample(
            other.tick,
            other.places,
            other.amps,
            other.made,
            tuple(map(max, self.most, other.most)),
            tuple(map(operator.or_, self.ever, other.ever)),
            tuple(map(operator.and_, self.always, other.always)),
        )


class Recorder:
    """Keeps the last minute. Show it every snapshot that there is."""

    def __init__(self) -> None:
        self._samples: deque[Sample] = deque()

    def see(self, shot: Snapshot) -> None:
        """Take the gate as it stands in `shot`. One from before the last begins a new chart."""
        samples = self._samples
        if samples and (shot.tick < samples[-1].tick or len(samples[-1].made) != len(shot.inputs)):
            samples.clear()
        amps = tuple(abs(leaf.current) for leaf in shot.leaves)
        made = tuple(item.made for item in shot.inputs)
        places = tuple(leaf.share for leaf in shot.leaves)
        sample = Sample(shot.tick, places, amps, made, amps, made, made)
        if samples and samples[-1].tick // GRAIN == shot.tick // GRAIN:
            samples[-1] = samples[-1].then(sample)
        else:
            samples.append(sample)
        while len(samples) > 1 and samples[1].tick <= shot.tick - SPAN - 2 * GRAIN:
            samples.popleft()

    def columns(self, count: int, now: int) -> list[Sample | None]:
        """The minute before `now` in `count` equal columns; None where nothing was recorded.

        Columns stand on fixed instants, so that the chart moves on by whole columns and does not shimmer.
        """
        first = (now * count) // SPAN - count + 1
        columns: list[Sample | None] = []
        coming, samples = 0, tuple(self._samples)
        held: Sample | None = None
        for number in range(first, first + count):
            column = held
            while coming < len(samples) and samples[coming].tick * count < (number + 1) * SPAN:
                column = samples[coming] if column is None else column.then(samples[coming])
                held = samples[coming].at_end()
                coming += 1
            columns.append(column)
        return columns


# Drawing ------------------------------------------------------------------------------------------


def draw(recorder: Recorder, shot: Snapshot, width: int, height: int) -> tuple[Row, ...]:
    """The chart in `height` rows of `width` cells, the newest at the right."""
    if width <= GUTTER + 10 or height < 2:
        return ()
    across = width - GUTTER
    columns = recorder.columns(2 * across, shot.tick)
    names, bands = _layout(shot, height)
    rows: list[Row] = []
    for n, leaf in enumerate(shot.leaves):
        rows += _position(columns, n, leaf.name, across, bands[2 * n])
        rows += _current(columns, n, leaf.name, across, bands[2 * n + 1])
    places = {item.terminal: n for n, item in enumerate(shot.inputs)}
    rows += [_input(columns, places[name], name, across) for name in names]
    rows.append((Run(Ink.WORD, _axis(across)),))
    return tuple(rows[:height])


def _layout(shot: Snapshot, height: int) -> tuple[list[str], list[int]]:
    """Which inputs are shown, and the rows of each trace (position and current, leaf by leaf)."""
    terminals = [item.terminal for item in shot.inputs]
    names = [name for name in terminals if name in FIRST]
    others = [name for name in terminals if name not in FIRST]
    traces = 2 * len(shot.leaves)
    names = names[: max(height - 1 - traces * LEAST_BAND, 0)]
    spare = height - 1 - len(names) - traces * GOOD_BAND
    names += others[: max(spare, 0)]
    left = height - 1 - len(names)
    share, more = divmod(max(left, traces), traces)
    return names, [share + (n < more) for n in range(traces)]


def _position(columns: Sequence[Sample | None], n: int, name: str, across: int, high: int) -> Iterator[Row]:
    canvas = Canvas(across, high)
    before: float | None = None
    for x, sample in enumerate(columns):
        if sample is None:
            before = None
            continue
        y = (1.0 - min(max(sample.places[n], 0.0), 1.0)) * (4 * high - 1)
        low, top = sorted((y if before is None else before, y))
        for dot in range(round(low), round(top) + 1):
            canvas.dot(x, dot, Ink.LEAF)
        before = y
    return _banded(canvas, name, "travel", "100 %", "0 %")


def _current(columns: Sequence[Sample | None], n: int, name: str, across: int, high: int) -> Iterator[Row]:
    """A filled trace, so that it is not taken for the position above it."""
    canvas = Canvas(across, high)
    most = max((sample.most[n] for sample in columns if sample is not None), default=0.0)
    scale = next((scale for scale in SCALES if most <= scale), SCALES[-1])
    for x, sample in enumerate(columns):
        if sample is None:
            continue
        dots = math.ceil(min(sample.most[n] / scale, 1.0) * 4 * high - 0.02)
        for dot in range(dots):
            canvas.dot(x, 4 * high - 1 - dot, Ink.LAMP)
        if not dots and x % 4 == 0:
            canvas.dot(x, 4 * high - 1, Ink.ARC)
    return _banded(canvas, name, "motor", f"{scale} A", "0 A")


def _banded(canvas: Canvas, name: str, what: str, top: str, bottom: str) -> Iterator[Row]:
    """The rows of one trace with their scale."""
    for row in range(canvas.height):
        value = top if row == 0 else bottom if row == canvas.height - 1 else what if row == 1 else ""
        label = f"{name if row == 0 else '':<2}{value:>6}{'┤' if value and value != what else '│'}"
        yield (Run(Ink.WORD, label), *canvas.row(row))


def _input(columns: Sequence[Sample | None], n: int, name: str, across: int) -> Row:
    """One input as a line where it is made, dots where it is open, and a broken line where it was both."""
    cells = []
    for x in range(across):
        seen = [sample for sample in columns[2 * x : 2 * x + 2] if sample is not None]
        if not seen:
            cells.append(" ")
        elif all(sample.always[n] for sample in seen):
            cells.append("━")
        else:
            cells.append("╏" if any(sample.ever[n] for sample in seen) else "·")
    text = "".join(cells)
    runs = [Run(Ink.WORD, f"{name:<8}│")]
    start, dark = 0, Ink.BROKEN if name in FIRST else Ink.WORD  # a call that nobody presses is open
    for x in range(1, across + 1):
        if x == across or (text[x] == "━") != (text[start] == "━"):
            runs.append(Run(Ink.BEAM if text[start] == "━" else dark, text[start:x]))
            start = x
    return tuple(runs)


def _axis(across: int) -> str:
    """Seconds ago, under the traces."""
    line = [" "] * (GUTTER + across)
    for ago in TICKS:
        text = f"-{ago} s" if ago else "now"
        at = GUTTER + round((across - 1) * (1 - ago / (SPAN / 1000)))
        start = min(max(at - len(text) // 2, GUTTER), GUTTER + across - len(text))
        line[start : start + len(text)] = text
    return "".join(line)


def reading(shot: Snapshot) -> str:
    """The newest values in words: 'A 52 %, 2.0 A · B 31 %, 1.8 A'."""
    return " · ".join(
        f"{leaf.name} {100 * leaf.share:.0f} %, {abs(leaf.current):.1f} A" for leaf in shot.leaves
    )
