"""Putting: the skill of a golfer, reference golfers, chance of holing, and putts to hole out by distance."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.errors import FitError, InputError, Problem
from rangework.skill.by_index import toward_tour
from rangework.skill.putting_kernels import (
    LAPSE,
    leave_kernel,
    make_gradients_kernel,
    putts_kernel,
)
from rangework.units import DEGREE_RAD, FOOT_M

FloatArray = NDArray[np.float64]

#: Greatest speed at which the hole takes a ball through its middle (Holmes 1991, Am. J. Phys. 59:129).
CAPTURE_SPEED_M_S = 1.63
#: Speed at which a ball leaves the stimpmeter: 6.00 ft/s.
STIMPMETER_SPEED_M_S = 1.83
REFERENCE_STIMP_FT = 11.0

#: Growth of the line error with distance, per unit of the error at no distance (0.24 in 10 ft).
READING_RATIO_PER_M = 0.24 / (10.0 * FOOT_M)
AIM_PAST_M = 1.2 * FOOT_M

LOWEST_INDEX, HIGHEST_INDEX = -6.0, 54.0

_TOUR_LINE_DEG, _TOUR_PACE = 1.335, 0.083
# Fitted to the published makes and three-putts of scratch and 90-golfers (indices 0 and 15).
_SCRATCH_LINE_DEG, _LINE_DEG_PER_INDEX = 1.57, 0.0355
_SCRATCH_PACE, _PACE_PER_INDEX = 0.093, 0.00027
_SCRATCH_PAST_M, _PAST_FADES_OVER = 0.90 * FOOT_M, 34.3


class PuttingSkill(NamedTuple):
    """How a golfer's putts scatter.

    ``line_rad`` is the sd of the line of a very short putt (aim, start line, ball and green together);
    ``reading_rad_per_m`` lets it grow: ``sd^2 = line^2 + (reading L)^2``. ``pace`` is the sd of the distance
    rolled as a share of the distance meant, which is to the hole and ``aim_past_m`` more.
    """

    line_rad: float
    reading_rad_per_m: float
    pace: float
    aim_past_m: float = AIM_PAST_M

    def scaled(self, line: float = 1.0, pace: float = 1.0) -> PuttingSkill:
        """The skill with its line error (both terms) and its pace error multiplied."""
        return self._replace(
            line_rad=self.line_rad * line,
            reading_rad_per_m=self.reading_rad_per_m * line,
            pace=self.pace * pace,
        )


class PuttTables(NamedTuple):
    """Putts to hole out by distance: the grid point i is ``i * step_m`` from the hole.

    ``expected`` ``[n]`` is the mean number of putts; ``cumulative`` ``[n, 4]`` the chance of at most 1 to 4.
    """

    step_m: float
    expected: FloatArray
    cumulative: FloatArray


def putting_skill(line_deg: float, pace: float) -> PuttingSkill:
    """A skill of the reference form: line error in degrees, its growth with distance in the usual ratio."""
    line_rad = line_deg * DEGREE_RAD
    return PuttingSkill(line_rad, READING_RATIO_PER_M * line_rad, pace)


def tour_putting() -> PuttingSkill:
    """The average putter of a professional tour, fitted to published expected putts by distance."""
    return putting_skill(_TOUR_LINE_DEG, _TOUR_PACE)


def reference_putting(handicap_index: float) -> PuttingSkill:
    """The reference golfer of a handicap index from -6 (that is, +6) to 54.

    From scratch up line and pace grow evenly, and the ball is meant to run less and less past the hole: weaker
    golfers leave more putts short. Below scratch all three bend to the tour golfer's values at -5 and stay there.
    Raises InputError outside the range.
    """
    if not LOWEST_INDEX <= handicap_index <= HIGHEST_INDEX:
        expected = f"a number from {LOWEST_INDEX:g} (a handicap of +6) to {HIGHEST_INDEX:g}"
        raise InputError(Problem("handicap index", "", f"{handicap_index:g}", expected))
    line = _by_index(handicap_index, _SCRATCH_LINE_DEG, _LINE_DEG_PER_INDEX, _TOUR_LINE_DEG)
    pace = _by_index(handicap_index, _SCRATCH_PACE, _PACE_PER_INDEX, _TOUR_PACE)
    return putting_skill(line, pace)._replace(aim_past_m=aim_past_m(handicap_index))


def aim_past_m(handicap_index: float) -> float:
    """How far past the hole the reference golfer of an index means an unholed putt to finish (metres)."""
    if handicap_index >= 0.0:
        return _SCRATCH_PAST_M * math.exp(-handicap_index / _PAST_FADES_OVER)
    return toward_tour(handicap_index, _SCRATCH_PAST_M, -_SCRATCH_PAST_M / _PAST_FADES_OVER, AIM_PAST_M)


def _by_index(handicap_index: float, scratch: float, per_index: float, tour: float) -> float:
    if handicap_index >= 0.0:
        return scratch + per_index * handicap_index
    return toward_tour(handicap_index, scratch, per_index, tour)


def capture_past_m(stimp_ft: float = REFERENCE_STIMP_FT) -> float:
    """How far past the hole a ball at the greatest capture speed would roll, by stimpmeter reading (feet).

    A ball at speed v rolls ``S (v / 1.83 m/s)^2`` on a level green of reading S: 8.7 ft at a reading of 11.
    Green speed changes nothing else here: errors of pace are shares of the distance on any green.
    """
    return stimp_ft * FOOT_M * (CAPTURE_SPEED_M_S / STIMPMETER_SPEED_M_S) ** 2


def make_probability(
    distance_m: ArrayLike, skill: PuttingSkill, stimp_ft: float = REFERENCE_STIMP_FT
) -> FloatArray:
    """Chance of holing a putt of each distance on a level green (deterministic, error below 1e-8)."""
    distance = np.asarray(distance_m, dtype=np.float64)
    table = make_gradients_kernel(np.ravel(distance), *skill, capture_past_m(stimp_ft))
    return table[:, 0].reshape(distance.shape)


def putt_tables(
    skill: PuttingSkill,
    stimp_ft: float = REFERENCE_STIMP_FT,
    *,
    longest_m: float = 60.0,
    step_m: float = 0.1,
) -> PuttTables:
    """Expected putts and the chances of at most 1 to 4 putts, from 0 to ``longest_m``.

    Every miss is followed to where it finishes: the next putt has its true distribution of distances. Leaves
    beyond ``longest_m`` count as that far.
    """
    n = round(longest_m / step_m) + 1
    leave = leave_kernel(*skill, capture_past_m(stimp_ft), step_m, n)
    expected, cumulative = putts_kernel(leave)
    return PuttTables(step_m, expected, cumulative)


def expected_putts(distance_m: ArrayLike, tables: PuttTables) -> FloatArray:
    """Mean number of putts to hole out from each distance."""
    return _interpolate(distance_m, tables.step_m, tables.expected)


def three_putt_probability(distance_m: ArrayLike, tables: PuttTables) -> FloatArray:
    """Chance of three putts or more from each distance."""
    return _interpolate(distance_m, tables.step_m, 1.0 - tables.cumulative[:, 1])


def _interpolate(distance_m: ArrayLike, step_m: float, values: FloatArray) -> FloatArray:
    place = np.asarray(distance_m, dtype=np.float64)
    return np.asarray(np.interp(place, step_m * np.arange(values.size), values))


#: A relative standard error above which a fitted parameter says nothing.
_VAGUE = 1.0
_UNDETERMINED = "The makes do not determine line and pace: add putts of other lengths, or fix one of them."


class MakesFit(NamedTuple):
    """Putting fitted to makes: the skill, standard errors (0 where fixed) and the log likelihood reached."""

    skill: PuttingSkill
    line_se_rad: float
    pace_se: float
    log_likelihood: float


def fit_makes(
    distance_m: ArrayLike,
    tries: ArrayLike,
    made: ArrayLike,
    *,
    fix_line_rad: float | None = None,
    fix_pace: float | None = None,
    reading_ratio_per_m: float = READING_RATIO_PER_M,
    stimp_ft: float = REFERENCE_STIMP_FT,
) -> MakesFit:
    """Line and pace by maximum likelihood from tries and makes at each distance, nothing else.

    Makes alone cannot tell reading from line, so their ratio is given; fix the pace too unless there are
    thousands of putts. Fisher scoring in the logarithms; standard errors from the expected information.
    Raises InputError for impossible counts and FitError when the makes do not determine the free parameters
    (all holed, none holed, one distance for two of them, a standard error above the value itself).
    """
    counts = _counted(distance_m, tries, made)
    free = np.array([fix_line_rad is None, fix_pace is None])
    start = putting_skill(_SCRATCH_LINE_DEG, _SCRATCH_PACE)
    given = np.array([fix_line_rad or start.line_rad, fix_pace or start.pace])
    capture = capture_past_m(stimp_ft)
    theta, information, reached = _score_upwards(counts, np.log(given), free, reading_ratio_per_m, capture)
    relative_se = np.zeros(2)
    relative_se[free] = np.sqrt(np.diag(np.linalg.inv(information)))
    if relative_se.max() > _VAGUE:
        raise FitError(_UNDETERMINED)
    line_rad, pace = np.exp(theta)
    skill = PuttingSkill(float(line_rad), float(reading_ratio_per_m * line_rad), float(pace))
    return MakesFit(skill, float(relative_se[0] * line_rad), float(relative_se[1] * pace), reached)


class _Makes(NamedTuple):
    distance_m: FloatArray
    tries: FloatArray
    made: FloatArray


def _counted(distance_m: ArrayLike, tries: ArrayLike, made: ArrayLike) -> _Makes:
    counts = _Makes(*(np.atleast_1d(np.asarray(x, dtype=np.float64)) for x in (distance_m, tries, made)))
    if len({x.shape for x in counts}) > 1:
        shapes = ", ".join(str(x.shape) for x in counts)
        raise InputError(Problem("makes", "", shapes, "as many distances as tries and makes"))
    possible = (counts.distance_m > 0.0) & (counts.made >= 0.0) & (counts.made <= counts.tries)
    bad = np.flatnonzero(~possible)
    if bad.size:
        wanted = "a distance above 0 and between 0 and all tries holed"
        raise InputError(
            [Problem("makes", f"entry {i}", str([float(x[i]) for x in counts]), wanted) for i in bad]
        )
    if not 0.0 < counts.made.sum() < counts.tries.sum():
        raise FitError("Putting cannot be fitted to putts that were all holed or all missed.")
    return counts


def _likelihood(
    counts: _Makes, theta: FloatArray, ratio_per_m: float, capture_m: float
) -> tuple[float, FloatArray, FloatArray]:
    """Log likelihood of the counts, its gradient and expected information in (ln line, ln pace)."""
    line, pace = np.exp(theta)
    table = make_gradients_kernel(counts.distance_m, line, ratio_per_m * line, pace, AIM_PAST_M, capture_m)
    make = (1.0 - LAPSE) * np.maximum(table[:, 0], 1e-300)
    miss = LAPSE + (1.0 - LAPSE) * table[:, 1]
    slope = (1.0 - LAPSE) * np.column_stack(
        [table[:, 2] * line + table[:, 3] * ratio_per_m * line, table[:, 4] * pace]
    )
    missed = counts.tries - counts.made
    value = float(counts.made @ np.log(make) + missed @ np.log(miss))
    gradient = slope.T @ (counts.made / make - missed / miss)
    return value, gradient, (slope * (counts.tries / (make * miss))[:, None]).T @ slope


def _score_upwards(
    counts: _Makes, theta: FloatArray, free: NDArray[np.bool_], ratio_per_m: float, capture_m: float
) -> tuple[FloatArray, FloatArray, float]:
    """Climb the likelihood; returns the logarithms reached, the information of the free ones, the value."""
    free_pairs = np.ix_(free, free)
    value, gradient, information = _likelihood(counts, theta, ratio_per_m, capture_m)
    for _ in range(100 if free.any() else 0):
        sub = information[free_pairs]
        if not np.linalg.cond(sub) < 1e10 or np.abs(theta).max() > 12.0:
            raise FitError(_UNDETERMINED)
        step = np.zeros(2)
        step[free] = np.clip(np.linalg.solve(sub, gradient[free]), -0.7, 0.7)
        trial = _likelihood(counts, theta + step, ratio_per_m, capture_m)
        while trial[0] < value and np.abs(step).max() > 1e-9:
            step *= 0.5
            trial = _likelihood(counts, theta + step, ratio_per_m, capture_m)
        theta, (value, gradient, information) = theta + step, trial
        if np.abs(step).max() < 1e-8:
            break
    return theta, information[free_pairs], value
