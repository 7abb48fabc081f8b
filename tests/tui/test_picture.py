"""The Yard's picture and words, without a terminal."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.bench.record import Snapshot
from simgate.tui.canvas import Canvas, Ink
from simgate.tui.picture import Picture, Stage, describe
from tests.tui.made import busy, leaf, made

WIDTH, HEIGHT = 44, 10


def painted(shot: Snapshot, width: int = WIDTH, height: int = HEIGHT) -> list[str]:
    return lines(Stage(width, height).paint(shot))


def lines(picture: Picture) -> list[str]:
    return ["".join(run.text for run in row) for row in picture.rows]


def inks(picture: Picture) -> set[Ink]:
    return {run.ink for row in picture.rows for run in row}


def test_a_dot_in_each_corner_of_a_cell_makes_that_braille_sign() -> None:
    canvas = Canvas(1, 1)
    canvas.dot(0, 0, Ink.LEAF)
    canvas.dot(1, 3, Ink.LEAF)
    assert [run.text for run in canvas.row(0)] == ["⢁"]


def test_what_lies_outside_the_sheet_is_left_out() -> None:
    canvas = Canvas(2, 1)
    canvas.line((-10.0, -10.0), (30.0, 30.0), Ink.LEAF)
    canvas.put(1, 0, "abc", Ink.WORD)
    canvas.put(0, 9, "abc", Ink.WORD)
    text = "".join(run.text for run in canvas.row(0))
    assert len(text) == 2
    assert text.endswith("a")


def test_a_copy_does_not_draw_on_the_original() -> None:
    canvas = Canvas(1, 1)
    canvas.copy().dot(0, 0, Ink.LEAF)
    assert [run.text for run in canvas.row(0)] == [" "]


@pytest.mark.parametrize(("width", "height"), [(44, 10), (48, 23), (78, 30), (10, 4), (1, 1)])
def test_every_row_fills_the_width(width: int, height: int) -> None:
    rows = painted(busy(), width, height)
    assert [len(row) for row in rows] == [width] * height


def test_a_degree_of_movement_can_be_seen() -> None:
    stage = Stage(WIDTH, HEIGHT)
    seen = [
        stage.paint(replace(made(1), leaves=(leaf("A", degrees),))).rows for degrees in (20, 22, 24, 26, 28)
    ]
    assert all(one != other for one, other in pairwise(seen))


def test_a_gate_at_rest_paints_the_same_rows_again() -> None:
    stage = Stage(WIDTH, HEIGHT)
    assert stage.paint(busy()).rows == stage.paint(busy()).rows


def test_opening_lifts_the_tip_of_the_leaf_towards_the_inside() -> None:
    def tip(degrees: float) -> int:
        picture = Stage(WIDTH, HEIGHT).paint(replace(made(1), leaves=(leaf("A", degrees),)))
        return min(n for n, row in enumerate(picture.rows) if any(run.ink is Ink.LEAF for run in row))

    assert tip(80) < tip(40) < tip(5)


def test_leaf_b_hangs_on_the_right_post() -> None:
    def columns(shot: Snapshot) -> list[int]:
        found: list[int] = []
        for row in Stage(WIDTH, HEIGHT).paint(shot).rows:
            at = 0
            for run in row:
                found += range(at, at + len(run.text)) if run.ink is Ink.LEAF else []
                at += len(run.text)
        return found

    both = made()
    assert min(columns(replace(both, leaves=(leaf("A", 90), leaf("B", 90))))) < WIDTH / 2 - 8
    assert max(columns(replace(both, leaves=(leaf("A", 90), leaf("B", 90))))) > WIDTH / 2 + 8


@pytest.mark.parametrize(("width", "height"), [(42, 10), (44, 23), (48, 23), (78, 20)])
@pytest.mark.parametrize("leaves", [1, 2])
def test_posts_and_their_letters_are_in_the_picture(leaves: int, width: int, height: int) -> None:
    row = next(row for row in painted(made(leaves), width, height) if "██" in row)
    assert row.count("██") == 2
    assert "A ██" in row
    assert ("██ B" in row) == (leaves == 2)


def test_every_sign_differs_without_colour() -> None:
    shot = busy()
    shot = replace(
        shot,
        leaves=(replace(shot.leaves[0], body=(1.5, 1.0)), shot.leaves[1]),
        inside=True,
    )
    text = "\n".join(painted(shot, 60, 20))
    for sign in ("██", "◆", "▲", "▷", "◁", "■", "☻ you", "✺", "inside", "road", " A ", " B"):
        assert sign in text


def test_a_blocked_beam_ends_at_what_stands_in_it() -> None:
    clear = made()
    blocked = replace(clear, beams=(replace(clear.beams[0], blocked=True),))
    row = next(row for row in painted(blocked) if "▷" in row)
    assert "▓▓" in row
    assert not row[row.index("▓▓") + 2 : row.index("◁")].strip("▲ ")
    assert "▓" not in "".join(painted(clear))


def test_a_beam_without_power_has_no_line() -> None:
    clear = made()
    dark = replace(clear, beams=(replace(clear.beams[0], powered=False),))
    row = next(row for row in painted(dark) if "▹" in row)
    assert not row[row.index("▹") + 1 : row.index("◃")].strip("▲ ")


def test_beams_beside_each_other_get_rows_of_their_own() -> None:
    shot = made()
    beam = shot.beams[0]
    shot = replace(
        shot,
        beams=(beam, replace(beam, name="second", offset=0.3), replace(beam, name="inner", offset=-0.3)),
    )
    assert sum("▷" in row for row in painted(shot, 60, 20)) == 3


def test_the_picture_in_words() -> None:
    shot = replace(made(), leaves=(leaf("A", 45, 0.1), leaf("B")))
    assert describe(shot) == "Leaf A 45° opening, leaf B shut. Beam posts clear."


def test_words_name_all_that_can_be_seen() -> None:
    shot = made()
    shot = replace(
        shot,
        leaves=(replace(leaf("A", 30), released=True, body=(1.0, 1.0)), leaf("B", 95)),
        beams=(replace(shot.beams[0], blocked=True),),
        inside=True,
        lamp=True,
    )
    assert describe(shot) == (
        "Leaf A 30° standing (released), a body in its way, leaf B open. "
        "Beam posts blocked. You are in the swing."
    )


@given(
    degrees=st.floats(-2, 175),
    width=st.integers(1, 130),
    height=st.integers(1, 50),
    offset=st.floats(-5, 5),
    opens=st.floats(20, 175),
)
def test_no_gate_and_no_size_of_screen_breaks_the_picture(
    degrees: float, width: int, height: int, offset: float, opens: float
) -> None:
    shot = made()
    leaves = tuple(replace(leaf(name, degrees), travel=math.radians(opens), body=(1.0, 0.5)) for name in "AB")
    shot = replace(shot, leaves=leaves, beams=(replace(shot.beams[0], offset=offset),), inside=True)
    picture = Stage(width, height).paint(shot)
    assert [len(line) for line in lines(picture)] == [width] * height
    assert inks(picture) <= set(Ink)
