"""Where a ball is dropped after a penalty area, and what a penalty costs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from synthetic_holes import FloatArray, drawn_hole, exact_golfer, solved

from rangework.lie import Ground
from rangework.play import kernels
from rangework.play.kernels import HoleArrays
from rangework.play.lattice import lay_out
from rangework.play.rounds import PENALTIES, play_rounds

Grounds = NDArray[np.uint8]


def bands(*wet: tuple[float, float], kind: Ground = Ground.WATER, green_at: float = 250.0) -> HoleArrays:
    """A straight hole of 260 m with penalty areas across it."""

    def draw(_x: FloatArray, y: FloatArray) -> Grounds:
        ground = np.full(y.shape, Ground.FAIRWAY)
        for low, high in wet:
            ground[(y >= low) & (y < high)] = kind
        ground[y >= green_at] = Ground.GREEN
        return ground

    return lay_out(drawn_hole(260.0, 4, draw)).hole


def drop(hole: HoleArrays, y: float, start_y: float = 0.0) -> tuple[float, float, bool]:
    x, y, found = kernels.drop_place(hole, 0.0, y, 0.0, start_y)
    return float(x), float(y), bool(found)


def test_a_drop_is_two_steps_short_of_the_edge() -> None:
    x, y, found = drop(bands((100.0, 130.0)), 115.0)
    assert found
    assert x == 0.0
    assert 97.9 < y < 99.1


def test_the_last_crossing_counts() -> None:
    hole = bands((100.0, 130.0), (150.0, 180.0))
    assert 147.9 < drop(hole, 170.0)[1] < 149.1
    assert 97.9 < drop(hole, 120.0)[1] < 99.1


def test_a_strip_too_narrow_to_stand_on_is_passed_over() -> None:
    assert drop(bands((100.0, 130.0), (131.0, 160.0)), 140.0)[1] < 100.0


def test_nothing_dry_short_of_the_start_means_playing_again() -> None:
    assert not drop(bands((20.0, 130.0)), 60.0, start_y=19.0)[2]


def test_nobody_drops_on_the_green_or_out_of_bounds() -> None:
    beyond = bands((255.0, 300.0), green_at=200.0)
    assert drop(beyond, 260.0)[1] < 200.0
    out = bands((100.0, 130.0), kind=Ground.OUT)
    assert drop(out, 115.0)[1] < 100.0


@given(
    st.lists(st.sampled_from([Ground.ROUGH, Ground.FAIRWAY, Ground.GREEN, Ground.WATER, Ground.OUT]), min_size=30,
             max_size=30),
    st.floats(-60.0, 60.0), st.floats(40.0, 250.0), st.floats(-60.0, 60.0),
)  # fmt: skip
def test_any_drop_is_playable_and_on_the_line(
    stripes: list[Ground], x: float, y: float, start_x: float
) -> None:
    def draw(_across: FloatArray, along: FloatArray) -> Grounds:
        return np.array(stripes)[np.clip((along + 40.0) / 13.0, 0, 29).astype(int)]

    hole = lay_out(drawn_hole(260.0, 4, draw)).hole
    px, py, found = kernels.drop_place(hole, x, y, start_x, 0.0)
    if not found:
        return
    ground = Ground(int(kernels.ground_at(hole, px, py)))
    assert ground in (Ground.ROUGH, Ground.FAIRWAY)
    whole, back = math.hypot(x - start_x, y), math.hypot(px - start_x, py)
    assert math.hypot(x - px, y - py) + back == pytest.approx(whole)
    assert back >= 0.0


def test_an_exact_golfer_carries_water_or_lays_up() -> None:
    """110 m of water from 190 m on: two shots still reach the green, dry."""

    def pond(x: FloatArray, y: FloatArray) -> Grounds:
        ground = np.where((y > 190.0) & (y < 300.0) & (np.abs(x) < 200.0), Ground.WATER, Ground.FAIRWAY)
        return np.where(np.hypot(x, y - 330.0) < 12.0, Ground.GREEN, ground)

    strategy, player = solved(drawn_hole(330.0, 4, pond), exact_golfer())
    assert strategy.expected_strokes == pytest.approx(3.0, abs=1e-3)
    assert np.all(play_rounds([strategy], player, 50).by_family[:, 0, PENALTIES] == 0)
