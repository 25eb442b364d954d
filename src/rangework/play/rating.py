"""An estimated rating of tees that no rating body has rated, from simulated rounds of two reference golfers.

By the rules a course rating is the average of the better half of a scratch golfer's scores, a bogey rating the
same of a bogey golfer, and the slope their difference times a constant (sources.toml: published.course_rating).
Raters measure the course instead of playing it; here the golfers play it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.course.geometry import Course, Rating, TeeSet
from rangework.course.ground_grid import ground_grid
from rangework.estimate import Estimate
from rangework.play.handicap import round_half_up, slope_rating
from rangework.play.lattice import Layout, lay_out
from rangework.play.rounds import play_rounds
from rangework.play.scorecard import eighteen_hole_scores
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.reference import Group, reference_golfer

#: Index of the bogey golfer. Computed: at the standard slope of 113 the bogey rating lies 113/5.381 = 21.0 strokes
#: (men) or 113/4.24 = 26.65 (women) above the course rating, and a better half of scores lies about half a stroke
#: above the best 8 of 20 that an index averages. Within the 17.5-22.4 and 21.5-26.4 of The Course Rating System
#: Manual (2020), section 9.
BOGEY_INDEX: dict[Group, float] = {"men": 20.5, "women": 26.1}
SCRATCH_INDEX = 0.0

RATING_ROUNDS = 20_000
#: A rating is the course's: it must not change with the luck of the rounds that are played.
RATING_SEED = 18
#: Node spacings that ratings are solved with: on the demo course within 0.06 strokes of the finer ones of ``lay_out``.
RATING_COARSE_M, RATING_FINE_M = 12.0, 5.0

BASIS = (
    "prior.reference_golfer+published.tour_form+assumption.play.relief"
    "+published.course_rating+assumption.estimated_rating"
)
_FIVE_PERCENT_NORMAL = 1.6449

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class EstimatedRating:
    """Course, bogey and slope rating as simulated here: an estimate, unofficial.

    The ranges are those of the simulation alone, not of the reference golfers or of the course's description.
    Of nine holes the ratings are those of nine, the slope that of the nine played twice.
    """

    course_rating: Estimate
    bogey_rating: Estimate
    slope: Estimate

    @property
    def rounded(self) -> Rating:
        """Course rating and slope as a card writes them, the first to a tenth."""
        return Rating(float(round_half_up(self.course_rating.value, 1)), int(self.slope.value))


@dataclass(frozen=True, slots=True)
class RatingUsed:
    """The rating for men or women that differentials are taken against.

    ``estimate`` is None for an official one; otherwise ``rating`` is the estimate, rounded.
    """

    group: Group
    rating: Rating
    estimate: EstimatedRating | None = None


def official_rating(tee: TeeSet, group: Group) -> Rating | None:
    """The rating of the tees for men or women, as far as the course file has one."""
    return tee.women if group == "women" else tee.men


def rating_to_use(
    course: Course, tee: TeeSet, pins: Sequence[str], group: Group, *, threads: int = 2
) -> RatingUsed:
    """The official rating of the tees for men or women, or where there is none one estimated with these pins."""
    if official := official_rating(tee, group):
        return RatingUsed(group, official)
    estimate = estimate_rating(rating_layouts(course, tee.name, pins), group, threads=threads)
    return RatingUsed(group, estimate.rounded, estimate)


def rating_layouts(course: Course, tee: str, pins: Sequence[str]) -> list[Layout]:
    """Every hole from one tee set as ratings are solved."""
    grids = [ground_grid(hole, tee, pin) for hole, pin in zip(course.holes, pins, strict=True)]
    return [lay_out(grid, coarse_step_m=RATING_COARSE_M, fine_step_m=RATING_FINE_M) for grid in grids]


def estimate_rating(
    layouts: Sequence[Layout], group: Group, *, rounds: int = RATING_ROUNDS, threads: int = 2
) -> EstimatedRating:
    """The rating of the tees that ``layouts`` are from; takes the time of two strategies."""

    def scores(index: float) -> FloatArray:
        player = compile_player(reference_golfer(index, group))
        strategies = solve_course(layouts, player, threads=threads)
        return eighteen_hole_scores(
            play_rounds(strategies, player, rounds, seed=RATING_SEED, threads=threads)
        )

    return rating_of_scores(scores(SCRATCH_INDEX), scores(BOGEY_INDEX[group]), group, holes=len(layouts))


def rating_of_scores(
    scratch: FloatArray, bogey: FloatArray, group: Group, *, holes: int = 18
) -> EstimatedRating:
    """The rating that eighteen-hole scores of the two golfers, who met the same luck, amount to."""
    share = 0.5 if holes == 9 else 1.0
    course, more = better_half(scratch), better_half(bogey) - better_half(scratch)
    scratch_pulls, bogey_pulls = _pulls(scratch), _pulls(bogey)
    apart = _margin(bogey_pulls - scratch_pulls)
    slope, low, high = (slope_rating(0.0, more + step, group) for step in (0.0, -apart, apart))
    return EstimatedRating(
        _strokes(course, _margin(scratch_pulls), share),
        _strokes(course + more, _margin(bogey_pulls), share),
        Estimate(slope, low, high, "slope", BASIS),
    )


def better_half(scores: ArrayLike) -> float:
    """Mean of the lower half of the scores."""
    ordered = np.sort(np.asarray(scores, dtype=np.float64))
    return float(ordered[: max(len(ordered) // 2, 1)].mean())


def _pulls(scores: FloatArray) -> FloatArray:
    """How each score pulls on the better half's mean: its influence function (Huber 1981, Robust Statistics)."""
    return np.asarray(2.0 * np.minimum(scores, np.median(scores)))


def _margin(pulls: FloatArray) -> float:
    """Half of the 90 % Monte Carlo range."""
    return _FIVE_PERCENT_NORMAL * float(pulls.std()) / float(np.sqrt(len(pulls)))


def _strokes(value: float, margin: float, share: float) -> Estimate:
    return Estimate(share * value, share * (value - margin), share * (value + margin), "strokes", BASIS)
