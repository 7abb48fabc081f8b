"""Where a leaf meets a box in the drive, held against brute force over points of the leaf."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simgate.bench.sweep import NEVER, Box, Sweep

LEAF = Sweep(slides=False, length=2.0, reach=math.pi / 2, lever=2.0)
SLIDE = Sweep(slides=True, length=3.0, reach=3.0, lever=1.0)
ACROSS = st.floats(0.05, 2.5)
FINE = math.radians(0.05)


def touched(box: Box) -> list[float]:
    """Angles of a 2 m leaf at which one of its points, a mm apart, lies in the box."""
    angles = []
    for step in range(round(math.pi / 2 / FINE) + 1):
        angle = step * FINE
        c, s = math.cos(angle), math.sin(angle)
        # radii at which the line is between near and far, and between front and back
        low, high = 0.0, 2.0
        for ratio, least, most in ((c, box.near, box.far), (s, box.front, box.back)):
            if ratio < 1e-12:
                if not least <= 0.0 <= most:
                    low, high = 1.0, 0.0
                continue
            low, high = max(low, least / ratio), min(high, most / ratio)
        if low < high:  # a tip that just grazes meets nothing
            angles.append(angle)
    return angles


@settings(max_examples=150, deadline=None)
@given(ACROSS, st.floats(0.1, 1.5), st.floats(-1.0, 2.5), st.floats(0.1, 4.0))
def test_a_leaf_that_swings_meets_a_box_where_brute_force_finds_it(
    near: float, width: float, front: float, length: float
) -> None:
    box = Box(near, near + width, front, front + length)
    meeting, found = LEAF.meets(box), touched(box)
    if meeting is None:
        assert not found
        return
    if found:
        assert meeting.closing == pytest.approx(found[-1], abs=2 * FINE)
        if front > 0.0:
            assert meeting.opening == pytest.approx(found[0], abs=2 * FINE)
        else:
            assert meeting.opening == NEVER
    assert 0.0 < meeting.closing_radius <= 2.0
    assert 0.0 < meeting.opening_radius <= 2.0


def test_a_leaf_leaves_the_drive_as_the_cosine_says() -> None:
    assert [LEAF.covers(math.radians(degrees)) for degrees in (0, 60, 90)] == pytest.approx([2.0, 1.0, 0.0])
    assert LEAF.covers(math.radians(110)) == 0.0


def test_a_leaf_that_slides_meets_with_its_edge_what_stands_across_the_gate_line() -> None:
    across, beyond = Box(1.2, 1.8, -0.3, 0.3), Box(1.2, 1.8, 0.2, 0.6)
    meeting = SLIDE.meets(across)
    assert meeting is not None
    assert meeting.closing == pytest.approx(1.8)  # 3 m of way less 1.2 m to the near side
    assert meeting.opening == NEVER
    assert SLIDE.meets(beyond) is None
    assert SLIDE.covers(1.0) == 2.0
