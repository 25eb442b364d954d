"""What aiming at every place nearby would cost: the ground between the targets that are compared."""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from rangework.aim.comparing import Comparison
from rangework.aim.objectives import Objective
from rangework.aim.played_hole import seen_from
from rangework.aim.targets import Target
from rangework.aim.values import AimPoints, FloatArray, Outlook, best_height, mean_value
from rangework.course.geometry import Point
from rangework.course.local_plane import turned
from rangework.play.kernels import Points

#: Ground shown around the targets, its least extent, and how finely targets are tried on it.
_BESIDE_M, _LEAST_M, _STEP_M, _MOST_STEPS = 26.0, 68.0, 3.0, 30
#: Least width of that ground, as a share of its length.
_LEAST_WIDE = 0.72
#: The pin is looked at where the best target is this near to it.
NEAR_PIN_M = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class TargetField:
    """Expected strokes (or the chance of the score aimed for) by target, ``values[beyond, right]``.

    ``right_m`` and ``beyond_m`` count from the pin, ``beyond`` pointing ``turn_rad`` clockwise of the line from the tee
    to the pin: from the ball to the pin or, where that is far off, to the best target. nan where none can be aimed at.
    """

    turn_rad: float
    right_m: FloatArray
    beyond_m: FloatArray
    values: FloatArray

    def seen(self, from_pin_m: FloatArray) -> FloatArray:
        """Points (..., 2) right of the pin and beyond it, as seen from the tee, turned to this field's sight."""
        return turned(from_pin_m, self.turn_rad)

    def at(self, place_m: Point) -> float:
        """The value of a target at a place of this field, read in between; nan beyond it."""
        column, row = (
            float(np.interp(at, axis, np.arange(len(axis)), left=np.nan, right=np.nan))
            for at, axis in zip(place_m, (self.right_m, self.beyond_m), strict=True)
        )
        if math.isnan(column + row):
            return math.nan
        x, y = (
            min(int(at), size - 2) for at, size in ((column, len(self.right_m)), (row, len(self.beyond_m)))
        )
        corners = self.values[y : y + 2, x : x + 2]
        along = np.array([1.0 - (column - x), column - x])
        return float(np.array([1.0 - (row - y), row - y]) @ corners @ along)


def target_field(
    comparison: Comparison,
    objective: Objective,
    points: AimPoints,
    *,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> TargetField:
    """Value every target around those compared, at the level of the comparison's own values."""
    turn_rad, right_m, beyond_m = _frame(comparison)
    best = comparison.choices[comparison.best]
    own = objective.own
    # a few points do for the shape; the level is that of the best target's own figure
    rough = mean_value(own, best.shot, points.draw)
    level = float(comparison.values.means[comparison.best]) - rough
    pin = np.asarray(comparison.aiming.played.pin_m)

    def row(beyond: float) -> FloatArray:
        across = np.stack([right_m, np.full(len(right_m), beyond)], axis=1)
        values = [_value(own, (x, y), points.draw) for x, y in (turned(across, -turn_rad) + pin).tolist()]
        if progress:
            progress()
        return np.array(values)

    with ThreadPoolExecutor(threads) as pool:
        values = np.array([*pool.map(row, beyond_m.tolist())]) + level
    return TargetField(turn_rad, right_m, beyond_m, values if comparison.unit == "strokes" else 1.0 - values)


def _value(own: Outlook, place: Point, points: Points) -> float:
    aiming = own.aiming
    right_m, long_m = seen_from(aiming.ball.place_m, aiming.played.pin_m, place)
    if aiming.fault(Target(right_m=right_m, long_m=long_m)) is not None:
        return math.nan
    return mean_value(own, best_height(own, place, points), points)


def _frame(comparison: Comparison) -> tuple[float, FloatArray, FloatArray]:
    """Which way the field is looked at, and where targets are tried."""
    aiming = comparison.aiming
    ball, pin = aiming.ball.place_m, aiming.played.pin_m
    best = comparison.choices[comparison.best].shot.place_m
    at_green = math.dist(best, pin) <= NEAR_PIN_M
    ahead = pin if at_green else best
    turn_rad = math.atan2(ahead[0] - ball[0], ahead[1] - ball[1])
    places = [choice.shot.place_m for choice in comparison.choices] + ([pin] if at_green else [])
    seen = turned(np.array(places) - np.asarray(pin), turn_rad)
    low, high = seen.min(axis=0) - _BESIDE_M, seen.max(axis=0) + _BESIDE_M
    wide, long = (high - low).tolist()
    spare = np.array([max(_LEAST_M, _LEAST_WIDE * long) - wide, _LEAST_M - long]).clip(min=0.0) / 2
    right_m, beyond_m = (
        np.linspace(start, end, min(math.ceil((end - start) / _STEP_M), _MOST_STEPS) + 1)
        for start, end in zip((low - spare).tolist(), (high + spare).tolist(), strict=True)
    )
    return turn_rad, right_m, beyond_m
