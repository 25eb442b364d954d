"""Handicap arithmetic against the Rules of Handicapping and their worked examples.

Figures, sources and status: published/handicap.py. Nothing here is fitted.
"""

from __future__ import annotations

import numpy as np
import pytest
from published import handicap as rules

from rangework.play.handicap import (
    FEWER_THAN_TWENTY,
    HIGHEST_INDEX,
    block_averages,
    capped,
    course_handicap,
    handicap_index,
    highest_hole_scores,
    nine_hole_course_handicap,
    round_half_up,
    score_differential,
    simulated_index,
    slope_rating,
)


@pytest.mark.parametrize("row", rules.DIFFERENTIALS)
def test_score_differential(row: rules.Differential) -> None:
    found = score_differential(row.score, row.course_rating, row.slope, row.playing_conditions)
    assert float(found) == pytest.approx(row.differential, abs=1e-9)


@pytest.mark.parametrize(("exact", "rounded"), rules.ROUNDED)
def test_negative_differentials_round_toward_zero(exact: float, rounded: float) -> None:
    assert float(round_half_up(exact, 1)) == pytest.approx(rounded, abs=1e-9)


@pytest.mark.parametrize("row", rules.CAPS)
def test_soft_and_hard_cap(row: rules.Cap) -> None:
    assert float(round_half_up(capped(row.average, row.low_index), 1)) == pytest.approx(row.index, abs=1e-9)
    assert handicap_index([row.average] * 20, row.low_index) == pytest.approx(row.index, abs=1e-9)


def test_nine_holes() -> None:
    nine = rules.NINE_HOLES
    exact = nine_hole_course_handicap(nine.index, nine.slope, nine.course_rating, nine.par)
    assert exact == pytest.approx(nine.exact, abs=0.001)
    assert float(round_half_up(exact)) == nine.whole


def test_three_scores() -> None:
    scores, index = rules.THREE_SCORES
    assert handicap_index(list(scores)) == pytest.approx(index, abs=1e-9)


def test_course_handicap_formula() -> None:
    """VERIFIED formula: index x slope/113 + (course rating - par)."""
    assert course_handicap(12.0, 113, 71.0, 72) == pytest.approx(11.0)
    assert course_handicap(20.4, 130, 72.5, 72) == pytest.approx(20.4 * 130 / 113 + 0.5)


@pytest.mark.parametrize(
    ("pars", "stroke_index", "handicap", "highest", "_status"), rules.HIGHEST_HOLE_SCORES
)
def test_net_double_bogey(
    pars: tuple[int, ...],
    stroke_index: tuple[int, ...],
    handicap: int | None,
    highest: tuple[int, ...],
    _status: str,
) -> None:
    assert tuple(highest_hole_scores(pars, stroke_index, handicap)) == highest


def test_slope_rating() -> None:
    standard, men, women = rules.STANDARD_SLOPE, *rules.SLOPE_PER_STROKE.values()
    assert slope_rating(72.0, 72.0 + standard / men) == standard
    assert slope_rating(72.0, 72.0 + standard / women, "women") == standard
    assert slope_rating(72.0, 60.0) == rules.LOWEST_SLOPE
    assert slope_rating(72.0, 140.0) == rules.HIGHEST_SLOPE


def test_highest_index() -> None:
    assert HIGHEST_INDEX == rules.HIGHEST_INDEX


@pytest.mark.parametrize("row", rules.FEWER_THAN_TWENTY)
def test_fewer_than_twenty_scores(row: rules.Fewer) -> None:
    n = row.scores
    assert FEWER_THAN_TWENTY[n] == (row.lowest, row.adjustment)
    differentials = np.random.default_rng(n).normal(20.0, 3.0, (2_000, n))
    indices = np.array([handicap_index(scores) for scores in differentials])
    error = indices.std() / np.sqrt(indices.size)
    assert abs(indices.mean() - (20.0 + 3.0 * row.expectation + row.adjustment)) < 4.0 * error


def test_best_8_of_20_of_normal_scores() -> None:
    gap, spread, share = rules.BEST_8_OF_20
    rounds = np.random.default_rng(8).normal(size=20 * 50_000)
    averages = block_averages(rounds)
    assert simulated_index(rounds) == pytest.approx(gap, abs=4 * spread / np.sqrt(50_000))
    assert averages.std() == pytest.approx(spread, abs=0.004)
    assert np.mean(rounds <= averages.mean()) == pytest.approx(share, abs=0.002)


def test_best_10_of_20_does_not_pass_as_best_8() -> None:
    """Negative control."""
    rounds = np.random.default_rng(8).normal(size=(50_000, 20))
    best_ten = np.sort(rounds, axis=1)[:, :10].mean()
    assert best_ten == pytest.approx(rules.BEST_10_OF_20, abs=0.005)
    assert best_ten != pytest.approx(rules.BEST_8_OF_20[0], abs=0.1)
