"""Putts by distance against published tables.

Table: Broadie (2014) Every Shot Counts. Tour one-putt shares at 2-10, 15, 20, 30, 40, 50, 60 ft and the means
1.04, 1.50, 1.87, 2.00 at 3, 8, 20, 33 ft VERIFIED in secondary pages; every other tour cell, scratch and the
90-golfer MEMORY; three-putt shares of scratch and the 90-golfer of LOW confidence (2 to 4 points).
Fitted: tour line and pace to the tour's expected putts; scratch and the 90-golfer likewise. One-putt and
three-putt shares were not fitted by themselves, but they make up those means. The reference golfer of a
handicap index draws straight lines through scratch; nothing was fitted to index 15.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.skill.putting import (
    PuttingSkill,
    expected_putts,
    make_probability,
    putt_tables,
    putting_skill,
    reference_putting,
    three_putt_probability,
    tour_putting,
)
from rangework.units import DEGREE_RAD, FOOT_M

FloatArray = NDArray[np.float64]

DISTANCE_FT = np.array([2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20, 30, 40, 50, 60.0])
TOUR = {
    "one": [99, 96, 88, 77, 66, 58, 50, 45, 40, 23, 15, 7, 4, 3, 2],
    "three": [0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 5, 10, 17, 23],
    "mean": [1.01, 1.04, 1.13, 1.23, 1.34, 1.42, 1.50, 1.56, 1.61, 1.78, 1.87, 1.98, 2.06, 2.14, 2.21],
}
# Means of the next two are COMPUTED: 2 - one + three.
SCRATCH = {
    "one": [99, 93, 80, 66, 55, 47, 41, 36, 33, 21, 14, 6, 2, 1, 1],
    "three": [0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 4, 9, 17, 26, 34],
    "mean": [1.01, 1.07, 1.20, 1.34, 1.45, 1.53, 1.60, 1.65, 1.68, 1.81, 1.90, 2.03, 2.15, 2.25, 2.33],
}
NINETY = {
    "one": [95, 84, 65, 50, 39, 32, 27, 23, 20, 11, 6, 2, 1, 1, 0],
    "three": [0, 1, 1, 1, 2, 2, 2, 2, 3, 5, 8, 18, 30, 41, 51],
    "mean": [1.05, 1.17, 1.36, 1.51, 1.63, 1.70, 1.75, 1.79, 1.83, 1.94, 2.02, 2.16, 2.29, 2.40, 2.51],
}
NINETY_GOLFER = putting_skill(2.26, 0.088)

# Greatest root mean square and greatest single residual allowed: one-putt, three-putt, expected putts.
STATED = [
    (
        "tour",
        tour_putting(),
        TOUR,
        {"one": (0.0065, 0.016), "three": (0.0045, 0.0085), "mean": (0.005, 0.009)},
    ),
    (
        "scratch",
        reference_putting(0),
        SCRATCH,
        {"one": (0.017, 0.028), "three": (0.007, 0.014), "mean": (0.019, 0.028)},
    ),
    (
        "ninety",
        NINETY_GOLFER,
        NINETY,
        {"one": (0.037, 0.078), "three": (0.015, 0.031), "mean": (0.032, 0.071)},
    ),
    (
        "index 15",  # about the handicap of a golfer who shoots 90: common practice, no source
        reference_putting(15),
        NINETY,
        {"one": (0.033, 0.077), "three": (0.024, 0.05), "mean": (0.033, 0.071)},
    ),
]


def residuals(skill: PuttingSkill, published: dict[str, list[float]]) -> dict[str, FloatArray]:
    """Model minus table at each distance."""
    distance = DISTANCE_FT * FOOT_M
    tables = putt_tables(skill)
    return {
        "one": make_probability(distance, skill) - np.array(published["one"]) / 100,
        "three": three_putt_probability(distance, tables) - np.array(published["three"]) / 100,
        "mean": expected_putts(distance, tables) - np.array(published["mean"]),
    }


def misfit(difference: FloatArray) -> tuple[float, float]:
    return float(np.sqrt(np.mean(difference**2))), float(np.abs(difference).max())


@pytest.mark.parametrize(("name", "skill", "published", "stated"), STATED, ids=[row[0] for row in STATED])
def test_putts_by_distance(
    name: str,
    skill: PuttingSkill,
    published: dict[str, list[float]],
    stated: dict[str, tuple[float, float]],
) -> None:
    print(f"\n{name:8}     rms     max   model minus table at {DISTANCE_FT.astype(int).tolist()} ft")
    for column, difference in residuals(skill, published).items():
        rms, largest = misfit(difference)
        print(f"  {column:6} {rms:7.4f} {largest:7.4f}   {np.round(difference, 3).tolist()}")
        assert rms <= stated[column][0]
        assert largest <= stated[column][1]


@pytest.mark.parametrize(
    "wrong",
    [
        tour_putting()._replace(reading_rad_per_m=0.0),
        tour_putting().scaled(pace=1.15),
        tour_putting().scaled(line=1.05),
        tour_putting()._replace(aim_past_m=0.6),
    ],
    ids=["no reading", "pace", "line", "aim past"],
)
def test_another_golfer_does_not_meet_the_tour_table(wrong: PuttingSkill) -> None:
    """Negative control."""
    found = residuals(wrong, TOUR)
    stated = STATED[0][3]
    assert any(misfit(found[column])[1] > stated[column][1] for column in found)


@pytest.mark.parametrize(
    ("distance_ft", "putts"), [(3, 1.04), (8, 1.50), (20, 1.87), (33, 2.00)]
)  # Broadie, notes and articles of 2011 and 2019: VERIFIED secondary; the first three are in the fitted table
def test_tour_means_quoted_apart(distance_ft: float, putts: float) -> None:
    tables = putt_tables(tour_putting())
    assert float(expected_putts(distance_ft * FOOT_M, tables)) == pytest.approx(putts, abs=0.012)


@pytest.mark.parametrize(
    ("skill", "distance_ft", "share", "within"),
    [
        (tour_putting(), 8, 0.50, 0.02),  # Broadie 2014 by Golf Science Journal, VERIFIED secondary
        (NINETY_GOLFER, 5, 0.50, 0.02),  # the same
        (NINETY_GOLFER, 8, 0.26, 0.055),  # "just over 25 %", VERIFIED secondary
        (
            reference_putting(4.5),
            6,
            0.50,
            0.03,
        ),  # handicaps 0-9, on Broadie 2008, VERIFIED secondary; not fitted
    ],
)
def test_half_of_the_putts_are_holed_from(
    skill: PuttingSkill, distance_ft: float, share: float, within: float
) -> None:
    assert float(make_probability(distance_ft * FOOT_M, skill)) == pytest.approx(share, abs=within)


@pytest.mark.parametrize(
    ("distance_ft", "one", "two", "three"),
    [(7.5, 50, 49, 0.5), (12, 30, 69, 0.9), (20, 14, 84, 2), (32, 6, 88, 6), (40, 4, 86, 10)],
)
def test_another_table_of_one_two_and_three_putts(
    distance_ft: float, one: float, two: float, three: float
) -> None:
    """A page of 2015 on tour shares, VERIFIED secondary (its own table not seen). Not fitted.

    Its first row is "7-8 ft"; the table above has 58 % at 7 ft and 50 % at 8 ft: allow 5 points.
    """
    tables = putt_tables(tour_putting())
    holed = float(make_probability(distance_ft * FOOT_M, tour_putting()))
    three_or_more = float(three_putt_probability(distance_ft * FOOT_M, tables))
    assert 100 * holed == pytest.approx(one, abs=5.0)
    assert 100 * (1.0 - holed - three_or_more) == pytest.approx(two, abs=5.0)
    assert 100 * three_or_more == pytest.approx(three, abs=1.5)


@pytest.mark.parametrize("skill", [row[1] for row in STATED], ids=[row[0] for row in STATED])
def test_two_putt_identity(skill: PuttingSkill) -> None:
    """Expected putts = 2 - P(1) + P(3) + 2 P(4) + ... Standard probability, COMPUTED."""
    tables = putt_tables(skill)
    share = np.diff(tables.cumulative, axis=1, prepend=0.0)
    rest = tables.expected - (2.0 - share[:, 0] + share[:, 2] + 2.0 * share[:, 3])
    five_or_more = 1.0 - tables.cumulative[:, 3]
    assert np.all(rest >= 3.0 * five_or_more - 1e-9)
    assert np.all(rest <= 3.3 * five_or_more + 1e-9)


def test_pace_lies_between_repeated_and_varied_putts() -> None:
    """Karlsen and Nilsson (2008), 43 golfers of mean handicap 2.8: 6.8 % of the distance over the last 15 of
    30 repeated putts of 6 m, 10.6 % over 40 varied putts of 2.2 to 19.3 m. VERIFIED abstract. Not fitted.
    """
    skill = reference_putting(2.8)
    share = skill.pace * (6.0 + skill.aim_past_m) / 6.0
    assert 0.068 < share < 0.106


def test_line_is_more_than_the_stroke() -> None:
    """Direction sd of elite strokes about 0.39 degrees (Karlsen and others 2008): MEMORY. Not fitted."""
    assert tour_putting().line_rad / DEGREE_RAD > 2.0 * 0.39
