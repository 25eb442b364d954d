"""A randomised iron test as published: nine targets, 27 shots, 0 to 3 points each by percent error.

Source: Robertson, Burnett & Newton 2013, European Journal of Sport Science 13:615-621 (abstract). It gives neither the
distances of the targets nor the errors that points end at; both are assumed here: targets evenly from 80 to 190 yd,
points ending at one, two and three times an error that makes the mean score the published one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.imagined_cards import Plausible, strike_rows, struck
from rangework.assessment.rungs import Rung
from rangework.lie import Lie
from rangework.skill.model import POOR, Golfer, compile_golfer
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]

TARGETS_M: FloatArray = np.linspace(80.0, 190.0, 9) * YARD_M
BALLS_A_TARGET = 3
#: Range spread beside the course (prior.range_factor); days (prior.sessions): turn, share of distance, log spread.
ON_RANGE, DAYS = 0.85, (1.0 * DEGREE_RAD, 0.015, 0.10)


def percent_errors(golfer: Golfer, tests: int, seed: int, *, days: bool = True) -> FloatArray:
    """[test, ball] distance from the target over the target's, of tests each on a day of its own."""
    luck = np.random.default_rng(seed)
    day = luck.standard_normal((1, tests, 3)) * float(days)
    player = Plausible(compile_golfer(golfer).table, ON_RANGE, *DAYS)
    columns = []
    for target in np.repeat(TARGETS_M, BALLS_A_TARGET):
        rung = Rung(Lie.FAIRWAY, float(target))
        rows = strike_rows(rung, [player])
        z, poor = luck.standard_normal((2, 1, tests, 1)), luck.random((1, tests, 1)) < rows[0, POOR]
        long, right = struck(rung, [player], rows, day, z, poor)
        columns.append(np.hypot(long, right)[0, :, 0] / target)
    return np.array(columns).T


def normal_errors(tests: int, seed: int) -> FloatArray:
    """[test, ball] errors of a golfer whose every ball is normal both ways and independent of all others, sd 1."""
    luck = np.random.default_rng(seed)
    return np.asarray(np.hypot(*luck.standard_normal((2, tests, BALLS_A_TARGET * len(TARGETS_M)))))


def scores(errors: FloatArray, step: float, ends: tuple[float, float, float] = (1.0, 2.0, 3.0)) -> FloatArray:
    """[test] points: 3, 2 and 1 within so many times ``step``."""
    return np.asarray(sum((errors <= end * step).astype(float) for end in ends).sum(axis=1))


def step_for(
    errors: FloatArray, mean_score: float, ends: tuple[float, float, float] = (1.0, 2.0, 3.0)
) -> float:
    """The error at which the mean score is as wanted, by halving."""
    low, high = 0.001, 1.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        enough = scores(errors, middle, ends).mean() >= mean_score
        low, high = (low, middle) if enough else (middle, high)
    return 0.5 * (low + high)


def typical_error(totals: FloatArray) -> float:
    """Standard deviation of one player's score: that of differences of two tests over the square root of 2."""
    half = len(totals) // 2
    return float((totals[:half] - totals[half : 2 * half]).std() / np.sqrt(2.0))


def least_typical_error(mean_score: float) -> float:
    """The least that independent balls allow with any ends of points: all balls get one of two neighbouring points."""
    share = mean_score / (3.0 * len(TARGETS_M)) % 1.0
    return float(np.sqrt(3.0 * len(TARGETS_M) * share * (1.0 - share)))
