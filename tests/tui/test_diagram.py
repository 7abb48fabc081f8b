"""The wiring as paths: everything once, chains followed through devices, and a cursor that finds its way."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import pytest

from simgate.bench import actions as do
from simgate.bench.record import Snapshot
from simgate.bench.scan import Bench
from simgate.bench.setup import Setup
from simgate.bench.site import load_site
from simgate.files import shipped
from simgate.tui.canvas import Ink
from simgate.tui.captions import point
from simgate.tui.diagram import Kind, Path, draw, find, other_path, paths, step
from simgate.tui.wirework import BEGUN, DONE, WIRE, offers
from tests.tui.made import made


def gate(name: str = "farm-double") -> Snapshot:
    """A shipped site as it is wired."""
    return Bench(Setup("test", load_site(name))).snapshot()


def read(path: Path) -> str:
    """A path as it is read: 'board · STOP - orange - stop button · 2'."""
    return " - ".join(item.label or "|" for item in path)


def lines(shot: Snapshot, cursor: tuple[int, int] = (0, 0), width: int = 70) -> list[str]:
    rows = draw(paths(shot), cursor, width, {}).rows
    return ["".join(run.text for run in row) for row in rows]


@pytest.mark.parametrize("name", shipped("sites"))
def test_every_wire_link_and_point_of_a_site_stands_on_a_path_and_no_wire_twice(name: str) -> None:
    shot = gate(name)
    items = [item for path in paths(shot) for item in path]
    assert sorted(item.name for item in items if item.kind is Kind.WIRE) == sorted(w.name for w in shot.wires)
    links = sorted(item.name for item in items if item.kind is Kind.LINK)
    assert links == sorted(f"{a}|{b}" for a, b in shot.links)
    assert {item.name for item in items if item.kind is Kind.JOINT} == set(shot.points)


def test_the_stop_chain_is_one_path_from_com_to_stop_through_both_buttons() -> None:
    chain = next(read(path) for path in paths(gate()) if path[-1].name == "board.STOP")
    assert chain == (
        "board · COM - 31 white - post left · 1 - 32 white - stop post · 1 - | - stop post · 2 - 33 orange - "
        "post left · 2 - 34 orange - stop barn · 1 - | - stop barn · 2 - 35 violet - post left · 3 - "
        "36 violet - board · STOP"
    )


def test_a_device_is_crossed_between_terminals_of_one_pair_only() -> None:
    for path in paths(gate()):
        for before, item, after in zip(path, path[1:], path[2:], strict=False):
            if item.kind is Kind.THROUGH:
                assert before.name[:-1] == after.name[:-1]


def test_parts_alternate_between_points_and_what_joins_them() -> None:
    *joined, free = paths(gate())
    for path in joined:
        assert all((item.kind is Kind.JOINT) is (n % 2 == 0) for n, item in enumerate(path))
    assert {item.kind for item in free} == {Kind.JOINT}


def test_an_undone_wire_hangs_free_at_its_first_end_whichever_way_it_is_followed() -> None:
    shot = gate()
    undone = tuple(replace(w, undone=w.name in ("stop-feed", "stop-return")) for w in shot.wires)
    text = " ".join(lines(replace(shot, wires=undone), width=110))
    assert "board · COM ╳─ 31 white ── post left · 1" in text
    assert "╳─ 36 violet ── board · STOP" in text
    turned = tuple(replace(w, a=w.b, b=w.a) if w.name == "stop-feed" else w for w in undone)
    text = " ".join(lines(replace(shot, wires=turned), width=110))
    assert "board · COM ── 31 white ─╳ post left · 1" in text


@pytest.mark.parametrize("width", [50, 70, 110])
def test_rows_are_as_wide_as_the_sheet_and_lose_nothing(width: int) -> None:
    shot = gate()
    rows = lines(shot, width=width)
    assert {len(row) for row in rows} == {width}
    text = " ".join(rows)
    assert all(point(name) in text for name in shot.points)


def test_the_cursor_is_marked_by_more_than_colour() -> None:
    found = paths(gate())
    sheet = draw(found, (0, 1), 70, {"board.COM": "red"})
    text = "".join(run.text for run in sheet.rows[sheet.cursor])
    assert "▸1 white◂" in text
    assert "board · COM (red probe)" in text
    assert Ink.PICKED in {run.ink for run in sheet.rows[sheet.cursor]}


def test_the_cursor_walks_joint_by_joint_and_steps_over_a_device() -> None:
    found = paths(gate())
    cursor = find(found, "stop-post.1")
    cursor = step(found, cursor, 1)
    assert found[cursor[0]][cursor[1]].name == "stop-post.2"
    assert step(found, (0, 0), -1) == (0, 0)


def test_at_a_junction_up_and_down_stay_on_the_point() -> None:
    found = paths(gate())
    here = find(found, "board.COM")
    below = other_path(found, here, 1)
    assert below[0] == here[0] + 1
    assert found[below[0]][below[1]].name == "board.COM"
    assert other_path(found, here, -1) == here


def test_every_offer_is_something_that_can_be_done() -> None:
    shot = made()
    for item in (item for path in paths(shot) for item in path if item.kind is not Kind.THROUGH):
        for answer, _ in offers(item, shot):
            wire = answer.removeprefix(WIRE) if answer.startswith(WIRE) else ""
            assert answer in DONE or answer in BEGUN or answer in ("red", "black") or wire
            assert not wire or find(paths(shot), wire) != (0, 0)
            if answer in DONE:
                assert msgspec.json.decode(msgspec.json.encode(DONE[answer](item.name)), type=do.Action)
