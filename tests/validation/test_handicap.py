"""Handicap arithmetic against the Rules of Handicapping and their worked examples.

Source unless a check names another: Rules of Handicapping, USGA and The R&A (usga.org: rules 5.1, 5.2, 5.8, 6
with local guidance, and frequently asked questions; definitions at randa.org). Status stands at each check:
VERIFIED (read in a stored copy), VERIFIED secondary, MEMORY, COMPUTED. Nothing here is fitted.
"""

from __future__ import annotations

import numpy as np
import pytest

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


@pytest.mark.parametrize(
    ("score", "course_rating", "slope", "differential"),
    [
        (94, 73.0, 125, 19.0),  # VERIFIED worked example, no playing-conditions adjustment
        (80, 68.7, 105, 12.2),  # VERIFIED, old system, same formula
    ],
)
def test_score_differential(score: int, course_rating: float, slope: float, differential: float) -> None:
    assert float(score_differential(score, course_rating, slope)) == pytest.approx(differential, abs=1e-9)


def test_playing_conditions_come_off_the_score() -> None:
    """VERIFIED formula: (113/slope) x (adjusted gross score - course rating - PCC)."""
    assert float(score_differential(94, 73.0, 125, 1.0)) == pytest.approx(18.1, abs=1e-9)


@pytest.mark.parametrize(("exact", "rounded"), [(-1.54, -1.5), (-1.55, -1.5)])  # VERIFIED
def test_negative_differentials_round_toward_zero(exact: float, rounded: float) -> None:
    assert float(round_half_up(exact, 1)) == pytest.approx(rounded, abs=1e-9)


@pytest.mark.parametrize(
    ("average", "low", "index"),
    [
        (11.6, 6.5, 10.6),  # VERIFIED: excess 2.1, 10.55 -> 10.6
        (13.4, 10.0, 13.2),  # VERIFIED
        (18.2, 10.2, 15.2),  # inputs VERIFIED, result COMPUTED: 15.7 after the soft cap, held at 5.0
    ],
)
def test_soft_and_hard_cap(average: float, low: float, index: float) -> None:
    assert float(round_half_up(capped(average, low), 1)) == pytest.approx(index, abs=1e-9)
    assert handicap_index([average] * 20, low) == pytest.approx(index, abs=1e-9)


def test_nine_holes() -> None:
    """VERIFIED: index 8.7, course rating 35.3, slope 121, par 36 -> 4.4 -> 4.011 -> 4."""
    exact = nine_hole_course_handicap(8.7, 121, 35.3, 36)
    assert exact == pytest.approx(4.011, abs=0.001)
    assert float(round_half_up(exact)) == 4.0


def test_three_scores() -> None:
    """Inputs VERIFIED, result COMPUTED: 15.3, 15.2, 16.6 -> 15.2 - 2.0."""
    assert handicap_index([15.3, 15.2, 16.6]) == pytest.approx(13.2, abs=1e-9)


def test_course_handicap_formula() -> None:
    """VERIFIED formula: index x slope/113 + (course rating - par)."""
    assert course_handicap(12.0, 113, 71.0, 72) == pytest.approx(11.0)
    assert course_handicap(20.4, 130, 72.5, 72) == pytest.approx(20.4 * 130 / 113 + 0.5)


def test_net_double_bogey() -> None:
    """MEMORY: par + 2 + strokes received on the hole; par + 5 without an index VERIFIED secondary."""
    assert highest_hole_scores([4, 4, 5], [1, 2, 3], 1).tolist() == [7, 6, 7]
    assert highest_hole_scores([4, 4, 5], [1, 2, 3], None).tolist() == [9, 9, 10]


def test_slope_rating() -> None:
    """VERIFIED: 5.381 (men) or 4.24 (women) x (bogey - course rating); standard 113, 55 to 155."""
    assert slope_rating(72.0, 72.0 + 113 / 5.381) == 113.0
    assert slope_rating(72.0, 72.0 + 113 / 4.24, "women") == 113.0
    assert slope_rating(72.0, 60.0) == 55.0


def test_highest_index() -> None:
    """VERIFIED: 54.0."""
    assert HIGHEST_INDEX == 54.0


# n, lowest used, adjustment (Rule 5.2a, VERIFIED), mean of the lowest of n standard normals (COMPUTED).
FEWER = [
    (3, 1, -2.0, -0.8463),
    (4, 1, -1.0, -1.0294),
    (5, 1, 0.0, -1.163),
    (6, 2, -1.0, -0.9545),
    (7, 2, 0.0, -1.055),
    (8, 2, 0.0, -1.138),
    (9, 3, 0.0, -0.996),
    (10, 3, 0.0, -1.065),
    (11, 3, 0.0, -1.126),
    (12, 4, 0.0, -1.019),
    (13, 4, 0.0, -1.071),
    (14, 4, 0.0, -1.119),
    (15, 5, 0.0, -1.032),
    (16, 5, 0.0, -1.075),
    (17, 6, 0.0, -1.003),
    (18, 6, 0.0, -1.042),
    (19, 7, 0.0, -0.9808),
    (20, 8, 0.0, -0.9282),
]


@pytest.mark.parametrize(("n", "lowest", "adjustment", "expectation"), FEWER)
def test_fewer_than_twenty_scores(n: int, lowest: int, adjustment: float, expectation: float) -> None:
    assert FEWER_THAN_TWENTY[n] == (lowest, adjustment)
    differentials = np.random.default_rng(n).normal(20.0, 3.0, (2_000, n))
    indices = np.array([handicap_index(row) for row in differentials])
    error = indices.std() / np.sqrt(indices.size)
    assert abs(indices.mean() - (20.0 + 3.0 * expectation + adjustment)) < 4.0 * error


def test_best_8_of_20_of_normal_scores() -> None:
    """Closed form, COMPUTED: mean -0.9282 sd, sd 0.2765, P(differential <= index) 0.1766; best ten -0.767."""
    rounds = np.random.default_rng(8).normal(size=20 * 50_000)
    averages = block_averages(rounds)
    assert simulated_index(rounds) == pytest.approx(-0.9282, abs=4 * 0.2765 / np.sqrt(50_000))
    assert averages.std() == pytest.approx(0.2765, abs=0.004)
    assert np.mean(rounds <= averages.mean()) == pytest.approx(0.1766, abs=0.002)


def test_best_10_of_20_does_not_pass_as_best_8() -> None:
    """Negative control; the older system's ten, COMPUTED: mean -0.767 sd."""
    rounds = np.random.default_rng(8).normal(size=(50_000, 20))
    best_ten = np.sort(rounds, axis=1)[:, :10].mean()
    assert best_ten == pytest.approx(-0.767, abs=0.005)
    assert best_ten != pytest.approx(-0.9282, abs=0.1)
