"""World Handicap System arithmetic: differentials, index, course handicap, hole caps, slope.

The Rules of Handicapping (USGA and The R&A, 2020 and later) are cited by number. Reductions for exceptional
scores and the expected scores that complete nine holes are left to the golfer's own association, so an index
computed here is always a simulated, unofficial one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.errors import InputError, Problem

FloatArray = NDArray[np.float64]

STANDARD_SLOPE = 113.0
LOWEST_SLOPE, HIGHEST_SLOPE = 55.0, 155.0
HIGHEST_INDEX = 54.0
SCORES_IN_RECORD = 20
SCORES_COUNTED = 8

#: Rule 5.2a: number of differentials held -> (how many of the lowest count, adjustment).
FEWER_THAN_TWENTY = {
    3: (1, -2.0),
    4: (1, -1.0),
    5: (1, 0.0),
    6: (2, -1.0),
    **dict.fromkeys((7, 8), (2, 0.0)),
    **dict.fromkeys((9, 10, 11), (3, 0.0)),
    **dict.fromkeys((12, 13, 14), (4, 0.0)),
    **dict.fromkeys((15, 16), (5, 0.0)),
    **dict.fromkeys((17, 18), (6, 0.0)),
    19: (7, 0.0),
    20: (8, 0.0),
}

_SOFT_CAP, _HARD_CAP = 3.0, 5.0
_SLOPE_PER_STROKE = {"men": 5.381, "women": 4.24}


def round_half_up(value: ArrayLike, decimals: int = 0) -> FloatArray:
    """Round with .5 going up, so that a negative half goes toward zero (Rule 5.1a: -1.55 is -1.5)."""
    scale = 10.0**decimals
    # The inner rounding takes 10.55, stored as 10.5499..., for the half that it stands for.
    scaled = np.round(np.asarray(value, dtype=np.float64) * scale, 6)
    return np.asarray(np.floor(scaled + 0.5) / scale)


def score_differential(
    adjusted_gross_score: ArrayLike,
    course_rating: float,
    slope: float,
    playing_conditions: float = 0.0,
) -> FloatArray:
    """Score differentials of adjusted gross scores of 18 holes, to 0.1 (Rule 5.1a)."""
    above = np.asarray(adjusted_gross_score, dtype=np.float64) - course_rating - playing_conditions
    return round_half_up(STANDARD_SLOPE / slope * above, 1)


def handicap_index(differentials: Sequence[float] | FloatArray, low_index: float | None = None) -> float:
    """Handicap index of a scoring record, latest score last (Rules 5.2 and 5.8).

    The lowest 8 of the last 20 differentials, or the table of Rule 5.2a for 3 to 19. ``low_index`` is the
    lowest index of the last year: with 20 scores, caps then hold the rise above it. Raises InputError for
    fewer than 3.
    """
    recent = np.asarray(differentials, dtype=np.float64)[-SCORES_IN_RECORD:]
    if recent.size < min(FEWER_THAN_TWENTY):
        raise InputError(
            Problem(
                "handicap index", "differentials", f"{recent.size} scores", "at least 3 scores of 18 holes"
            )
        )
    counted, adjustment = FEWER_THAN_TWENTY[recent.size]
    average = float(np.sort(recent)[:counted].mean()) + adjustment
    if low_index is not None and recent.size == SCORES_IN_RECORD:
        average = capped(average, low_index)
    return min(float(round_half_up(average, 1)), HIGHEST_INDEX)


def capped(average: float, low_index: float) -> float:
    """Soft cap, which halves a rise of more than 3.0 above the low index, then hard cap at 5.0 (Rule 5.8)."""
    soft = low_index + _SOFT_CAP
    if average <= soft:
        return average
    return min(soft + 0.5 * (average - soft), low_index + _HARD_CAP)


def course_handicap(index: float, slope: float, course_rating: float, par: float) -> float:
    """Course handicap of 18 holes, not rounded (Rule 6.1a); ``round_half_up`` it for strokes on holes."""
    return index * slope / STANDARD_SLOPE + (course_rating - par)


def nine_hole_course_handicap(index: float, slope: float, course_rating: float, par: float) -> float:
    """Course handicap of 9 holes with their own ratings, from half the index to 0.1 (Rule 6.1b)."""
    return course_handicap(float(round_half_up(index / 2.0, 1)), slope, course_rating, par)


def strokes_received(whole_course_handicap: int, stroke_index: ArrayLike) -> NDArray[np.int64]:
    """Handicap strokes on each hole, lowest stroke index first; a plus handicap gives back from the last.

    The stroke indices are ranked, so nine holes of an 18-hole card (1, 3, 5, ...) serve as well.
    """
    rank = np.argsort(np.argsort(np.asarray(stroke_index)))
    every_hole, rest = divmod(whole_course_handicap, rank.size)
    return np.asarray(every_hole + (rank < rest), dtype=np.int64)


def highest_hole_scores(
    par: ArrayLike, stroke_index: ArrayLike, whole_course_handicap: int | None
) -> NDArray[np.int64]:
    """Net double bogey on each hole, or par + 5 for a golfer without an index (Rule 3.1)."""
    pars = np.asarray(par, dtype=np.int64)
    if whole_course_handicap is None:
        return pars + 5
    return pars + 2 + strokes_received(whole_course_handicap, stroke_index)


def adjusted_gross_score(hole_scores: ArrayLike, highest: ArrayLike) -> NDArray[np.int64]:
    """Rounds ``[..., holes]`` added up with every hole held to its highest score."""
    return np.asarray(np.minimum(hole_scores, highest).sum(axis=-1), dtype=np.int64)


def slope_rating(
    course_rating: float, bogey_rating: float, golfers: Literal["men", "women"] = "men"
) -> float:
    """Slope from the course and bogey ratings: a whole number from 55 to 155."""
    slope = float(round_half_up(_SLOPE_PER_STROKE[golfers] * (bogey_rating - course_rating)))
    return min(max(slope, LOWEST_SLOPE), HIGHEST_SLOPE)


def block_averages(differentials: ArrayLike) -> FloatArray:
    """Average of the best 8 of each consecutive 20 differentials; a rest of fewer than 20 is left out."""
    values = np.asarray(differentials, dtype=np.float64).ravel()
    blocks = values[: values.size - values.size % SCORES_IN_RECORD].reshape(-1, SCORES_IN_RECORD)
    return np.asarray(np.partition(blocks, SCORES_COUNTED, axis=1)[:, :SCORES_COUNTED].mean(axis=1))


def simulated_index(differentials: ArrayLike) -> float:
    """Mean handicap index over consecutive scoring records of 20 simulated rounds, without caps or a limit.

    Its Monte Carlo error is the standard error of the mean of ``block_averages``. Raises InputError for fewer
    than 20 differentials.
    """
    averages = block_averages(differentials)
    if not averages.size:
        raise InputError(Problem("simulated index", "rounds", "", f"at least {SCORES_IN_RECORD} rounds"))
    return math.fsum(averages) / averages.size
