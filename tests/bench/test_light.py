"""The link budget of a line beam against closed forms (angles: IEC 61496-2 type 2, from memory)."""

from __future__ import annotations

import math

import pytest

from simgate.bench.light import EXCESS, HALF, SUN, lobe, needed, sees, signal
from simgate.wiring.heads import Head, HeadSpec

RATED = 12.0


def head(across: float = 0.0, up: float = 0.0, lens: bool = True, dirt: float = 0.0) -> Head:
    """A head as it stands."""
    return Head(HeadSpec("----", (across, up), lens, dirt))


def test_the_lobe_has_half_its_power_at_the_half_angle_of_r5() -> None:
    assert HALF == 5.0
    assert lobe(0.0, HALF) == 1.0
    assert lobe(HALF, HALF) == pytest.approx(0.5)


@pytest.mark.parametrize(("across", "up"), [(1.0, 0.0), (0.0, 1.0), (0.6, -0.8)])
def test_at_rated_range_one_head_can_be_off_by_the_half_angle_and_no_more(across: float, up: float) -> None:
    for off, seen in ((0.99 * HALF, True), (1.01 * HALF, False)):
        assert sees(head(across * off, up * off), head(), RATED, RATED, 0.0) is seen
        assert sees(head(), head(across * off, up * off), RATED, RATED, 0.0) is seen


def test_light_falls_with_the_square_of_the_distance() -> None:
    far, near = signal(head(), head(), 2 * RATED, RATED), signal(head(), head(), RATED, RATED)
    assert near == pytest.approx(EXCESS)
    assert near / far == pytest.approx(4.0)


def test_the_reach_in_the_dark_is_rated_range_times_root_of_the_excess() -> None:
    reach = RATED * math.sqrt(EXCESS)
    assert sees(head(), head(), 0.999 * reach, RATED, 0.0)
    assert not sees(head(), head(), 1.001 * reach, RATED, 0.0)


def test_nearer_the_aim_may_be_worse_as_the_gaussian_says() -> None:
    span = RATED / 2
    most = HALF * math.sqrt(math.log2(EXCESS * 4))
    assert sees(head(most - 0.05), head(), span, RATED, 0.0)
    assert not sees(head(most + 0.05), head(), span, RATED, 0.0)


def test_without_a_lens_only_a_short_gate_works() -> None:
    reach = RATED * math.sqrt(EXCESS) / 6.0  # (5 / 30) squared in power is 1 / 6 in distance
    assert sees(head(), head(lens=False), 0.99 * reach, RATED, 0.0)
    assert not sees(head(), head(lens=False), 1.01 * reach, RATED, 0.0)


def test_dirt_takes_its_share_at_each_head() -> None:
    assert signal(head(dirt=0.5), head(dirt=0.2), RATED, RATED) == pytest.approx(EXCESS * 0.5 * 0.8)


def test_the_sun_blinds_a_long_beam_before_a_short_one() -> None:
    assert needed(head(), 1.0) == pytest.approx(1.0 + SUN)
    assert not sees(head(), head(), RATED, RATED, 1.0)
    assert sees(head(), head(), RATED / 2, RATED, 1.0)
