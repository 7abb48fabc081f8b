"""The Yard's picture and words, without a terminal."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simgate.bench.record import PassingView, Snapshot, WireView
from simgate.plant.spec import LeafKind
from simgate.tui.canvas import Canvas, Ink
from simgate.tui.picture import Picture, Stage
from simgate.tui.yard_words import describe, described_within, hazards, wind_words
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


# Who passes, wind, what slides --------------------------------------------------------------------


def one(kind: str = "person", at: float = 0.5, **how: object) -> PassingView:
    """Somebody on the drive, on the way in, at that many m from the gate line."""
    length, width = {"vehicle": (4.4, 1.8), "person": (0.4, 0.6), "dog": (0.7, 0.25)}[kind]
    view = PassingView(
        kind=kind, position=at, length=length, width=width, inwards=True, lane=None, waiting=False,
        in_swing=False, in_way_of=(), alive=kind != "vehicle", force=0.0, peak_force=0.0,
    )  # fmt: skip
    return replace(view, **how)  # type: ignore[arg-type]  # tests name real fields


@pytest.mark.parametrize("kind", ["vehicle", "person", "dog"])
@pytest.mark.parametrize("at", [-9.0, -1.0, 0.0, 2.0, 9.0])
def test_who_is_on_the_drive_is_named_wherever_it_is(kind: str, at: float) -> None:
    shot = replace(made(), passing=(one(kind, at),))
    assert f"{kind} ↑" in "\n".join(painted(shot, 60, 20))
    waiting = replace(made(), passing=(one(kind, at, waiting=True, inwards=False),))
    assert f"{kind} ‖" in "\n".join(painted(waiting, 60, 20))


def test_a_hazard_is_marked_in_picture_and_words_and_an_empty_vehicle_in_the_way_is_none() -> None:
    shot = replace(made(), leaves=(leaf("A", 60, -0.1), leaf("B", 95)))
    danger = replace(shot, passing=(one("person", -1.0, in_way_of=("A",)),))
    picture = Stage(60, 20).paint(danger)
    assert "HAZARD!" in "\n".join(lines(picture))
    assert describe(danger).startswith("HAZARD: person in the way of leaf A. Leaf A 60° closing")
    assert "HAZARD" not in describe(replace(shot, passing=(one("vehicle", -1.0, in_way_of=("A",)),)))
    pressed = replace(shot, passing=(one("vehicle", -1.0, in_way_of=("A",), force=80.0),))
    assert describe(pressed).startswith("HAZARD: vehicle pressed by leaf A")


def test_standing_in_the_swing_yourself_is_a_hazard_while_a_leaf_moves() -> None:
    shot = replace(made(), leaves=(leaf("A", 60, -0.1), leaf("B", 95)), inside=True)
    assert describe(shot).startswith("HAZARD: you are in the swing. Leaf A ")
    assert "HAZARD!" in "\n".join(painted(shot, 60, 20))
    assert "HAZARD" not in describe(replace(made(), inside=True))


def test_who_stands_close_to_another_is_still_named() -> None:
    near = tuple(one(kind, 9.0) for kind in ("person", "dog"))  # both beyond the edge of the picture
    rows = painted(replace(made(), passing=near), 42, 10)
    assert any("☻ person ↑" in row for row in rows)
    assert any("• dog ↑" in row for row in rows)
    beside = replace(made(), inside=True, passing=(one("person", -1.0), one("dog", -1.0)))
    text = "\n".join(painted(beside, 42, 10))
    assert all(name in text for name in ("☻ you", "person ↑", "dog ↑"))


CROWD = (one("vehicle", -3.0), one("person", 0.1), one("dog", 0.5))
IN_THE_WAY = tuple(replace(who, in_way_of=("A", "B"), alive=True) for who in CROWD)


@pytest.mark.parametrize("width", [38, 42, 60, 120])
@pytest.mark.parametrize("crowd", [(), CROWD, IN_THE_WAY])
@pytest.mark.parametrize("inside", [False, True])
def test_words_of_the_yard_are_cut_in_no_sentence(
    width: int, crowd: tuple[PassingView, ...], inside: bool
) -> None:
    moving = (leaf("A", 78, 0.17), leaf("B", 74, 0.17))
    shot = replace(made(), leaves=moving, passing=crowd, inside=inside)
    words = described_within(shot, width, 2)
    assert len(words.split("\n")) <= 2 or words == describe(shot)
    assert words.endswith(".")
    if inside or (crowd and crowd[0].in_way_of):
        assert words.startswith("HAZARD: ")
    if not hazards(shot):
        assert "78°" in words
        assert "74°" in words


def test_little_room_has_short_words() -> None:
    moving = (leaf("A", 78, 0.17), leaf("B", 74, 0.17))
    shot = replace(made(), leaves=moving, passing=CROWD)
    words = described_within(shot, 42, 2).replace("\n", " ")
    assert words == "Leaves A 78° and B 74° opening. Vehicle, person and dog go in."
    beams = (replace(made().beams[0], name="outer"), replace(made().beams[0], name="inner", blocked=True))
    told = described_within(replace(shot, passing=(), beams=beams), 38, 2)
    assert told.replace("\n", " ") == "Leaves A 78° and B 74° opening. Beam inner blocked. Beam outer clear."
    assert "Beam inner blocked" in described_within(replace(shot, passing=(), beams=beams), 28, 2)
    alone = replace(shot, leaves=(leaf("A", 0), leaf("B", 74, 0.17)), passing=())
    assert described_within(alone, 20, 9).startswith("Leaf A shut, leaf B")


def test_a_beam_that_somebody_crosses_is_drawn_blocked() -> None:
    shot = made()
    crossed = replace(shot, beams=(replace(shot.beams[0], crossed=True),), passing=(one(at=-1.0),))
    assert "▓▓" in "\n".join(painted(crossed, 60, 20))
    assert "Beam posts blocked" in describe(crossed)


@pytest.mark.parametrize(
    ("speed", "words"),
    [
        (0.0, ""),
        (0.2, ""),
        (1.6, "↑ light breeze 2 m/s"),
        (-8.0, "↓ fresh breeze 8 m/s"),
        (17.2, "↑ gale 17 m/s"),
        (40.0, "↑ hurricane 40 m/s"),
    ],
)
def test_the_wind_is_a_word_and_an_arrow(speed: float, words: str) -> None:
    """Beaufort's scale: a light breeze from 1.6 m/s, a fresh one from 8.0, a gale from 17.2 (from memory)."""
    assert wind_words(speed) == words
    text = "\n".join(painted(replace(made(), wind=speed)))
    assert (f"wind {words}" in text) == bool(words)


