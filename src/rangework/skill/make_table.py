"""Log chances of holing, missing and leaving a tap-in, by distance, line, pace and aim, for the fit to interpolate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rangework.skill.putting import READING_RATIO_PER_M, capture_past_m
from rangework.skill.putting_kernels import LAPSE, make_gradients_kernel
from rangework.skill.round_the_hole import places_round_the_hole
from rangework.units import DEGREE_RAD, FOOT_M

FloatArray = NDArray[np.float64]

_LINE_RAD = (0.4 * DEGREE_RAD, 12.0 * DEGREE_RAD)
_PACE = (0.02, 0.5)
_POINTS = 15
#: How far past the hole putts are meant to finish. The outermost step on either side only steadies the interpolation.
_PAST_M = (0.01, 1.9)
_PAST_POINTS = 16
#: A miss this near the hole is a tap-in: how near, nobody writes down well (two feet).
NEAR_M = 2.0 * FOOT_M
_RADIUS_NODES, _RADIUS_WEIGHTS = np.polynomial.legendre.leggauss(40)
_NEAREST_M, _FARTHEST_M, _NODES = 0.15, 40.0, 90


@dataclass(frozen=True, slots=True)
class MakeTable:
    """``log_make``, ``log_miss`` and ``log_near`` ``[distance, ln line, ln pace, ln past]``, lapses included.

    Near is a miss that finishes within ``NEAR_M`` of the hole.
    """

    distance_m: FloatArray
    ln_line: FloatArray
    ln_pace: FloatArray
    ln_past: FloatArray
    log_make: FloatArray
    log_miss: FloatArray
    log_near: FloatArray

    def shares(self, distance_m: FloatArray) -> tuple[NDArray[np.int64], FloatArray]:
        """The node below each distance, and the share of a putt that counts for the node above."""
        place = np.interp(np.log(distance_m), np.log(self.distance_m), np.arange(self.distance_m.size))
        below = np.clip(np.floor(place).astype(np.int64), 0, self.distance_m.size - 2)
        return below, place - below


@lru_cache(maxsize=1)
def make_table() -> MakeTable:
    """The table at the reference green speed, built once in a process (about 0.5 s)."""
    distance = np.geomspace(_NEAREST_M, _FARTHEST_M, _NODES)
    ln_line, ln_pace = (np.log(np.geomspace(low, high, _POINTS)) for low, high in (_LINE_RAD, _PACE))
    ln_past = np.log(np.geomspace(*_PAST_M, _PAST_POINTS))
    chances = np.empty((2, _NODES, _POINTS, _POINTS, _PAST_POINTS))
    for i, j, k in np.ndindex(chances.shape[2:]):
        line, pace, past = np.exp([ln_line[i], ln_pace[j], ln_past[k]])
        rows = make_gradients_kernel(distance, line, READING_RATIO_PER_M * line, pace, past, capture_past_m())
        chances[:, :, i, j, k] = rows[:, :2].T
    log_make = np.log(LAPSE * 1e-3 + (1.0 - LAPSE) * chances[0])
    log_miss = np.log(LAPSE + (1.0 - LAPSE) * chances[1])
    line, pace, past = np.exp(ln_line), np.exp(ln_pace), np.exp(ln_past)
    near = np.array([_near(length, line, pace, past) for length in distance])
    log_near = np.log(LAPSE + (1.0 - LAPSE) * near)
    return MakeTable(distance, ln_line, ln_pace, ln_past, log_make, log_miss, log_near)


def _near(length_m: float, line_rad: FloatArray, pace: FloatArray, past_m: FloatArray) -> FloatArray:
    """Chance ``[line, pace, past]`` of missing from a distance and finishing within ``NEAR_M``."""
    left = 0.5 * NEAR_M * (_RADIUS_NODES + 1.0)
    rolled, angle, area = places_round_the_hole(np.full(left.size, length_m), left)
    area = (0.5 * NEAR_M * _RADIUS_WEIGHTS[:, None] * area).ravel()
    line_sd = line_rad[:, None] * math.hypot(1.0, READING_RATIO_PER_M * length_m)
    on_line = np.exp(-0.5 * (angle.ravel() / line_sd) ** 2) / line_sd * area
    meant = length_m + past_m[:, None]
    pace_sd = pace[:, None, None] * meant
    at_pace = np.exp(-0.5 * ((rolled.ravel() - meant) / pace_sd) ** 2) / pace_sd
    return np.asarray(np.tensordot(on_line, at_pace, axes=(1, 2)) / (2.0 * math.pi))
