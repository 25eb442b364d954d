"""What simulated rounds say in a golfer's words: scores, fairways, greens, putts, differential and index."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.course.geometry import Rating
from rangework.play.handicap import simulated_index
from rangework.play.rounds import PENALTIES, PUTTS, RoundSample

QUANTILES = (0.05, 0.25, 0.5, 0.75, 0.95)
STANDARD_SLOPE = 113
_FULL_INDEX_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Scorecard:
    """Averages of simulated rounds.

    ``quantiles`` are scores at ``QUANTILES``; ``fairways`` (of par 4s and 5s) and ``greens`` (in regulation)
    are shares, ``putts``, ``three_putts`` and ``penalties`` counts a round. ``differential`` is the mean score
    differential and ``index`` the simulated, unofficial handicap index; both None without a rating.
    """

    rounds: int
    mean: float
    standard_error: float
    sd: float
    quantiles: tuple[float, ...]
    fairways: float | None
    greens: float
    putts: float
    three_putts: float
    penalties: float
    differential: float | None
    index: float | None


def scorecard(sample: RoundSample, rating: Rating | None) -> Scorecard:
    """The averages of a sample; ``rating`` is that of the tees played, if they have one.

    Differentials are those of gross scores: the caps on single holes, which need the index itself, are left
    out, and nine holes count as half a round of eighteen played twice.
    """
    scores = sample.scores
    driving = sample.par > 3
    putts = sample.by_family[:, :, PUTTS]
    differential, index = _differential_and_index(sample, rating)
    return Scorecard(
        rounds=len(scores),
        mean=sample.mean,
        standard_error=sample.standard_error,
        sd=float(scores.std(ddof=1)),
        quantiles=tuple(float(q) for q in np.quantile(scores, QUANTILES)),
        fairways=float(sample.fairway_hit[:, driving].mean()) if driving.any() else None,
        greens=float(sample.green_hit.mean()),
        putts=float(putts.sum(axis=1).mean()),
        three_putts=float((putts >= 3).sum(axis=1).mean()),
        penalties=float(sample.by_family[:, :, PENALTIES].sum(axis=1).mean()),
        differential=differential,
        index=index,
    )


def eighteen_hole_scores(sample: RoundSample) -> NDArray[np.float64]:
    """Scores of eighteen holes; of a course of nine, each two rounds make one."""
    scores = sample.scores.astype(np.float64)
    if len(sample.par) != 9:
        return scores
    pairs = len(scores) // 2
    return np.asarray(scores[:pairs] + scores[pairs : 2 * pairs])


def _differential_and_index(sample: RoundSample, rating: Rating | None) -> tuple[float | None, float | None]:
    if rating is None:
        return None, None
    scores = eighteen_hole_scores(sample)
    course_rating = rating.course_rating * (2.0 if len(sample.par) == 9 else 1.0)
    differentials = (scores - course_rating) * STANDARD_SLOPE / rating.slope
    index = float(simulated_index(differentials)) if len(scores) >= _FULL_INDEX_ROUNDS else None
    return float(differentials.mean()), index
