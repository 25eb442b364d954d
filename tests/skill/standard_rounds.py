"""Expected scores on the standard holes, and golfers with one family of another: the long way to a level."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from rangework.course.standard_hole import standard_hole
from rangework.play.lattice import Layout, lay_out
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.model import BAND_CENTRE_M, FloatArray, Golfer, full_depth_yd, full_direction_rad
from rangework.skill.usual_worths import STANDARD_CARD_YD
from rangework.units import YARD_M
from rangework.worth.savings import WorthPoints, _visits


@cache
def _layouts() -> tuple[Layout, ...]:
    """Every other standard hole: half the time, the same mixture."""
    numbered = list(enumerate(STANDARD_CARD_YD, start=1))[::2]
    return tuple(lay_out(standard_hole(length * YARD_M, seed=number)) for number, length in numbered)


def expected_score(golfer: Golfer) -> float:
    """Strokes a round of 18 holes with the best targets, each hole played twice."""
    return 2.0 * sum(
        strategy.expected_strokes for strategy in solve_course(_layouts(), compile_player(golfer))
    )


def with_family(golfer: Golfer, other: Golfer, family: str) -> Golfer:
    """``golfer`` with all that belongs to one family taken from ``other``; clubs reach as far as before."""
    if family == "tee":
        names = ["driver_m", "tee_direction_rad", "tee_bias_rad", "tee_poor"]
        return replace(golfer, base_m=golfer.clubs_from_m, **{name: getattr(other, name) for name in names})
    if family == "short_game":
        names = ["chip", "pitch", "bunker", "short_poor"]
        return replace(golfer, **{name: getattr(other, name) for name in names})
    names = ["full_poor", "rough_spread", "sand_level", "approach_bias_rad", "approach_bias_depth"]
    # the same spread in metres at a distance, although it is another club
    yards, ours, theirs = BAND_CENTRE_M / YARD_M, golfer.clubs_from_m / YARD_M, other.clubs_from_m / YARD_M
    depth = other.approach_depth * full_depth_yd(yards, theirs) / full_depth_yd(yards, ours)
    direction = other.approach_direction * full_direction_rad(yards, theirs) / full_direction_rad(yards, ours)
    taken = {name: getattr(other, name) for name in names}
    return replace(golfer, approach_depth=depth, approach_direction=direction, **taken)


def first_putts_m(golfer: Golfer, n: int) -> FloatArray:
    """``n`` equally likely lengths of the golfer's first putts on the standard holes, in order."""
    player, points = compile_player(golfer), WorthPoints.many()
    strategies = solve_course(_layouts(), player)
    chance = np.sum([_visits(strategy, player, points)[1] for strategy in strategies], axis=0)
    length_m = points.putt_step_m * np.arange(chance.size)
    return np.interp((np.arange(n) + 0.5) / n, np.cumsum(chance) / chance.sum(), length_m)
