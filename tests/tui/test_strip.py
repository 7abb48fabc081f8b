"""The strip chart: what it keeps of a minute, and how it reads."""

from __future__ import annotations

from dataclasses import replace

import pytest

from simgate.bench.record import Snapshot
from simgate.tui.strip import GUTTER, SPAN, Recorder, draw, reading
from tests.tui.made import leaf, made


def shot(tick: int, degrees: float = 0.0, amps: float = 0.0, guard: bool = True) -> Snapshot:
    """One leaf at an angle (open is 95 degrees), its current, and whether GUARD-C is made."""
    base = made(1)
    inputs = tuple(replace(item, made=guard) if item.terminal == "GUARD-C" else item for item in base.inputs)
    only = replace(leaf("A", degrees), current=amps)
    return replace(base, tick=tick, leaves=(only,), inputs=inputs)


def chart(*shots: Snapshot, width: int = GUTTER + 60, height: int = 12) -> list[str]:
    """The chart after those snapshots, as lines."""
    recorder = Recorder()
    for one in shots:
        recorder.see(one)
    return ["".join(run.text for run in row) for row in draw(recorder, shots[-1], width, height)]


def line(rows: list[str], name: str) -> str:
    """The trace of one input."""
    return next(row for row in rows if row.startswith(name))[GUTTER:]


@pytest.mark.parametrize(("width", "height"), [(60, 9), (69, 20), (120, 40)])
def test_every_row_is_as_wide_as_the_chart_and_the_axis_is_the_last(width: int, height: int) -> None:
    rows = chart(shot(0), shot(30_000, 40, 2.0), shot(60_000), width=width, height=height)
    assert len(rows) == height
    assert {len(row) for row in rows} == {width}
    assert rows[-1].split() == ["-60", "s", "-45", "s", "-30", "s", "-15", "s", "now"]


def test_scales_carry_their_units() -> None:
    rows = chart(shot(0), shot(1000, 40, 4.2))
    assert any("100 %" in row for row in rows)
    assert any("5 A" in row for row in rows)
    assert chart(shot(0), shot(1000, 40, 14.0))[4].startswith("A   20 A")


def test_a_column_is_a_second_here_and_what_was_before_the_run_is_blank() -> None:
    rows = chart(*(shot(tick) for tick in range(0, 10_001, 100)))
    guard = line(rows, "GUARD-C")
    assert guard == " " * 49 + "━" * 11


def test_between_two_looks_the_earlier_one_holds() -> None:
    guard = line(chart(shot(0), shot(20_000, guard=False), shot(40_000), shot(59_990)), "GUARD-C")
    assert guard.count("·") + guard.count("╏") == pytest.approx(20, abs=1)
    assert "━" not in guard[guard.index("·") : guard.rindex("·")]


def test_a_guard_that_opens_for_a_moment_is_not_lost() -> None:
    guard = line(chart(shot(0), shot(30_010, guard=False), shot(30_050), shot(59_990)), "GUARD-C")
    assert guard.count("╏") == 1
    assert guard.strip("━").strip() == "╏"


def test_a_peak_of_current_within_a_grain_stays() -> None:
    peaked = chart(shot(0), shot(30_000, 10, 9.0), shot(30_050, 10, 0.5), shot(59_990, 10, 0.5))
    assert peaked[4].startswith("A   10 A")
    assert peaked[4][GUTTER:].strip()


def test_position_is_high_when_open_and_low_when_shut() -> None:
    rows = chart(shot(0, 0), shot(20_000, 95), shot(40_000, 0), shot(59_990, 0))
    top, bottom = rows[0][GUTTER:], rows[3][GUTTER:]
    assert top[30].strip()
    assert not bottom[30].strip("\u2800 ")
    assert bottom[10].strip()
    assert not top[10].strip("\u2800 ")


def test_no_more_than_a_minute_is_kept() -> None:
    recorder = Recorder()
    for tick in range(0, 4 * SPAN, 50):
        recorder.see(shot(tick))
    assert len(recorder._samples) <= SPAN // 100 + 4


def test_a_run_that_begins_again_begins_a_new_chart() -> None:
    rows = chart(shot(50_000, guard=False), shot(500))
    assert "·" not in line(rows, "GUARD-C")


def test_with_little_room_the_guards_stay_and_with_none_nothing_is_drawn() -> None:
    small = chart(shot(0), shot(1000), height=8)
    assert [row.split("│")[0].strip() for row in small[4:7]] == ["STOP", "GUARD-O", "GUARD-C"]
    assert chart(shot(0), width=12) == []


def test_the_newest_values_are_said_in_words() -> None:
    assert reading(shot(0, 47.5, -3.14)) == "A 50 %, 3.1 A"
