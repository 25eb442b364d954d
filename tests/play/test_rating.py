"""Estimated ratings: the better half, its Monte Carlo range, and the slope, on scores whose answer is known."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from rangework.course.standard_hole import standard_hole
from rangework.estimate import Estimate, unknown_bases
from rangework.play.handicap import block_averages
from rangework.play.lattice import Layout, lay_out
from rangework.play.rating import BOGEY_INDEX, better_half, estimate_rating, rating_of_scores
from rangework.skill.reference import Group
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]
SLOPE_PER_STROKE: dict[Group, float] = {"men": 5.381, "women": 4.24}
GROUPS: tuple[Group, ...] = ("men", "women")


def normal_scores(seed: int, mean: float, sd: float, rounds: int = 20_000) -> FloatArray:
    return np.random.default_rng(seed).normal(mean, sd, rounds)


@given(st.lists(st.integers(60, 130), min_size=1, max_size=60))
def test_better_half_is_the_mean_of_the_lower_half(scores: list[int]) -> None:
    half = max(len(scores) // 2, 1)
    assert better_half(scores) == pytest.approx(sum(sorted(scores)[:half]) / half)
    assert better_half(scores) == better_half(scores[::-1])


def test_better_half_of_normal_scores() -> None:
    """The mean of the lower half of a normal lies sqrt(2/pi) standard deviations under its mean (closed form)."""
    scores = normal_scores(1, 80.0, 3.0, 400_000)
    assert better_half(scores) == pytest.approx(80.0 - 3.0 * math.sqrt(2.0 / math.pi), abs=0.02)


@pytest.mark.parametrize("group", GROUPS)
def test_a_bogey_golfer_has_the_index_that_the_slope_relation_gives(group: Group) -> None:
    """At slope 113 the bogey rating lies 113/5.381 or 113/4.24 above the course rating; sd of scores 4.4 strokes."""
    above = 113.0 / SLOPE_PER_STROKE[group]
    scores = normal_scores(2, 0.0, 4.4, 400_000)
    index = above - (better_half(scores) - float(block_averages(scores).mean()))
    assert BOGEY_INDEX[group] == pytest.approx(index, abs=0.15)


@pytest.mark.parametrize("group", GROUPS)
def test_slope_is_the_published_constant_times_the_difference(group: Group) -> None:
    scratch = normal_scores(3, 75.0, 3.0)
    rating = rating_of_scores(scratch, scratch + 21.0, group)
    assert rating.bogey_rating.value - rating.course_rating.value == pytest.approx(21.0)
    assert rating.slope.value == round(21.0 * SLOPE_PER_STROKE[group])
    assert rating.slope.low == rating.slope.high == rating.slope.value  # the same luck moves both alike


@pytest.mark.parametrize(("apart", "slope"), [(3.0, 55), (60.0, 155)])
def test_slope_is_held_to_its_published_range(apart: float, slope: int) -> None:
    scratch = normal_scores(4, 75.0, 3.0)
    assert rating_of_scores(scratch, scratch + apart, "men").rounded.slope == slope


def test_nine_holes_are_rated_as_nine_with_the_slope_of_eighteen() -> None:
    scratch, bogey = normal_scores(5, 70.0, 3.0), normal_scores(6, 92.0, 4.4)
    whole, nine = rating_of_scores(scratch, bogey, "men"), rating_of_scores(scratch, bogey, "men", holes=9)
    assert nine.course_rating.value == pytest.approx(whole.course_rating.value / 2)
    assert nine.bogey_rating.value == pytest.approx(whole.bogey_rating.value / 2)
    assert nine.slope == whole.slope
    assert nine.rounded.course_rating == round(nine.course_rating.value, 1)


def holds(range_: Estimate, truth: float) -> bool:
    assert range_.low is not None
    assert range_.high is not None
    return range_.low <= truth <= range_.high


def test_the_range_holds_the_truth_as_often_as_it_says() -> None:
    """90 % ranges over 400 sets of scores; a range of half the width, the negative control, holds it less."""
    truth = 75.0 - 3.0 * math.sqrt(2.0 / math.pi)
    ratings = [
        rating_of_scores(normal_scores(seed, 75.0, 3.0, 500), normal_scores(seed, 97.0, 4.0, 500), "men")
        for seed in range(400)
    ]
    held = np.mean([holds(rating.course_rating, truth) for rating in ratings])
    assert 0.86 <= held <= 0.94
    halved = [
        replace(
            rating.course_rating,
            low=(rating.course_rating.value + (rating.course_rating.low or 0.0)) / 2,
            high=(rating.course_rating.value + (rating.course_rating.high or 0.0)) / 2,
        )
        for rating in ratings
    ]
    assert np.mean([holds(range_, truth) for range_ in halved]) < 0.75


def layouts(scale: float) -> list[Layout]:
    """Three short standard holes, soon solved."""
    grids = [standard_hole(scale * yards * YARD_M, seed=yards) for yards in (150, 260, 120)]
    return [
        lay_out(replace(grid, number=number), coarse_step_m=14.0, fine_step_m=7.0)
        for number, grid in enumerate(grids, start=1)
    ]


@pytest.mark.slow
def test_longer_holes_are_rated_higher_and_threads_change_nothing() -> None:
    short = estimate_rating(layouts(0.9), "men", rounds=2000, threads=1)
    assert short == estimate_rating(layouts(0.9), "men", rounds=2000, threads=2)
    long, women = (estimate_rating(layouts(1.15), group, rounds=2000) for group in GROUPS)
    for name in ("course_rating", "bogey_rating"):
        values = [getattr(each, name).value for each in (short, long, women)]
        assert values == sorted(values)
    assert unknown_bases(short.slope.basis) == []
    assert "assumption.estimated_rating" in short.slope.basis
