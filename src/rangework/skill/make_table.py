"""Log chances of holing and missing on a grid of distance, line and pace, for the fit to interpolate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rangework.skill.putting import READING_RATIO_PER_M, capture_past_m
from rangework.skill.putting_kernels import LAPSE, make_gradients_kernel
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]

_LINE_RAD = (0.4 * DEGREE_RAD, 12.0 * DEGREE_RAD)
_PACE = (0.02, 0.5)
_POINTS = 25
_NEAREST_M, _FARTHEST_M, _NODES = 0.15, 40.0, 90


@dataclass(frozen=True, slots=True)
class MakeTable:
    """``log_make`` and ``log_miss`` ``[distance, ln line, ln pace]``, lapses included."""

    distance_m: FloatArray
    ln_line: FloatArray
    ln_pace: FloatArray
    log_make: FloatArray
    log_miss: FloatArray

    def shares(self, distance_m: FloatArray) -> tuple[NDArray[np.int64], FloatArray]:
        """The node below each distance, and the share of a putt that counts for the node above."""
        place = np.interp(np.log(distance_m), np.log(self.distance_m), np.arange(self.distance_m.size))
        below = np.clip(np.floor(place).astype(np.int64), 0, self.distance_m.size - 2)
        return below, place - below


def make_table(aim_past_m: float) -> MakeTable:
    """The table at the reference green speed, for putts meant to finish ``aim_past_m`` past the hole.

    That is rounded to the centimetre; each table is built once in a process (about 0.1 s).
    """
    return _made(round(aim_past_m, 2))


@lru_cache(maxsize=40)
def _made(aim_past_m: float) -> MakeTable:
    distance = np.geomspace(_NEAREST_M, _FARTHEST_M, _NODES)
    ln_line = np.linspace(math.log(_LINE_RAD[0]), math.log(_LINE_RAD[1]), _POINTS)
    ln_pace = np.linspace(math.log(_PACE[0]), math.log(_PACE[1]), _POINTS)
    chances = np.empty((2, _NODES, _POINTS, _POINTS))
    capture = capture_past_m()
    for i, line in enumerate(np.exp(ln_line)):
        for j, pace in enumerate(np.exp(ln_pace)):
            rows = make_gradients_kernel(
                distance, line, READING_RATIO_PER_M * line, pace, aim_past_m, capture
            )
            chances[:, :, i, j] = rows[:, :2].T
    log_make = np.log(LAPSE * 1e-3 + (1.0 - LAPSE) * chances[0])
    log_miss = np.log(LAPSE + (1.0 - LAPSE) * chances[1])
    return MakeTable(distance, ln_line, ln_pace, log_make, log_miss)