@pytest.mark.parametrize(("share", "words"), [(0.0, ""), (0.6, "rain 60 %"), (1.0, "rain 100 %")])
def test_rain_is_told_beside_the_wind_and_without_it(share: float, words: str) -> None:
    for wind in (0.0, 40.0):
        text = "\n".join(painted(replace(made(), rain=share, wind=wind)))
        assert ("rain" in text) == bool(words)
        assert words in text
        assert ("hurricane 40 m/s" in text) == bool(wind)


def slide(place: float) -> Snapshot:
    """One leaf that slides 3 m, that far open."""
    only = replace(
        leaf("A"), width=3.2, place=place, travel=3.0, kind=LeafKind.SLIDES, linkage="rack", pocket="left"
    )
    return replace(made(1), leaves=(only,))


def test_a_leaf_that_slides_runs_into_its_pocket_beside_the_post() -> None:
    def beside(place: float) -> tuple[int, int]:
        row = next(row for row in painted(slide(place), 60, 14) if "██" in row)
        left, _, rest = row.partition("██")
        solid = [sum(sign in "⠶⠾⠷⢶⡶⠿⠰⠆" for sign in part) for part in (left, rest)]
        return solid[0], solid[1]

    assert beside(0.0)[0] == 0
    assert beside(1.5)[0] > 5
    assert beside(1.5)[1] > 5
    assert beside(3.0)[1] <= 3
    assert "pocket" in "\n".join(painted(slide(0.0), 60, 14))
    assert describe(slide(1.5)).startswith("Leaf A 1.5 m standing")
    assert describe(slide(3.0)).startswith("Leaf A open")


@pytest.mark.parametrize("linkage", ["ram", "hydraulic ram", "folding arm", "in-ground", "post-top"])
def test_each_kind_of_drive_looks_different_from_a_bare_hinge(linkage: str) -> None:
    bare = replace(made(1), leaves=(leaf("A", 40),))
    driven = replace(bare, leaves=(replace(leaf("A", 40), linkage=linkage),))
    assert painted(driven, 60, 20) != painted(bare, 60, 20)


def test_lock_and_courtesy_light_show_where_there_are_any() -> None:
    shot = made()
    wired = replace(
        shot, wires=(*shot.wires, WireView("lock-red", "red", "board.LOCK+", "lock.1", undone=False))
    )
    assert "⊠" in "\n".join(painted(wired))
    assert "⊡" in "\n".join(painted(replace(wired, drawn=True)))
    assert "⊠" not in "\n".join(painted(shot))
    assert "☼" in "\n".join(painted(replace(shot, light=True)))


@given(
    kind=st.sampled_from(["vehicle", "person", "dog"]),
    at=st.floats(-30, 30),
    width=st.integers(1, 130),
    height=st.integers(1, 50),
    place=st.floats(0, 3),
    wind=st.floats(-40, 40),
    linkage=st.sampled_from(["hinge", "ram", "hydraulic ram", "folding arm", "post-top", "rack"]),
)
def test_nobody_on_the_drive_and_no_drive_breaks_the_picture(
    kind: str, at: float, width: int, height: int, place: float, wind: float, linkage: str
) -> None:
    base = slide(place) if linkage == "rack" else made()
    leaves = base.leaves if linkage == "rack" else tuple(replace(leaf(n, 50), linkage=linkage) for n in "AB")
    shot = replace(base, leaves=leaves, passing=(one(kind, at, in_way_of=("A",)),), wind=wind, inside=True)
    picture = Stage(width, height).paint(shot)
    assert [len(line) for line in lines(picture)] == [width] * height
